"""One blank: the flat piece of one cut-out, by its family, with everything that is written on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from shapely.geometry import Polygon

from soundmetal.calc.sheet import mass_kg
from soundmetal.car.models import Shape, Zone
from soundmetal.grade.models import Step
from soundmetal.record.models import Finding
from soundmetal.record.shopbook import Policies, Sheet
from soundmetal.repair.beads import Beads, Line, bead_lines, beads_of, opening_shape
from soundmetal.repair.bending import Bending, bending_of
from soundmetal.repair.flat import SIDE_ORDER
from soundmetal.repair.geometry import section_of
from soundmetal.repair.models import Cutout, Method, Option
from soundmetal.repair.practice import practice
from soundmetal.repair.profile import profile_of
from soundmetal.scope.models import Blank
from soundmetal.scope.patterns import notes
from soundmetal.scope.patterns.beading import Drawn, drawn_in
from soundmetal.scope.patterns.flanges import flanged
from soundmetal.scope.patterns.flat import Flat
from soundmetal.scope.patterns.rough import lapped, rough
from soundmetal.scope.patterns.section import bent_section, onto_legs, usual_section

#: What is written beside a blank; each is a sentence that can be translated.
TEMPLATE = "Take a template on the car before you cut; the opening may grow."
FLANGE = "The size holds the factory flange; bend it to match the old one."
LAP = "The piece lies over the old metal all round; prime and seal between the two."
NO_SHEET = "No sheet in the shop book is near enough; buy this thickness."


@dataclass(frozen=True)
class Stock:
    """The steel to take: thickness and gauge, and the shop's sheet, None where it has none near enough."""

    thickness_mm: float
    gauge: int | None
    sheet: Sheet | None


@dataclass(frozen=True)
class Making:
    """What the blanks of one option share."""

    option: Option
    zone: Zone
    stock: Stock
    policies: Policies
    findings: tuple[Finding, ...]
    lap: bool

    @property
    def whole(self) -> bool:
        """Whether the blank is a whole panel."""
        return self.option.method is Method.FULL_PANEL

    @property
    def bending(self) -> Bending:
        """How the steel is bent."""
        return bending_of(self.policies, self.stock.thickness_mm)

    @property
    def roughly(self) -> bool:
        """Whether the shape curves both ways, so that steel is left on and trimmed on the car."""
        return self.zone.shape is Shape.COMPOUND


@dataclass(frozen=True)
class _Piece:
    """One cut-out and what is worked into its flat piece."""

    cut: Cutout
    making: Making

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        return tuple(f for f in self.making.findings if f.id in self.cut.findings)

    @cached_property
    def beads(self) -> Beads | None:
        return beads_of(self.findings, self.making.zone)

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        return bead_lines(self.cut, self.findings, self.making.zone)

    @cached_property
    def drawn(self) -> Drawn:
        return drawn_in(self.lines, self.beads)

    @cached_property
    def flat(self) -> Flat:
        making, cut = self.making, self.cut
        section, flange = section_of(cut, self.findings), making.policies.flange
        opening = self.drawn.shape(cut.outline)
        if section is not None:
            return bent_section(opening, section, making.bending, cut.findings)
        if self.usual is not None:
            return self.usual
        if making.lap:
            opening = lapped(opening, cut.ends, flange)
        if making.roughly:
            return rough(opening, cut.ends, flange, making.policies.rough)
        up = notes.flanges_up(making.zone)
        flat = flanged(opening, cut.ends, flange, making.bending, up=up)
        if not self.lines:
            return flat
        # Once the beads have drawn it in, the bent piece has the opening's own size.
        return flat.bent_as(flanged(cut.outline, cut.ends, flange, making.bending, up=up))

    @cached_property
    def usual(self) -> Flat | None:
        """The piece by the profile that the panel usually has; None where it has none, or one was measured."""
        making, cut = self.making, self.cut
        if making.lap or making.roughly or self.lines or section_of(cut, self.findings) is not None:
            return None
        profile = profile_of(making.zone, cut, making.policies.flange, making.bending.least_flange_mm)
        return None if profile is None else usual_section(cut.outline, profile, making.bending)

    @cached_property
    def kept(self) -> tuple[tuple[Polygon, ...], bool]:
        """Openings that are cut into the flat piece, and whether others cross its cut line or a bend of it."""
        shapes = [opening_shape(kept) for finding in self.making.findings for kept in finding.keep]
        if self.flat.family == "section":
            laid = [(shape, onto_legs(shape, self.flat)) for shape in shapes if self._on_piece(shape)]
            return tuple(flat for _, flat in laid if flat is not None), any(flat is None for _, flat in laid)
        inside = [shape for shape in shapes if self.cut.outline.buffer(-1e-6).contains(shape)]
        crossed = any(shape.intersects(self.cut.outline) for shape in shapes if shape not in inside)
        return tuple(self.drawn.shape(shape) for shape in inside), crossed

    def _on_piece(self, shape: Polygon) -> bool:
        """Whether an opening touches a bent section, its height measured along the section's outside."""
        x0, low, x1, high = shape.bounds
        left, _, right, _ = self.flat.outline.bounds
        ends = self.flat.straights[0].low_mm, self.flat.straights[-1].high_mm
        return bool(x1 > left and x0 < right and high > ends[0] and low < ends[1])

    @property
    def told(self) -> bool:
        """Whether the piece is a section that was measured on the car."""
        return self.flat.family == "section" and self.usual is None

    @property
    def holes(self) -> tuple[Polygon, ...]:
        """Openings that are cut into the flat piece."""
        return self.kept[0]

    def notes(self) -> Iterator[Step]:
        """Sentences with figures, in the order of the work."""
        making, flat = self.making, self.flat
        if self.usual is not None:
            yield notes.say("usual")
        yield from notes.mounting_notes(self.cut, self.findings, making.policies)
        if flat.family == "rough":
            yield notes.rough_note(making.policies.rough)
        if self.lines and self.beads is not None:
            yield from notes.bead_notes(self.beads, self.drawn, self.cut, making.stock.thickness_mm)
        yield from notes.bend_notes(flat, making.bending, self.cut.ends, making.policies.flange)
        yield from notes.hole_notes(*self.kept, flat, making.bending)


