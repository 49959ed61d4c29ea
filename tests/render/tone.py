"""Colours as people name them: sRGB bytes in, linear light out."""

from __future__ import annotations

import numpy as np

Colour = tuple[int, int, int]


def linear(colour: Colour) -> np.ndarray:
    """Linear light (0 to 1) of an sRGB colour in bytes. Source: IEC 61966-2-1, from memory."""
    c = np.asarray(colour, np.float32) / 255
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4).astype(np.float32)


def encoded(light: np.ndarray) -> np.ndarray:
    """Bytes (as floats, 0 to 255) of linear light; the inverse of `linear`."""
    c = np.clip(light, 0, 1)
    return 255 * np.where(c <= 0.0031308, c * 12.92, 1.055 * c ** (1 / 2.4) - 0.055)


def ladder(x: np.ndarray, stops: list[tuple[float, Colour]]) -> np.ndarray:
    """Colours along a field: each stop is a place (rising) and an sRGB colour."""
    places = [place for place, _ in stops]
    table = np.stack([linear(colour) for _, colour in stops])
    return np.stack([np.interp(x, places, table[:, k]) for k in range(3)], -1).astype(np.float32)
