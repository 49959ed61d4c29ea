"""One job of the packet: what was found, where to cut, what to make, how it is joined, the hours."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from soundmetal.grade.models import Graded, Spread
from soundmetal.repair.models import Method
from soundmetal.report.drawings.plate_section import caption, plate_of, plate_section
from soundmetal.report.pages import facts
from soundmetal.report.shop_contexts import FoundLine, JobPage, WorkLine
from soundmetal.report.shop_fit import DENSE, ROOMY, TIGHT, Setting, fits, room_on
from soundmetal.report.shop_joins import joints, settings
from soundmetal.report.shop_photos import ROOM_MM, SMALL_ROOM_MM, shop_photos
from soundmetal.report.shop_pieces import panel_drawing, pieces
from soundmetal.report.shop_remind import book_lines, reminded
from soundmetal.report.shop_telling import Numbered, ShopTelling
from soundmetal.scope.models import Operation

_MM_PER = {"m": 1e3, "mm": 1.0}
_MM2_PER = {"m2": 1e6, "mm2": 1.0}


def job_page(shop: ShopTelling, job: Numbered) -> JobPage:
    """Make the page of one job, set as close as it must be to stay one page.

    One photograph rather than several, if that keeps it one. Where it cannot be one page it is not set any closer
    than reads well, and goes on with a second.
    """
    wide = _page(shop, job, ROOMY)
    if job.small:
        return wide
    close = replace(wide, setting=DENSE.css)
    tight = replace(close, setting=TIGHT.css, photos=shop_photos(shop, job, SMALL_ROOM_MM))
    paper = shop.job.inspection.paper
    one_photo = replace(tight, photos=tight.photos[:1])
    for page, setting in ((wide, ROOMY), (close, DENSE), (tight, TIGHT), (one_photo, TIGHT)):
        if fits(page, room_on(paper, setting)):
            return page
    return close


def _page(shop: ShopTelling, job: Numbered, setting: Setting) -> JobPage:
    before = shop.jobs[job.number - 2] if job.number > 1 else None
    lang, work = shop.lang, job.work
    total = _sum(work.operations)
    refer = job.method is Method.REFER
    proposal = lang.text("What is drawn below is our proposal to them. It is not released for work.")
    loose = [name for name, cut, _ in job.pieces if not cut.placed]
    return JobPage(
        number=job.number,
        anchor=job.anchor,
        small=job.small,
        joined=job.small and before is not None and before.small,
        setting=setting.css,
        panel=shop.panel_name(work.panel),
        method=shop.method_word(job.method),
        findings=job.finding_list,
        why=lang.sentence(work.choice.reason),
        held=shop.held(job),
        qualified=refer,
        proposal=proposal if refer and job.pieces else Markup(),
        access=_access(shop, job),
        found=tuple(_found(shop, graded) for graded in _graded(shop, job)),
        photos=shop_photos(shop, job, SMALL_ROOM_MM if job.small else ROOM_MM),
        where=panel_drawing(shop, job),
        unplaced=lang.text("Measure on the car where it lies: {pieces}.", pieces=", ".join(loose))
        if loose
        else Markup(),
        pieces=pieces(shop, job),
        joints=joints(shop, job),
        settings=settings(shop, job),
        work=tuple(_line(shop, operation) for operation in work.operations),
        sum_low=hours(shop, total.low),
        sum_likely=hours(shop, total.likely),
        sum_high=hours(shop, total.high),
        hidden=_hidden(shop, job),
        watch=reminded(shop, job),
        rules=book_lines(shop, job),
    )


def hours(shop: ShopTelling, value: float) -> str:
    """Give hours with one decimal, two under one, without the unit: a column's head carries it."""
    return shop.lang.look.number(value, 1 if value >= 1 else 2)


def _access(shop: ShopTelling, job: Numbered) -> str:
    """What comes off first; where another job opens the same access, which one."""
    zone = shop.told.zone(job.work.panel)
    words = shop.lang.own(zone.access_work) if zone.access_work else ""
    if not words or any(o.kind == "access" for o in job.work.operations):
        return words
    opener = next((j for j in shop.jobs if _opens_for(j, job)), None)
    if opener is None:
        return words
    return str(shop.lang.text("{words} (done with job {number})", words=words, number=opener.number).unescape())


def _opens_for(other: Numbered, job: Numbered) -> bool:
    opened = {finding for o in other.work.operations if o.kind == "access" for finding in o.findings}
    return other is not job and set(job.findings) <= opened


def _sum(operations: tuple[Operation, ...]) -> Spread:
    """Plain sums. The range told to the owner holds hidden rust as well, and not everything goes wrong at once."""
    return Spread(
        sum(o.hours.low for o in operations),
        sum(o.hours.likely for o in operations),
        sum(o.hours.high for o in operations),
    )


def _graded(shop: ShopTelling, job: Numbered) -> tuple[Graded, ...]:
    by_id = shop.job.grades.by_id
    return tuple(by_id[finding] for finding in job.findings if finding in by_id)


def _found(shop: ShopTelling, graded: Graded) -> FoundLine:
    lang, finding = shop.lang, graded.finding
    plate = plate_of(graded.metal_left, graded.level, finding.seen)
    return FoundLine(
        reference=finding.id,
        level=lang.word(graded.level.value, "level"),
        plate=plate_section(plate, lang, 34.0, 8.0),
        caption=caption(plate, lang),
        seen=facts.seen(shop.told, graded),
        note=finding.note,
    )


def _line(shop: ShopTelling, operation: Operation) -> WorkLine:
    lang = shop.lang
    return WorkLine(
        name=lang.own(shop.job.shop.operations[operation.kind].name),
        key=operation.kind,
        on="" if operation.kind == "access" else lang.translated(operation.driver),
        amount="" if operation.kind == "access" else _amount(shop, operation),
        low=hours(shop, operation.hours.low),
        likely=hours(shop, operation.hours.likely),
        high=hours(shop, operation.hours.high),
    )


def _amount(shop: ShopTelling, operation: Operation) -> str:
    """How much of it the hours were computed from, in the reader's units."""
    look, amount = shop.lang.look, operation.amount
    if operation.unit in _MM_PER:
        return shop.sizes.run(amount * _MM_PER[operation.unit])
    if operation.unit in _MM2_PER:
        return look.area(amount * _MM2_PER[operation.unit])
    if operation.unit == "h":
        return look.hours(amount)
    return look.number(amount, 0 if amount == int(amount) else 1)


def _hidden(shop: ShopTelling, job: Numbered) -> Markup:
    look, told = shop.lang.look, job.work.hours
    text = "as drawn; with what may be hidden {low} to {high}"
    return shop.lang.text(text, low=look.number(told.low, 1), high=look.number(told.high, 1))
