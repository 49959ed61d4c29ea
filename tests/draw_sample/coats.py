"""What covers steel before it rusts: faded paint, primer, undercoat; and bare steel, concrete, rubber, dirt."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .canvas import Canvas, Part
from .noise import Field, blur, mix, smooth

Colour = tuple[float, float, float]

GREEN: Colour = (0.078, 0.122, 0.070)
GREEN_INSIDE: Colour = (0.055, 0.078, 0.052)
PRIMER_RED: Colour = (0.105, 0.045, 0.033)
PRIMER_GREY: Colour = (0.115, 0.118, 0.116)
BLACK: Colour = (0.022, 0.021, 0.020)
DUST: Colour = (0.150, 0.118, 0.084)


def paint(c: Canvas, outline: Field, colour: Colour = GREEN, fade: float = 1.0) -> Part:
    """Old paint: chalky where the sun stood, thin over edges, fine scratches."""
    cloud, patch, fine = c.noise(c.width_mm * 0.5), c.noise(c.width_mm * 0.12), c.noise(3)
    base = np.ones((*c.shape, 3), "float32") * np.array(colour, "float32")
    chalk = np.array(colour, "float32") * 0.95 + 0.035
    albedo = mix(base, tuple(chalk), fade * (0.25 + 0.5 * smooth(cloud, 0.3, 0.75)))
    albedo = mix(albedo, tuple(np.array(colour) * 0.62), 0.35 * smooth(patch, 0.52, 0.8))
    albedo = albedo * (0.95 + 0.1 * fine)[..., None]
    orange_peel = (c.noise(2.2, 0.5) - 0.5) * 0.03
    gloss = np.clip(0.62 - 0.4 * fade * smooth(cloud, 0.3, 0.7), 0.05, 1) * (0.75 + 0.5 * (patch - 0.5))
    wave = (c.noise(c.width_mm * 0.35, 0.4) - 0.5) * c.width_mm * 0.014
    return Part(c.inside(outline), albedo, (orange_peel + wave).astype("float32"), gloss.astype("float32"))


def primer(c: Canvas, outline: Field, colour: Colour = PRIMER_RED) -> Part:
    """Primer: flat, a little uneven."""
    part = paint(c, outline, colour, fade=0.4)
    return replace(part, gloss=part.gloss * 0.12)


def undercoat(c: Canvas, outline: Field, colour: Colour = BLACK) -> Part:
    """Black frame paint or undercoat: pebbled, dusty on what faces up."""
    pebble, patch = c.noise(5, 0.6), c.noise(c.width_mm * 0.2)
    albedo = np.ones((*c.shape, 3), "float32") * np.array(colour, "float32")
    albedo = mix(albedo, (0.075, 0.066, 0.057), 0.75 * smooth(patch, 0.35, 0.75))
    relief = (pebble - 0.5) * 0.7
    gloss = 0.05 + 0.11 * smooth(patch, 0.7, 0.3)
    return Part(c.inside(outline), albedo, relief.astype("float32"), gloss.astype("float32"))


def bare_steel(c: Canvas, outline: Field, grain_deg: float = 0.0) -> Part:
    """Steel freshly brushed or ground bright."""
    stretch = (1.0, 0.03) if grain_deg < 45 else (0.03, 1.0)
    grain, cloud = c.noise(40, 0.75, stretch), c.noise(c.width_mm * 0.2)
    value = 0.22 + 0.07 * (grain - 0.5) + 0.12 * (cloud - 0.5)
    albedo = np.stack([value, value * 1.0, value * 1.03], -1).astype("float32")
    relief = (grain - 0.5) * 0.05
    return Part(c.inside(outline), albedo, relief.astype("float32"), np.clip(0.4 + 0.5 * (grain - 0.5), 0, 1))


def concrete(c: Canvas) -> Part:
    """Shop floor all over the picture."""
    cloud, patch, grit = c.noise(c.width_mm * 0.6), c.noise(c.width_mm * 0.09, 0.6), c.noise(3.5, 0.7)
    value = 0.19 + 0.06 * (cloud - 0.5) + 0.05 * (patch - 0.5) + 0.07 * (grit - 0.5)
    albedo = np.stack([value * 1.04, value, value * 0.94], -1).astype("float32")
    albedo = mix(albedo, (0.07, 0.065, 0.06), 0.5 * smooth(c.noise(c.width_mm * 0.2, 0.5), 0.66, 0.95))
    relief = (grit - 0.5) * 0.35 - 0.5 * smooth(c.noise(14), 0.72, 0.76)
    return Part(c.full(1), albedo, relief.astype("float32"), c.full(0.02))


def dark_void(c: Canvas) -> Part:
    """What lies behind: a dim inside of a cab, box or wheelhouse."""
    cloud = c.noise(c.width_mm * 0.4)
    value = 0.018 + 0.022 * smooth(cloud, 0.3, 0.8)
    albedo = np.stack([value * 1.15, value, value * 0.85], -1).astype("float32")
    return Part(c.full(1), albedo, c.full(0), c.full(0))


def rubber(c: Canvas, outline: Field) -> Part:
    """Black rubber or plastic."""
    part = undercoat(c, outline, (0.016, 0.016, 0.017))
    return replace(part, relief=part.relief * 0.12, albedo=part.albedo * 0.6, gloss=c.full(0.22))


def dirt(c: Canvas, part: Part, amount: float, colour: Colour = DUST, low_first: float = 0.5) -> Part:
    """Dust and dried mud, thicker in hollows and toward the bottom of the picture."""
    lumps, fine = c.noise(c.width_mm * 0.16), c.noise(7, 0.65)
    fall = smooth(c.y - c.origin[1], -0.2 * c.height_mm, 1.1 * c.height_mm) - 0.5
    hollow = np.clip((blur(part.relief, 9 / c.mm) - part.relief) * 0.35, -0.3, 0.4)
    thick = smooth(lumps + 0.16 * (fine - 0.5) + low_first * fall + hollow + (amount - 0.8), 0.30, 1.05)
    dust = np.array(colour, "float32") * (0.8 + 0.4 * fine)[..., None]
    cover = (0.85 * thick)[..., None]
    return replace(
        part,
        albedo=(part.albedo * (1 - cover) + dust * cover).astype("float32"),
        gloss=part.gloss * (1 - 0.95 * thick),
        relief=part.relief + 0.25 * thick * fine,
    )


def runs(c: Canvas, part: Part, below: Field, strength: float = 0.6) -> Part:
    """Rust water run down from a place: `below` is how much reaches each spot (0 to 1)."""
    streak = smooth(c.noise(26, 0.75, (0.35, 9.0)), 0.40, 0.85)
    fade = c.noise(c.width_mm * 0.15)
    cover = np.clip(strength * below * streak * (0.4 + fade), 0, 0.85)
    return replace(part, albedo=mix(part.albedo, (0.19, 0.085, 0.035), cover), gloss=part.gloss * (1 - 0.7 * cover))
