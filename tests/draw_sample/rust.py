"""Rust: stain, lifted paint, surface rust, flaking scale, pits and holes with jagged, thinned edges."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from .canvas import Canvas, Part
from .noise import Field, blur, mix, ramp, shifted, smooth

SHADES = [
    (0.10, (0.016, 0.010, 0.008)),
    (0.32, (0.050, 0.022, 0.012)),
    (0.48, (0.110, 0.041, 0.016)),
    (0.62, (0.185, 0.068, 0.020)),
    (0.84, (0.290, 0.115, 0.034)),
]
OCHRE = (0.215, 0.115, 0.050)
FLAKE = (0.045, 0.027, 0.020)

#: How far each state goes: stain only, surface rust, flaking scale, deep pits.
SURFACE, SCALE, PITTED, DEEP = 0.66, 0.82, 0.95, 1.05


@dataclass(frozen=True)
class Texture:
    """The noise of one rusted place, drawn once."""

    broad: Field
    lumps: Field
    grit: Field
    fine: Field


def _texture(c: Canvas, reach_mm: float) -> Texture:
    return Texture(c.noise(reach_mm * 2.2), c.noise(reach_mm * 0.7, 0.6), c.noise(9, 0.65), c.noise(2.6, 0.7))


def _progress(t: Texture, place: Field, reach_mm: float, worst: float) -> Field:
    """How far rusting went: 0 sound, 0.5 breaks through the paint, 1 eaten up."""
    drive = np.clip(0.5 - place / (2 * reach_mm), -0.7, 1.2)
    ragged = 0.50 * (t.broad - 0.5) + 0.42 * (t.lumps - 0.5) + 0.22 * (t.grit - 0.5) + 0.07 * (t.fine - 0.5)
    raw = drive + ragged
    return np.where(raw > 0.5, 0.5 + (worst - 0.5) * np.clip(2 * (raw - 0.5), 0, 1.25), raw).astype("float32")


def _colour(t: Texture, went: Field, flakes: Field) -> Field:
    tone = 0.42 * t.lumps + 0.30 * t.grit + 0.28 * t.fine - 0.30 * np.clip(went - 0.58, 0, 1) + 0.05
    tone = (tone - 0.5) * 1.15 + 0.5
    colour = ramp(tone, SHADES)
    colour = mix(colour, OCHRE, 0.5 * smooth(t.broad + 0.5 * (t.fine - 0.5), 0.62, 0.9))
    plate = mix(np.ones_like(colour) * np.array(FLAKE, "float32"), (0.13, 0.055, 0.028), smooth(t.grit, 0.42, 0.68))
    return mix(colour, 0.55 * plate + 0.45 * colour, 0.9 * flakes)


def _relief(c: Canvas, t: Texture, went: Field, flakes: Field) -> Field:
    rusted = smooth(went, 0.49, 0.52)
    blister = smooth(went, 0.40, 0.485) * (1 - rusted) * (0.25 + 1.1 * t.grit)
    layers = t.lumps * 0.75 + t.grit * 0.25
    step = np.floor(layers * 9) / 9
    plates = flakes * (step * 9.0 + 1.5 * layers)
    pit_noise = c.noise(11, 0.45)
    pits = smooth(pit_noise, 0.58, 0.78) * smooth(went, 0.66, 0.92) * 3.0
    deep = 0.35 + 0.65 * smooth(went, 0.52, 0.74)
    rough = rusted * deep * ((t.grit - 0.5) * 1.5 + (t.fine - 0.5) * 0.7)
    return (blister + plates + rough - pits - 0.35 * rusted).astype("float32")


def rust(c: Canvas, part: Part, place: Field, reach_mm: float, worst: float = SCALE) -> Part:
    """Rust a place (signed distance in mm) with a border `reach_mm` deep, as far as `worst`."""
    t = _texture(c, max(reach_mm, 6.0))
    went = _progress(t, place, reach_mm, worst)
    rusted, stain = smooth(went, 0.492, 0.508), smooth(went, 0.28, 0.49)
    flakes = smooth(went, 0.69, 0.76) * smooth(t.lumps, 0.36, 0.50)
    albedo = mix(part.albedo, (0.17, 0.078, 0.036), 0.55 * stain * (0.4 + 0.9 * t.grit))
    lifted = smooth(went, 0.474, 0.486) * smooth(t.grit, 0.42, 0.56) * (1 - rusted)
    albedo = mix(albedo, (0.20, 0.10, 0.07), 0.65 * lifted)
    albedo = mix(albedo, 0 * albedo + _colour(t, went, flakes), rusted)
    gloss = part.gloss * (1 - rusted) * (1 - 0.7 * stain) + 0.015 * rusted
    return replace(part, albedo=albedo, gloss=gloss, relief=part.relief + _relief(c, t, went, flakes))


def ragged(c: Canvas, distance: Field, jag_mm: float) -> Field:
    """The same outline, torn: coarse bites and fine teeth."""
    bites, teeth = c.noise(jag_mm * 2.6, 0.6) - 0.5, c.noise(jag_mm * 0.8, 0.65) - 0.5
    near = smooth(distance, -3.2 * jag_mm, -1.2 * jag_mm)
    return (distance + near * (3.0 * jag_mm * bites + 1.0 * jag_mm * teeth)).astype("float32")


def pinholes(
    c: Canvas, place: Field, cell_mm: float = 14.0, share: float = 0.74, beside: Field | None = None
) -> Field:
    """Small holes scattered in a place, none inside the hole they lie `beside`, as a signed distance."""
    spots = c.noise(cell_mm, 0.5)
    pins = (share - spots + 0.8 * smooth(place, -1.2 * cell_mm, 0.6 * cell_mm)) * cell_mm * 1.6
    return (pins if beside is None else np.maximum(pins, 5.0 - beside)).astype("float32")


def pierced(c: Canvas, part: Part, hole: Field, deep_mm: float = 30.0, below: Part | None = None) -> Part:
    """Cut a torn hole into a part: thinned rim, dark inside with a little light on what lies behind."""
    gone = c.inside(hole)
    rim = smooth(hole, 9.0, 0.0) * (1 - gone)
    thin = smooth(hole, 2.2, 0.0) * (1 - gone)
    albedo = mix(part.albedo, (0.115, 0.048, 0.022), 0.55 * rim)
    albedo = mix(albedo, (0.24, 0.095, 0.030), 0.6 * thin * smooth(c.noise(4, 0.6), 0.4, 0.6))
    behind = 0 * albedo + np.array((0.045, 0.027, 0.018), "float32") if below is None else below.albedo
    glow = 0.25 * c.noise(70) ** 2 if below is None else c.full(0.16)
    lx, ly, lz = c.lamp.toward
    right, below = (round(-v / lz * deep_mm * 0.55 / c.mm) for v in (lx, ly))
    open_ = blur(shifted(gone, right, below), max(1.0, deep_mm * 0.12 / c.mm))
    seen = behind * (0.03 + glow * open_ * gone)[..., None]
    albedo = mix(albedo, 0 * albedo + seen, gone)
    sunk = blur(gone, max(0.7, 1.1 / c.mm))
    relief = part.relief * (1 - gone) - 1.6 * sunk * (1 - gone)
    return replace(part, albedo=albedo, relief=relief.astype("float32"), gloss=part.gloss * (1 - rim) * (1 - gone))


def torn(c: Canvas, part: Part, hole: Field, beyond: Field) -> Part:
    """Take the steel away altogether where a hole runs out over an edge (`beyond`: distance to the edge, in mm)."""
    return replace(part, mask=part.mask * (1 - c.inside(hole) * smooth(beyond, -9.0, -4.0)))
