"""Opening pictures safely: the kind is told by content, size limits hold, and warnings of the decoder stay quiet."""

from __future__ import annotations

import io
import logging
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import IO, Final

import pillow_heif
from PIL import Image, ImageFile, UnidentifiedImageError

from soundmetal.errors import PhotoError
from soundmetal.photos import heads, tiff
from soundmetal.photos.process_wide import ProcessWide
from soundmetal.photos.settings import settings

pillow_heif.register_heif_opener()
# The decoder logs what it then raises as well; here every failure becomes a named refusal.
logging.getLogger("PIL").setLevel(logging.CRITICAL)

#: Bytes that are enough to tell a kind.
HEAD_BYTES: Final = 64
#: Kinds taken, and Pillow's names for the decoders that may open them; no other decoder is ever started.
DECODERS: Final[dict[str, tuple[str, ...]]] = {
    "JPEG": ("JPEG",),  # opens stereo and motion pictures (MPO) as well
    "PNG": ("PNG",),
    "TIFF": ("TIFF",),
    "WebP": ("WEBP",),
    "HEIC": ("HEIF",),
    "GIF": ("GIF",),
}
#: Brands of ISO/IEC 23008-12 files with HEVC pictures, and the two structural brands (annex B; from memory).
_HEIF_BRANDS: Final = frozenset(b"heic heix heim heis hevc hevx hevm hevs mif1 msf1".split())
_ORIENTATION: Final = 0x0112
#: What to do with a picture that will not open.
FETCH_AGAIN: Final = "Copy it from the camera again, or leave it out."
#: What comes of opening a preview that is none.
_NO_JPEG: Final = (PhotoError, OSError, SyntaxError, ValueError, struct.error, OverflowError)
_FROM_RAW: Final = "preview of a raw file"


