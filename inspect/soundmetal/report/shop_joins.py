"""Seams of one job: their figures, drawings of the joint, and published settings from which a welder may start."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from soundmetal.handbook.welding import mag, tig
from soundmetal.repair.practice import practice
from soundmetal.report.drawings.shop_joint import Row, butt_section, butt_words, plug_row, plug_words
from soundmetal.report.drawings.tacks import numbered, tack_plan
from soundmetal.report.shop_blank_notes import scribed, to_a_tenth
from soundmetal.report.shop_contexts import JointView
from soundmetal.report.shop_pieces import view
from soundmetal.report.shop_telling import Numbered, ShopTelling
from soundmetal.scope.models import Seam, TackPlan, WeldPlan
from soundmetal.scope.seams import LAP

Range = tuple[float, float]

#: Width of a plug row's drawing where up to two drawings stand beside the panel, and where more do, in mm.
WIDTHS_MM, MOST_WIDE = (60.0, 44.0), 2
#: A butt seam's words take more room.
BUTT_MM = (60.0, 53.0)


def joints(shop: ShopTelling, job: Numbered) -> tuple[JointView, ...]:
    """Draw the joints that the job needs with the figures of their seams: butt seam, row of plug welds, or both."""
    butts = [seam for seam in job.work.seams if not seam.plugs]
    rows = [seam for seam in job.work.seams if seam.plugs]
    plans = [seam for seam in butts if seam.plan]
    close = len(plans) + bool(butts) + bool(rows) > MOST_WIDE
    found = []
    if butts:
        found.append(_butt_view(shop, job, butts, BUTT_MM[close]))
    if rows:
        found.append(_plug_view(shop, rows, WIDTHS_MM[close]))
    return tuple(found)


def _butt_view(shop: ShopTelling, job: Numbered, butts: Sequence[Seam], width_mm: float) -> JointView:
    turned = view(shop, job).front_right
    said = _section_words(shop, job)
    return JointView(
        name=shop.lang.translated("Butt seam"),
        drawing=butt_section(shop.lang, *said, width_mm) if said else Markup(),
        figures=butt_words(shop.lang, *said) if said else (),
        seams=tuple(_butt(shop, seam) for seam in butts),
        plans=tuple((", ".join(seam.findings), _tacks(shop, seam.plan, turned)) for seam in butts if seam.plan),
        notes=_notes(shop, butts),
    )


def _plug_view(shop: ShopTelling, rows: Sequence[Seam], width_mm: float) -> JointView:
    row = _row(shop, rows)
    return JointView(
        name=shop.lang.translated("Plug welds"),
        drawing=plug_row(shop.lang, row, width_mm),
        figures=plug_words(shop.lang, row),
        seams=tuple(_plugs(shop, seam) for seam in rows),
        notes=_notes(shop, rows),
    )


def _butt(shop: ShopTelling, seam: Seam) -> Markup:
    """Say a butt seam's length and tacks; of one run also how far apart they are, as a row of them is set out."""
    values = {"findings": ", ".join(seam.findings), "tacks_count": seam.tacks, "process": seam.process}
    if seam.plan is not None and len(seam.plan.lines_mm) == 1:
        text = "{findings}: {length}, {tacks_count} tacks, each {spacing} from the next, {process}, shows"
        if not seam.visible:
            text = "{findings}: {length}, {tacks_count} tacks, each {spacing} from the next, {process}, hidden"
        return shop.lang.text(
            text, length=_bold(shop, seam), spacing=scribed(shop, seam.plan.spacing_mm), **values
        )  # fmt: skip
    text = "{findings}: {length}, {tacks_count} tacks, {process}, shows"
    if not seam.visible:
        text = "{findings}: {length}, {tacks_count} tacks, {process}, hidden"
    return shop.lang.text(text, length=_bold(shop, seam), **values)


def _plugs(shop: ShopTelling, seam: Seam) -> Markup:
    text = "{findings}: {length}, {plugs_count} plug welds, {process}"
    values = {"findings": ", ".join(seam.findings), "plugs_count": seam.plugs, "process": seam.process}
    return shop.lang.text(text, length=_bold(shop, seam), **values)


def _notes(shop: ShopTelling, seams: Sequence[Seam]) -> tuple[Markup, ...]:
    """What is to be minded at some seams, each sentence once."""
    return tuple(dict.fromkeys(note for seam in seams for note in _minded(shop, seam)))