def made(number: int, cut: Cutout, making: Making) -> Blank:
    """Give the blank of one cut-out. RecordError with its findings' ids for a section that cannot be bent."""
    policies, stock, piece = making.policies, making.stock, _Piece(cut, making)
    flat = piece.flat
    x0, y0, x1, y1 = flat.outline.bounds
    across = practice().lies_across(making.zone.id)
    return Blank(
        id=f"{making.option.panel}/{number}",
        panel=making.option.panel,
        findings=cut.findings,
        width_mm=x1 - x0,
        height_mm=y1 - y0,
        corner_radius_mm=0.0 if making.whole or piece.told else policies.corner_radius,
        thickness_mm=stock.thickness_mm,
        gauge=stock.gauge,
        form=making.zone.shape.value,
        bends=len(flat.bends) or len(cut.ends),
        bead_mm=sum(_length(line) for line in piece.lines),
        mass_kg=mass_kg(flat.outline.area - sum(hole.area for hole in piece.holes), stock.thickness_mm),
        grain_note=" ".join(_sentences(cut, making, flat)),
        outline_mm=_points(cut.outline),
        sheet=stock.sheet.id if stock.sheet else "",
        grown=tuple(SIDE_ORDER if making.lap else cut.ends),
        bent=cut.ends,
        allowance_mm=policies.flange,
        openings_mm=tuple(_points(hole) for hole in piece.holes),
        beads_mm=tuple(piece.drawn.line(line) for line in piece.lines),
        flat_mm=_points(flat.outline),
        family=flat.family,
        bend_lines=flat.bends,
        section_mm=flat.section_mm,
        legs_mm=flat.legs_mm,
        notes=tuple(piece.notes()),
        across_mm=flat.across_mm,
        across_legs_mm=flat.across_legs_mm,
        front_right="right" in making.zone.id.split(".") and not across,
        across=across,
        template_first=piece.usual is not None,
        bead_size_mm=(piece.beads.width_mm, piece.beads.depth_mm) if piece.lines and piece.beads else (),
    )


def _sentences(cut: Cutout, making: Making, flat: Flat) -> Iterator[str]:
    if not making.whole:
        yield TEMPLATE
    if cut.ends and flat.family == "rough":
        yield FLANGE
    if making.lap:
        yield LAP
    if making.stock.sheet is None:
        yield NO_SHEET


def _points(shape: Polygon) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords)


def _length(line: Line) -> float:
    (a, b), (c, d) = line
    return float(((c - a) ** 2 + (d - b) ** 2) ** 0.5)
