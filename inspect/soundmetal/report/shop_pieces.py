"""Openings and blanks of one job: drawings side by side at one scale, figures in both units, notes from the scope."""

from __future__ import annotations

from markupsafe import Markup

from soundmetal.car.models import Role
from soundmetal.repair.cutout import rust_boxes
from soundmetal.repair.models import Cutout
from soundmetal.repair.practice import practice
from soundmetal.report.drawings.blank import Piece, blank, scale_of
from soundmetal.report.drawings.cutout import Rust
from soundmetal.report.drawings.shop_cutout import locator, shop_cutout
from soundmetal.report.drawings.view import View, view_of
from soundmetal.report.shop_blank_notes import blank_lines, to_a_tenth
from soundmetal.report.shop_contexts import CutLine, PieceView
from soundmetal.report.shop_telling import Numbered, ShopTelling, lying_flat
from soundmetal.scope.blanks import TEMPLATE
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.pattern import pattern_of
from soundmetal.scope.sheets.settings import cutting_of

#: Width of the panel's drawing, which stands beside up to three others.
PANEL_MM = 40.0


def pieces(shop: ShopTelling, job: Numbered) -> tuple[PieceView, ...]:
    """Give every opening of a job with its blank, drawn at one scale."""
    return tuple(_view(shop, job, name, cut, made) for name, cut, made in job.pieces)


def panel_drawing(shop: ShopTelling, job: Numbered) -> Markup:
    """Draw the panel with its openings; nothing where nothing is cut."""
    cuts = [(name, cut) for name, cut, _ in job.pieces]
    size = shop.told.zone(job.work.panel).size_mm
    if not cuts:
        return Markup()
    return locator(size, cuts, shop.lang, shop.both, width_mm=PANEL_MM, view=view(shop, job))


def view(shop: ShopTelling, job: Numbered) -> View:
    """Say from where a panel is drawn: a skin from outside, a floor from above, what lies across from behind."""
    zone = shop.told.zone(job.work.panel)
    flat, across = zone.id.split(".")[0] in lying_flat(), practice().lies_across(zone.id)
    return view_of(zone.id, skin=zone.role is Role.SKIN, flat=flat, across=across)


def piece_of(shop: ShopTelling, made: Blank) -> Piece:
    """Give a blank with its flat pattern, the one that goes to the cutting table."""
    return Piece(made, pattern_of(made, cutting_of(shop.job.shop)))


def cut_line(shop: ShopTelling, job: Numbered, name: str, made: Blank) -> CutLine:
    """Give one line of the cut list."""
    size, other = shop.sizes.box(made.width_mm, made.height_mm)
    return CutLine(
        number=name,
        anchor=job.anchor,
        panel=shop.panel_name(made.panel),
        findings=", ".join(made.findings),
        size=size,
        size_other=other,
        steel=shop.steel(made.thickness_mm, made.gauge),
        shape=_shape(shop, made),
        mass=shop.sizes.mass(made.mass_kg),
        held=shop.waits(job),
        stop=shop.stops(job),
    )


def _view(shop: ShopTelling, job: Numbered, name: str, cut: Cutout, made: Blank | None) -> PieceView:
    lang = shop.lang
    piece = piece_of(shop, made) if made else None
    scale = scale_of([cut.outline, *([piece.flat] if piece else [])])
    radius = made.corner_radius_mm if made else shop.job.shop.policies.corner_radius
    size, other = shop.sizes.box(made.width_mm, made.height_mm) if made else ("", "")
    return PieceView(
        number=name,
        cut=shop_cutout(
            cut,
            _rusts(shop, job, cut),
            lang,
            shop.both,
            name=name,
            scale=scale,
            radius_mm=radius,
            view=view(shop, job),
        ),
        blank=blank(piece, lang, to_a_tenth(shop), name=name, scale=scale, view=view(shop, job))
        if piece
        else Markup(),
        size=size,
        size_other=other,
        figures=_figures(shop, made) if made else (),
        notes=_notes(shop, piece) if piece else (),
    )


def _notes(shop: ShopTelling, piece: Piece) -> tuple[Markup, ...]:
    own = (shop.lang.text(note) for note in _sentences(piece.made.grain_note))
    return (*blank_lines(shop, piece), *own)


def _figures(shop: ShopTelling, made: Blank) -> tuple[Markup, ...]:
    steel = Markup.escape(shop.steel(made.thickness_mm, made.gauge))
    return (steel, *_shape(shop, made), Markup.escape(shop.sizes.mass(made.mass_kg)))


def _shape(shop: ShopTelling, made: Blank) -> tuple[Markup, ...]:
    """Say what is done to a blank after it is cut: how it is formed, its bends and beads. Corners are drawn."""
    lang = shop.lang
    said = [Markup.escape(lang.word(made.form, "form"))]
    if made.bends:
        said.append(lang.plural("{count} bend", "{count} bends", made.bends))
    if made.bead_mm >= 1:
        said.append(lang.text("beads {length}", length=shop.sizes.main(made.bead_mm)))
    return tuple(said)


def _sentences(notes: str) -> list[str]:
    """Part the notes of a blank, which are whole sentences after one another, so that each can be translated.

    That a template is taken stands at the front, for every job.
    """
    parts = [f"{part.strip().rstrip('.')}." for part in notes.split(". ") if part.strip()]
    return [part for part in parts if part != TEMPLATE]


def _rusts(shop: ShopTelling, job: Numbered, cut: Cutout) -> list[Rust]:
    """The rust that one opening takes out, from where the opening was laid: as written, else as assumed."""
    policies, zone = shop.job.shop.policies, shop.told.zone(job.work.panel)
    opened = {finding for other in job.work.choice.taken.geometry.cutouts for finding in other.findings}
    graded = {g.finding.id: g for g in job.work.choice.graded if g.finding.id in opened}
    boxes = rust_boxes(tuple(g.finding for g in graded.values()), zone, 2 * policies.margin + policies.bridge)
    return [
        Rust((b.x0, b.y0, b.x1, b.y1), graded[b.findings[0]].level, b.shape)
        for b in boxes
        if b.findings[0] in cut.findings
    ]