def _minded(shop: ShopTelling, seam: Seam) -> Iterator[Markup]:
    if seam.plan is not None and numbered(seam.plan) < len(seam.plan.order):
        text = "{findings}: first the numbers, then the open dots, each far from the ones before."
        yield shop.lang.text(text, findings=", ".join(seam.findings))
    if seam.spot_pitch_mm is not None:
        text = "With a spot welder instead: spots {least} apart or more."
        yield shop.lang.text(text, least=shop.sizes.both(seam.spot_pitch_mm))
    if seam.weld is not None and not seam.plugs:
        yield _takes(shop, seam.weld)
    if seam.why is not None and seam.kind == LAP:
        yield shop.lang.sentence(seam.why)


def _takes(shop: ShopTelling, weld: WeldPlan) -> Markup:
    """What the seam takes, and the heat that goes into the work where a published setting tells it."""
    number = shop.lang.look.number
    values: dict[str, object] = {
        "metal": number(weld.metal_g, 0 if weld.metal_g >= 10 else 1),
        "wire": shop.sizes.run(weld.wire_m * 1000),
        "gas": number(weld.gas_l),
    }
    if weld.heat_kj_mm is None:
        return shop.lang.text("Takes {metal} g of weld metal, {wire} of wire, {gas} l of gas.", **values)
    text = "Takes {metal} g of weld metal, {wire} of wire, {gas} l of gas; {heat} kJ/mm of heat in one run."
    low, high = (number(heat, 2) for heat in weld.heat_kj_mm)
    return shop.lang.text(text, **values, heat=low if low == high else f"{low}–{high}")


def _tacks(shop: ShopTelling, plan: TackPlan, turned: bool) -> Markup:
    return tack_plan(shop.lang, plan, shop.sizes.both(plan.spacing_mm), mirrored=turned)


def _bold(shop: ShopTelling, seam: Seam) -> Markup:
    return Markup("<b>{}</b>").format(shop.sizes.both(seam.length_mm))


def _section_words(shop: ShopTelling, job: Numbered) -> tuple[str, str, str] | None:
    """Sheet, gap and tacks of the butt seam; None where the steel is not known, as with a bought panel."""
    thickness, sizes = _thickness(job), shop.sizes
    if thickness is None:
        return None
    gap = sizes.both(practice().bead_on(thickness).gap_mm)
    return sizes.thickness(thickness), gap, sizes.both(shop.job.shop.policies.tack_pitch)


def _row(shop: ShopTelling, rows: Sequence[Seam]) -> Row:
    """The row as it comes out: the pitch is the widest of the flanges', which share their length evenly."""
    policies = shop.job.shop.policies
    count, pitch = sum(seam.plugs for seam in rows), max(seam.pitch_mm for seam in rows)
    return Row(shop.both(policies.plug_end), to_a_tenth(shop)(pitch), shop.both(policies.plug_hole), count)


def settings(shop: ShopTelling, job: Numbered) -> Markup:
    """Say where to start on scrap, from the makers' table for the nearest thickness; say so where there is none."""
    thickness = _thickness(job)
    if not job.work.seams or thickness is None:
        return Markup()
    try:
        return _tig(shop, thickness) if shop.job.shop.policies.process == "TIG" else _mag(shop, thickness)
    except ValueError:
        text = "No published setting for steel of {steel}: try on scrap first."
        return shop.lang.text(text, steel=shop.sizes.thickness(thickness))


def _mag(shop: ShopTelling, thickness: float) -> Markup:
    row = mag(thickness)
    return shop.lang.text(
        "MIG, machine makers' tables for {steel}, continuous run: {amperes} A, {volts} V, wire {wire} mm, "
        "gas {gas} l/min. Try it on scrap.",
        steel=shop.sizes.thickness(row.thickness_mm), amperes=_span(shop, row.amperes), volts=_span(shop, row.volts),
        wire=_span(shop, row.wire_mm, 1), gas=_span(shop, row.gas_l_min),
    )  # fmt: skip


def _tig(shop: ShopTelling, thickness: float) -> Markup:
    row, look = tig(thickness), shop.lang.look
    return shop.lang.text(
        "TIG, machine makers' tables for {steel}, continuous run: {amperes} A, tungsten {tungsten} mm, "
        "filler {filler} mm, argon {argon} l/min. Try it on scrap.",
        steel=shop.sizes.thickness(row.thickness_mm), amperes=_span(shop, row.amperes),
        tungsten=look.number(row.tungsten_mm, 1), filler=look.number(row.filler_mm, 1),
        argon=look.number(row.argon_l_min),
    )  # fmt: skip


def _span(shop: ShopTelling, pair: Range, decimals: int = 0) -> str:
    low, high = (shop.lang.look.number(value, decimals) for value in pair)
    return low if low == high else f"{low}–{high}"


def _thickness(job: Numbered) -> float | None:
    """Thickness of the new steel; None where nothing is made, as with a bought panel."""
    return job.work.blanks[0].thickness_mm if job.work.blanks else None
