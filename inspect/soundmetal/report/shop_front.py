"""Page 1 of the packet: what waits and what to take care of, before any number; then jobs, cut list, supplies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.report.shop_contexts import CutLine, Figure, Front, JobLine, SheetLine, SupplyLine
from soundmetal.report.shop_pieces import cut_line
from soundmetal.report.shop_remind import common_lines
from soundmetal.report.shop_sizes import US_MEASURES
from soundmetal.report.shop_telling import Numbered, ShopTelling, reminders
from soundmetal.report.telling import car_name
from soundmetal.scope.models import Blank, Consumable

#: How the scope names whole sheets among what is used up.
SHEET = "sheet"


@dataclass(frozen=True)
class _Cut:
    """One blank with its job and its number in the cut list."""

    job: Numbered
    number: str
    blank: Blank


def front(shop: ShopTelling) -> Front:
    """Make page 1."""
    lang, told = shop.lang, shop.told
    aim = told.words.aims[shop.job.inspection.aim]
    cuts = _cuts(shop)
    return Front(
        title=car_name(shop.job.inspection.vehicle, lang),
        facts=_facts(shop),
        aim=lang.translated(aim.name),
        aim_plain=lang.translated(aim.plain),
        made=_made(shop),
        holds=tuple(lang.sentence(step) for step in shop.job.scope.holds),
        holds_none=lang.text("Nothing waits. All answers are here."),
        cautions=tuple(dict.fromkeys(lang.sentence(step) for step in shop.job.scope.cautions)),
        always=_always(shop),
        figures=_figures(shop, cuts),
        figures_note=lang.text(
            "Hours and days run from a good day to a bad one: in one case in ten it may be less, in one in ten more."
        ),
        jobs=tuple(_job_line(shop, job) for job in shop.jobs),
        cuts=_cut_lines(shop, cuts),
        sheets=_sheets(shop, cuts),
        supplies=_supplies(shop),
    )


def _always(shop: ShopTelling) -> tuple[Markup, ...]:
    """What is minded on every job, with the distances of the shop book."""
    policies = shop.job.shop.policies
    values = {"margin_mm": policies.margin, "clear_mm": policies.mounting_clear}
    said = (shop.lang.text(one.text, **values) for one in reminders() if one.when == "always")
    return (*said, *common_lines(shop))


def _facts(shop: ShopTelling) -> tuple[Markup, ...]:
    """What the car is known by at the bench, and whose it is."""
    inspection, lang, body = shop.job.inspection, shop.lang, shop.job.body
    vehicle = inspection.vehicle
    facts = [Markup.escape(lang.own(body.names)), *(Markup.escape(word) for word in (vehicle.colour,) if word)]
    if vehicle.identification:
        facts.append(lang.text("identification {number}", number=vehicle.identification))
    if inspection.owner.name:
        facts.append(lang.text("owner {owner}", owner=inspection.owner.name))
    return tuple(facts)


def _made(shop: ShopTelling) -> Markup:
    inspection, lang = shop.job.inspection, shop.lang
    basis = lang.text(shop.told.words.basis[inspection.basis])
    if inspection.inspector:
        text = "Looked at by {inspector} on {day_date}."
        return lang.text(text, inspector=inspection.inspector, day_date=inspection.date) + " " + basis
    return lang.text("Looked at on {day_date}.", day_date=inspection.date) + " " + basis


def _cuts(shop: ShopTelling) -> tuple[_Cut, ...]:
    return tuple(_Cut(job, name, made) for job in shop.jobs for name, _, made in job.pieces if made is not None)


def _figures(shop: ShopTelling, cuts: Sequence[_Cut]) -> tuple[Figure, ...]:
    lang, look, scope = shop.lang, shop.lang.look, shop.job.scope
    hours, days = scope.total.hours, scope.days
    seam_mm = sum(seam.length_mm for seam in scope.seams if not seam.plugs)
    plugs = sum(seam.plugs for seam in scope.seams)
    tacks = sum(seam.tacks for seam in scope.seams)
    mass = sum(cut.blank.mass_kg for cut in cuts)
    span = "{low}–{high}"
    return (
        _figure(shop, lang.text(span, low=look.whole(hours.low), high=look.whole(hours.high)),
                "hours, likely {likely}", likely=look.whole(hours.likely)),
        _figure(shop, lang.text(span, low=look.whole(days.low), high=look.whole(days.high)),
                "working days, likely {likely}", likely=look.whole(days.likely)),
        _figure(shop, Markup.escape(shop.sizes.run(seam_mm)), "butt seam, {tacks_count} tacks", tacks_count=tacks),
        _figure(shop, Markup.escape(look.whole(plugs)), "plug welds"),
        _figure(shop, Markup.escape(str(len(cuts))), "blanks, {mass}", mass=shop.sizes.mass(mass)),
    )  # fmt: skip


def _figure(shop: ShopTelling, value: Markup, words: str, **values: object) -> Figure:
    return Figure(value, shop.lang.text(words, **values))


def _job_line(shop: ShopTelling, job: Numbered) -> JobLine:
    look, hours = shop.lang.look, job.work.hours
    return JobLine(
        number=job.number,
        anchor=job.anchor,
        panel=shop.panel_name(job.work.panel),
        method=shop.method_word(job.method),
        findings=job.finding_list,
        hours=f"{look.number(hours.low, 1)}–{look.number(hours.high, 1)}",
        held=shop.waits(job),
        stop=shop.stops(job),
    )


def _cut_lines(shop: ShopTelling, cuts: Sequence[_Cut]) -> tuple[CutLine, ...]:
    """Give the cut list, thinnest sheet first, so that one sheet is cut at a time."""
    ordered = sorted(cuts, key=lambda cut: cut.blank.thickness_mm)
    return tuple(cut_line(shop, cut.job, cut.number, cut.blank) for cut in ordered)


def _sheets(shop: ShopTelling, cuts: Sequence[_Cut]) -> tuple[SheetLine, ...]:
    """Give every thickness that is cut, thinnest first, with the whole sheets that the scope lays out for it."""
    groups: dict[float, list[Blank]] = {}
    for cut in cuts:
        groups.setdefault(cut.blank.thickness_mm, []).append(cut.blank)
    laid_out = [one for one in shop.job.scope.consumables if _is_sheet(one)]
    return tuple(_sheet(shop, thickness, groups[thickness], laid_out) for thickness in sorted(groups))


def _sheet(shop: ShopTelling, thickness_mm: float, blanks: list[Blank], laid_out: list[Consumable]) -> SheetLine:
    stock = {sheet.id: sheet for sheet in shop.job.shop.sheets}
    here = []
    for one in laid_out:
        name = one.id.removeprefix(SHEET).strip()
        sheet = stock.get(name)
        if sheet and abs(sheet.thickness - thickness_mm) < 1e-6:
            size, other = shop.sizes.box(*sheet.size)
            here.append(f"{one.amount:.0f} × {name}, {size} ({other})")
    return SheetLine(
        steel=shop.steel(thickness_mm, blanks[0].gauge),
        blanks=str(len(blanks)),
        area=shop.lang.look.area(sum(blank.width_mm * blank.height_mm for blank in blanks)),
        mass=shop.sizes.mass(sum(blank.mass_kg for blank in blanks)),
        sheets="; ".join(here) or str(shop.lang.text("not in the shop book: buy this thickness")),
    )


def _is_sheet(one: Consumable) -> bool:
    return one.id.startswith(f"{SHEET} ")


def _supplies(shop: ShopTelling) -> tuple[SupplyLine, ...]:
    return tuple(_supply(shop, one) for one in shop.job.scope.consumables if not _is_sheet(one))


def _supply(shop: ShopTelling, one: Consumable) -> SupplyLine:
    entry = shop.job.shop.consumables.get(one.id)
    name = shop.lang.own(entry.name) if entry else one.id
    packed = "" if one.unit in (*US_MEASURES, "each") else shop.lang.word(one.unit, "unit")
    return SupplyLine(name, shop.sizes.amount(one.amount, one.unit, gas=one.id == "gas"), packed)