def kind_of(head: bytes) -> str | None:
    r"""Tell a picture's kind by its first bytes; None if it is no picture that we take.

    >>> kind_of(b"\xff\xd8\xff\xe1"), kind_of(b"GIF89a"), kind_of(b"hello")
    ('JPEG', 'GIF', None)
    """
    if head.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if head[:4] in (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"):
        return "TIFF"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "WebP"
    if head[:6] in (b"GIF87a", b"GIF89a"):
        return "GIF"
    return "HEIC" if _is_heif(head) else None


def _is_heif(head: bytes) -> bool:
    if head[4:8] != b"ftyp" or len(head) < 12:
        return False
    size = struct.unpack(">I", head[:4])[0]
    brands = {head[8:12], *(head[at : at + 4] for at in range(16, min(size, len(head)) - 3, 4))}
    return bool(brands & _HEIF_BRANDS) and not brands & {b"avif", b"avis"}


class _Quiet(ProcessWide):
    """Our pixel limit, our warning filters and no mercy for half pictures, while at least one thread reads pictures.

    All are global in Pillow and in Python, so whoever comes first sets them and whoever leaves last puts them back.
    The page maker, once loaded, lets half pictures pass for whole ones in the entire process.
    """

    def set(self, undo: ExitStack) -> None:
        undo.enter_context(warnings.catch_warnings())
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        undo.callback(setattr, Image, "MAX_IMAGE_PIXELS", Image.MAX_IMAGE_PIXELS)
        Image.MAX_IMAGE_PIXELS = settings().scan.max_pixels
        undo.callback(setattr, ImageFile, "LOAD_TRUNCATED_IMAGES", ImageFile.LOAD_TRUNCATED_IMAGES)
        ImageFile.LOAD_TRUNCATED_IMAGES = False


#: Hold this round every call into the decoder.
quiet: Final = _Quiet()


def reason(error: BaseException, kind: str) -> PhotoError:
    """Turn what a decoder raised into one line that a person can use."""
    if isinstance(error, PhotoError):
        return error
    if isinstance(error, (Image.DecompressionBombError, Image.DecompressionBombWarning)):
        limit = settings().scan.max_pixels // 1_000_000
        return PhotoError(f"larger than {limit} megapixels", todo="Save a smaller copy and use that.")
    if isinstance(error, (PermissionError, FileNotFoundError, IsADirectoryError)):
        return PhotoError(f"cannot be read: {error.strerror}", todo="Make the file readable, or leave it out.")
    if isinstance(error, MemoryError):
        return PhotoError("too large for this computer's memory", todo="Save a smaller copy and use that.")
    if isinstance(error, UnidentifiedImageError):
        return PhotoError(f"begins like a {kind} picture but cannot be opened as one", todo=FETCH_AGAIN)
    if isinstance(error, (OSError, EOFError, SyntaxError, struct.error, zlib.error)):
        return PhotoError(f"the {kind} picture is cut off or damaged ({error})", todo=FETCH_AGAIN)
    return PhotoError(f"the {kind} picture cannot be decoded ({type(error).__name__}: {error})", todo=FETCH_AGAIN)


@contextmanager
def open_picture(source: Path | bytes) -> Iterator[Image.Image]:
    """Open a picture for reading; its pixels are decoded when they are asked for.

    Anything that goes wrong inside, decoding as well, comes out as PhotoError. Raises PhotoError.
    """
    kind = "picture"
    try:
        with quiet, ExitStack() as stack:
            stream: IO[bytes] = io.BytesIO(source) if isinstance(source, bytes) else source.open("rb")
            stack.callback(stream.close)
            found = kind_of(stream.read(HEAD_BYTES))
            if found is None:
                raise PhotoError("not a picture that can be used here", todo="Use JPEG, PNG, TIFF, WebP or HEIC.")
            kind = found
            stream.seek(0)
            picture = _decoder(stream, kind, stack)
            _refuse_bomb(picture)
            yield picture
    except Exception as error:
        raise reason(error, kind) from error


def _decoder(stream: IO[bytes], kind: str, stack: ExitStack) -> Image.Image:
    """Open the picture itself or, of a raw file, its preview."""
    if kind == "TIFF":
        directories = tiff.read(stream)
        stream.seek(0)
        if directories.is_raw:
            return _preview(stream, directories, stack)
    heads.check(stream, kind)
    return stack.enter_context(Image.open(stream, formats=DECODERS[kind]))


def _preview(stream: IO[bytes], directories: tiff.Tiff, stack: ExitStack) -> Image.Image:
    """Open the largest JPEG inside a raw file, turned as the file says. PhotoError where none is large enough."""
    sizes: dict[tuple[int, int], tuple[int, int]] = {}
    for span in directories.jpegs():
        with suppress(*_NO_JPEG), _jpeg_in(stream, span) as found:
            sizes[span] = found.size
    largest = max(sizes, key=lambda span: sizes[span][0] * sizes[span][1], default=None)
    if largest is None or max(sizes[largest]) < settings().scan.min_preview_px:
        raise PhotoError(
            "a camera's raw file without a preview that is large enough",
            todo="Save it as JPEG with the program that came with the camera, and use that.",
        )
    preview = stack.enter_context(_jpeg_in(stream, largest))
    preview.getexif()[_ORIENTATION] = directories.orientation
    preview.info[_FROM_RAW] = True
    return preview


def _jpeg_in(stream: IO[bytes], span: tuple[int, int]) -> Image.Image:
    """Open a JPEG that stands in another file. May raise what the decoder raises."""
    place, length = span
    if not 0 < length <= settings().scan.max_bytes:
        raise ValueError("no length of a picture")
    stream.seek(place)
    jpeg = io.BytesIO(stream.read(length))
    heads.check(jpeg, "JPEG")
    return Image.open(jpeg, formats=DECODERS["JPEG"])


def notes(source: Path | bytes, picture: Image.Image) -> tuple[str, ...]:
    """Say what of a file is not shown: further pages, further pictures of a burst, a raw file's own data."""
    if picture.info.get(_FROM_RAW):
        return ("a raw file: only the preview that the camera put into it is used",)
    if picture.format == "TIFF":
        with io.BytesIO(source) if isinstance(source, bytes) else source.open("rb") as stream:
            pages = tiff.read(stream).pages
        return (f"only the first of {pages} pages is used",) if pages > 1 else ()
    if picture.format == "HEIF":
        return heic_notes(getattr(picture, "n_frames", 1))
    # The second picture of a stereo or motion JPEG is the same view again: nothing is lost. To count a moving
    # picture's frames would read all of it.
    moving = picture.format in ("GIF", "WEBP", "PNG") and getattr(picture, "is_animated", False)
    return ("moves: only its first picture is used",) if moving else ()


def heic_notes(count: int) -> tuple[str, ...]:
    """Say that a burst or a live photograph holds more pictures than the main one.

    >>> heic_notes(1), heic_notes(3)
    ((), ('only the main one of its 3 pictures is used',))
    """
    return (f"only the main one of its {count} pictures is used",) if count > 1 else ()


def _refuse_bomb(picture: Image.Image) -> None:
    if picture.width * picture.height > settings().scan.max_pixels:
        raise Image.DecompressionBombError
    if not picture.width or not picture.height:
        raise PhotoError("the picture has no size", todo=FETCH_AGAIN)


def turn(picture: Image.Image) -> int:
    """Give the EXIF orientation that still has to be applied after decoding, 1 to 8; 1 is upright.

    The decoders of HEIC (by its `irot` box) and of TIFF turn the picture themselves: turning again would be wrong.
    """
    if picture.format in ("HEIF", "TIFF"):
        return 1
    if picture.format == "PNG":
        picture.load()  # EXIF may stand behind the pixels
    try:
        value = picture.getexif().get(_ORIENTATION, 1)
    except Exception:  # a broken EXIF block says nothing of the picture, and decoders fail on it in many ways
        return 1
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def upright_size(picture: Image.Image) -> tuple[int, int]:
    """Give width and height in pixels as a person would hold the picture."""
    swap = turn(picture) >= 5
    return (picture.height, picture.width) if swap else picture.size
