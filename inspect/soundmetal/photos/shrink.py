"""Making pictures smaller: the decoder's own scaling first, then the fine step, then the turn.

JPEG keeps brightness and two planes of colour. Pictures for the pages stay so from the file to the copy: brightness
gets the best filter; colour, of which a copy keeps a quarter of the places anyway, a cheaper one. Against the whole
picture decoded and shrunk by Lanczos this loses at most 0.005 of structural similarity (tests/photos/test_shrink.py),
in no more processor time than a softer filter takes on three colours (tests/bench/bench_photos.py).
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile

from soundmetal.photos import colours, pictures

#: Decoders of JPEG give 1/8, 1/4 or 1/2 of the picture for nearly nothing, but not as well as a filter does. Each is
#: taken when it leaves this many times the size wanted for the fine step: then at most 0.005 of structural similarity
#: is lost (measured on photographs of ten cameras and on noise; without room 0.038, 0.016 and 0.008).
_ROOM: Final = ((8, 3.0), (4, 1.75), (2, 1.24))
#: Other kinds, and the planes of colour, shrink coarsely down to this many times the size wanted before the fine step
#: (measured: HEIC 0.48 of the time).
_COARSE: Final = 1.1
_TURNS: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def for_page(source: Path | bytes, long_side_px: int) -> Image.Image:
    """Decode a picture upright, in sRGB, its long side no longer than asked, nothing enlarged; for storing as JPEG.

    The mode is YCbCr where the file is so and its colours may stay as they are, else RGB. Raises PhotoError.
    """
    with pictures.open_picture(source) as picture:
        size = fitted(picture.size, long_side_px)
        in_planes = _keeps_planes(picture)
        picture.draft("YCbCr" if in_planes else None, decoded_size(picture.size, size))
        turn = pictures.turn(picture)  # of PNG this decodes, so after the draft
        profile = picture.info.get("icc_profile")
        small = _planes(picture, size, turn) if in_planes else _whole(picture, size, turn)
        if not in_planes or colours.is_foreign(profile):
            return colours.srgb(small, profile)
        small.info.clear()  # else comments would be written again
        return small


def shrunk(source: Path | bytes, long_side_px: int) -> Image.Image:
    """Decode a picture as `for_page` does, in mode RGB. Raises PhotoError."""
    return for_page(source, long_side_px).convert("RGB")


def sketch(source: Path | bytes, long_side_px: int) -> Image.Image:
    """Decode a picture as `shrunk` does, only quicker and a little softer: to judge it by, not to show it.

    Whatever the decoder's scaling gives is taken. Raises PhotoError.
    """
    with pictures.open_picture(source) as picture:
        size = fitted(picture.size, long_side_px)
        picture.draft(None, size)
        turn = pictures.turn(picture)
        profile = picture.info.get("icc_profile")
        return colours.srgb(_whole(picture, size, turn), profile)


def fitted(size: tuple[int, int], long_side_px: int) -> tuple[int, int]:
    """Scale a size so that its long side is at most as asked; no side below one pixel.

    >>> fitted((4000, 3000), 1600), fitted((3, 9000), 1600), fitted((640, 480), 1600)
    ((1600, 1200), (1, 1600), (640, 480))
    """
    factor = min(1.0, long_side_px / max(size))
    return max(1, round(size[0] * factor)), max(1, round(size[1] * factor))


def decoded_size(stored: tuple[int, int], wanted: tuple[int, int]) -> tuple[int, int]:
    """Give the size to ask of a JPEG's decoder: its own scaling where enough room is left, else the whole picture.

    >>> decoded_size((4000, 3000), (1600, 1200)), decoded_size((3264, 2448), (1600, 1200))
    ((2000, 1500), (3264, 2448))
    """
    for part, room in _ROOM:
        if max(stored) >= part * room * max(wanted):
            return max(1, stored[0] // part), max(1, stored[1] // part)
    return stored


def _keeps_planes(picture: Image.Image) -> bool:
    """Tell whether a JPEG surely holds brightness and colour apart.

    Its parts are numbered 1 to 3, as JFIF has it (ITU-T T.871, from memory), and Adobe's mark does not say that they
    are RGB (ITU-T T.872, 6.5.3, from memory).
    """
    if not isinstance(picture, JpegImageFile) or picture.mode != "RGB":
        return False
    return [part[0] for part in picture.layer] == [1, 2, 3] and picture.info.get("adobe_transform", 1) == 1


def _planes(picture: Image.Image, size: tuple[int, int], turn: int) -> Image.Image:
    """Shrink a YCbCr picture plane by plane and turn it.

    Colour is shrunk to half the size and doubled again: JPEG halves it so when it is stored.
    """
    light, *colour = picture.split()
    if picture.size == size:
        return _turned(Image.merge("YCbCr", (light, *colour)), turn)  # put together anew: it outlives the open file
    light = _turned(light.resize(size, Image.Resampling.LANCZOS), turn)
    half = (size[0] + 1) // 2, (size[1] + 1) // 2
    small = (plane.resize(half, Image.Resampling.HAMMING, reducing_gap=_COARSE) for plane in colour)
    doubled = (_turned(plane, turn).resize(light.size, Image.Resampling.NEAREST) for plane in small)
    return Image.merge("YCbCr", (light, *doubled))


def _whole(picture: Image.Image, size: tuple[int, int], turn: int) -> Image.Image:
    """Shrink a picture of any mode and turn it; turning the large picture first costs more."""
    plain = colours.averageable(picture)
    gap = None if isinstance(picture, JpegImageFile) else _COARSE
    small = plain.resize(size, Image.Resampling.BICUBIC, reducing_gap=gap) if plain.size != size else plain
    return _turned(small, turn)


def _turned(picture: Image.Image, turn: int) -> Image.Image:
    return picture.transpose(_TURNS[turn]) if turn in _TURNS else picture
