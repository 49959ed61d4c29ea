"""Whatever a picture's pixels are (palette, CMYK, 16 bits, with alpha, under a profile): 8-bit sRGB of them."""

from __future__ import annotations

import contextlib
import io
from typing import Final

from PIL import Image, ImageChops, ImageCms

_WHITE: Final = 255
_BITS, _PHOTOMETRIC, _WHITE_IS_ZERO = 258, 262, 0


def averageable(picture: Image.Image) -> Image.Image:
    """Give a picture in a mode whose pixels can be averaged: L, RGB or CMYK, transparency laid on white.

    >>> averageable(Image.new("LA", (2, 2), (0, 0))).getpixel((0, 0))
    255
    """
    if picture.mode.startswith(("I", "F")):
        return _eight_bits(picture)
    if picture.has_transparency_data:
        return _on_white(picture)
    if picture.mode == "CMYK" and picture.format == "JPEG" and "adobe" not in picture.info:
        # The decoder takes every CMYK JPEG for one of Adobe's, which hold 255 less the ink; without the mark (APP14)
        # the samples are the ink itself (ISO/IEC 10918-6, from memory).
        return ImageChops.invert(picture)
    return picture if picture.mode in ("RGB", "L", "CMYK") else picture.convert("RGB")


def _on_white(picture: Image.Image) -> Image.Image:
    """Lay a picture on white paper; grey stays grey, so that a profile for grey still fits."""
    grey = picture.mode in ("L", "LA", "La")
    layer = picture.convert("LA" if grey else "RGBA")
    plain = layer.convert("L") if grey else layer.convert("RGB")
    paper = Image.new(plain.mode, plain.size, _WHITE if grey else (_WHITE, _WHITE, _WHITE))
    paper.paste(plain, mask=layer.getchannel("A"))
    return paper


def _eight_bits(picture: Image.Image) -> Image.Image:
    """Bring 12, 16 or 32 bits of grey to 8.

    White is 4095 in 12 bits and 65535 in 16, else the brightest value is; a TIFF may count from white to black
    (TIFF 6.0, PhotometricInterpretation 0), which the decoder mends for 8 bits only.
    """
    grey = picture.convert("F")
    tags = getattr(picture, "tag_v2", {})
    white = max(1.0, float(str(grey.getextrema()[1])))
    if picture.mode.startswith("I;16"):
        white = 4095.0 if tags.get(_BITS) == (12,) else 65535.0
    factor, start = 255 / white, 0.0
    if tags.get(_PHOTOMETRIC) == _WHITE_IS_ZERO:
        factor, start = -factor, 255.0
    return grey.point(lambda value: value * factor + start).convert("L")


def is_foreign(profile: bytes | None) -> bool:
    """Tell whether a profile describes other colours than sRGB; one that cannot be read describes none.

    >>> is_foreign(None), is_foreign(b"no profile")
    (False, False)
    """
    return _foreign(profile) is not None


def _foreign(profile: bytes | None) -> ImageCms.ImageCmsProfile | None:
    if not profile:
        return None
    with contextlib.suppress(ImageCms.PyCMSError, OSError, ValueError, TypeError):
        camera = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if "srgb" not in ImageCms.getProfileDescription(camera).lower():
            return camera
    return None


def srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Convert to sRGB by the embedded profile; a profile that is broken or does not fit is passed over.

    Without a profile RGB is taken for sRGB, CMYK for plain inks on white paper, and YCbCr for what JPEG makes of RGB.
    The result carries nothing else.
    """
    if picture.mode == "YCbCr":
        picture = picture.convert("RGB")
    if camera := _foreign(profile):
        with contextlib.suppress(ImageCms.PyCMSError, OSError, ValueError, TypeError):
            target = ImageCms.createProfile("sRGB")
            picture = ImageCms.profileToProfile(picture, camera, target, outputMode="RGB") or picture
    plain = picture.convert("RGB")
    plain.info.clear()  # else comments and profiles would be written again
    return plain
