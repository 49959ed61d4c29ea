"""The scope of one car for one aim, worked out from the grades in one go; and for all three aims side by side.

Options are proposed and priced, one is chosen for each panel, shared access is counted once, hours and price are told
as ranges, and the work is put in order. Same record, same shop book: same scope.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from soundmetal.car.models import Body, Zone
from soundmetal.errors import SoundmetalError
from soundmetal.grade.books import RuleBook
from soundmetal.grade.models import Grades, Level, Step
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Aim
from soundmetal.repair.choose import choose
from soundmetal.repair.joint import overlap_allowed, why_joined_so
from soundmetal.repair.models import Choice, Method
from soundmetal.repair.propose import Panel, inner_plan, options, panels
from soundmetal.scope import notices, outside
from soundmetal.scope.beside import beside
from soundmetal.scope.blanks import original_mm, stock_for
from soundmetal.scope.consumables import sheets_needed, together
from soundmetal.scope.declined import NOTHING_DECLINED, declined_of
from soundmetal.scope.estimate import OUTSIDE, Place, Setting, estimate, priced
from soundmetal.scope.growth import NONE, Hidden
from soundmetal.scope.items import Estimate, Material, WorkItem
from soundmetal.scope.models import Line, Operation, PanelWork, Scope, Seam, Total
from soundmetal.scope.moments import moments
from soundmetal.scope.order import Away, dates, days, nodes_of, tasks
from soundmetal.scope.price import hours_range, money_range, panel_lines, total
from soundmetal.scope.seams import seams_of
from soundmetal.scope.simulate import Draws, seed_of, simulate


@dataclass(frozen=True)
class Job:
    """One panel worked out: where, which choice, and its numbers."""

    place: Place
    choice: Choice
    found: Estimate

    @property
    def zone(self) -> Zone:
        """The panel's zone."""
        return self.place.zone

    def seams(self, shop: ShopBook) -> tuple[Seam, ...]:
        """Its seams."""
        steel = stock_for(original_mm(self.zone, self.place.graded), self.zone, shop).thickness_mm
        return seams_of(self.choice.taken, shop, steel, lap=self.place.lap, why=self.place.why)


def all_aims(
    inspection: Inspection,
    body: Body,
    shop: ShopBook,
    book: RuleBook,
    grades: Grades,
    meanwhile: Callable[[], None] | None = None,
    *,
    heed: bool = False,
) -> dict[Aim, Scope]:
    """Work out the car for each of the three aims: the owner's here, the other two beside it on another core.

    `meanwhile` is called while the other two are still being worked out; `heed` is that of `work_out`.
    """

    def found(aims: Sequence[Aim]) -> dict[Aim, Scope]:
        return {aim: work_out(inspection, body, shop, book, grades, aim, heed=heed) for aim in aims}

    others = beside(lambda: found([aim for aim in Aim if aim is not inspection.aim]))
    scopes = found([inspection.aim])
    if meanwhile:
        meanwhile()
    scopes |= others()
    return {aim: scopes[aim] for aim in Aim}


def work_out(
    inspection: Inspection,
    body: Body,
    shop: ShopBook,
    book: RuleBook,
    grades: Grades,
    aim: Aim,
    *,
    heed: bool = False,
) -> Scope:
    """Work out the car for one aim: all of it, as an owner is asked, or heeding what the owner said no to."""
    setting = Setting(shop, aim, inspection.basis)
    refused = declined_of(inspection, grades, body)
    declined = refused if heed else NOTHING_DECLINED
    wanted = panels(declined.without(grades), body, shop, book, aim)
    jobs = _access_once([_job(p, grades, setting, book) for p in wanted], setting)
    draws, lines, whole = _in_all(jobs, setting, seed_of(inspection))
    choices = [job.choice for job in jobs]
    waiting = declined.waiting(choices, notices.panel_holds(choices, inspection, refused.safety))
    referred = [job.choice.panel for job in jobs if job.choice.taken.method is Method.REFER]
    away = _away(jobs, setting)
    nodes = nodes_of([job.found for job in jobs], away, shop)
    blanks = tuple(blank for job in jobs for blank in job.found.blanks)
    order = tasks(nodes, body.zones, shop, *notices.short_holds(waiting, referred))
    length = days(nodes, body.zones, shop, whole.hours)
    worked = tuple(_panel_work(job, n, lines[n], draws, shop) for n, job in enumerate(jobs))
    return Scope(
        aim=aim.value,
        panels=worked,
        blanks=blanks,
        seams=tuple(seam for panel in worked for seam in panel.seams),
        consumables=(*sheets_needed(blanks, shop), *together([job.found.consumables for job in jobs], shop)),
        total=whole,
        order=order,
        days=length,
        holds=(*declined.steps(choices), *notices.hold_steps(waiting, referred, inspection)),
        declined=declined.ids,
        cautions=_cautions(jobs, body, book),
        leaves_undone=notices.undone(choices, grades, aim, painted=any(a.name == "paint" for a in away)),
        dates=dates(order, length, shop, inspection.starts),
    )


def faults(
    inspection: Inspection, body: Body, shop: ShopBook, book: RuleBook, grades: Grades
) -> tuple[SoundmetalError, ...]:
    """List what keeps a panel from being worked out for any of the aims; what several aims meet is told once."""
    found: dict[str, SoundmetalError] = {}
    for aim in Aim:
        setting = Setting(shop, aim, inspection.basis)
        for panel in panels(grades, body, shop, book, aim):
            try:
                _job(panel, grades, setting, book)
            except SoundmetalError as error:
                found.setdefault(str(error), error)
    return tuple(found.values())


def _in_all(jobs: Sequence[Job], setting: Setting, seed: int) -> tuple[Draws, list[tuple[Line, ...]], Total]:
    """Simulate the whole car: the draws and the lines of each part, panels first, and what they come to."""
    shop, rho = setting.shop, setting.shop.policies.correlation
    parts = [*(job.found for job in jobs), *_of_car(jobs, setting)]
    draws = simulate(parts, rho, shop.policies.draws, seed)
    lines = [tuple(panel_lines(found, _method(found, jobs), shop)) for found in parts]
    hours = sum(found.mean_h for found in parts)
    return draws, lines, total([x for part in lines for x in part], draws, hours, moments(parts, rho), shop)


def _job(panel: Panel, grades: Grades, setting: Setting, book: RuleBook) -> Job:
    lap = overlap_allowed(panel.zone, setting.shop, book)
    why = why_joined_so(panel.zone, setting.shop, book)
    place = Place(panel.zone, panel.graded, inner_plan(panel), _inner_known(panel.zone.id, grades), lap, why)
    choices = tuple(priced(option, place, setting) for option in options(panel))
    choice = choose(choices, setting.aim, setting.shop.policies.near_price, panel.graded)
    return Job(place, choice, estimate(choice.taken, place, setting))


def _inner_known(zone_id: str, grades: Grades) -> bool:
    """Tell whether the layer behind is a zone of its own that somebody has seen."""
    behind = ".".join("inner" if part == "outer" else part for part in zone_id.split("."))
    return behind != zone_id and any(z.zone_id == behind and z.level is not Level.NOT_SEEN for z in grades.zones)


def _access_once(jobs: Sequence[Job], setting: Setting) -> list[Job]:
    """Let the panel that needs most access carry it for its group, for the findings of all; the others need none."""
    groups: dict[str, list[Job]] = {}
    for job in jobs:
        if job.choice.taken.method is not Method.LEAVE and job.zone.access_hours[1] > 0:
            groups.setdefault(job.zone.access, []).append(job)
    carriers = {id(max(group, key=lambda j: j.zone.access_hours[1])): group for group in groups.values()}
    return [_with_access(job, carriers.get(id(job)), setting) for job in jobs]


def _with_access(job: Job, group: Sequence[Job] | None, setting: Setting) -> Job:
    found = estimate(job.choice.taken, job.place, setting, access=group is not None)
    if group is None or len(group) == 1:
        return replace(job, found=found)
    ids = tuple(finding for other in group for finding in other.choice.taken.findings)
    first, *rest = found.work
    shared = replace(first, operation=replace(first.operation, findings=ids))
    return replace(job, found=replace(found, work=(shared, *rest)))


def _of_car(jobs: Sequence[Job], setting: Setting) -> list[Estimate]:
    """Outside work that the whole car asks for once, as a part of its own."""
    works = list(outside.of_car(tuple(job.choice.taken for job in jobs), setting.shop, setting.aim))
    if not works:
        return []
    materials = tuple(
        Material(OUTSIDE, w.price, 0.0, w.low_factor, w.high_factor, name, "shop book") for name, w in works
    )
    return [Estimate("", (), Hidden(NONE, 0.0), (), materials, rates=setting.rates)]


def _away(jobs: Sequence[Job], setting: Setting) -> list[Away]:
    shop, aim = setting.shop, setting.aim
    taken = tuple(job.choice.taken for job in jobs)
    of_panels = [
        Away(name, work, option.panel, option.findings)
        for option in taken
        for name, work in outside.of_panel(option, shop, aim)
    ]
    return of_panels + [Away(name, work, "") for name, work in outside.of_car(taken, shop, aim)]


def _method(found: Estimate, jobs: Sequence[Job]) -> Method:
    return next((job.choice.taken.method for job in jobs if job.choice.panel == found.panel), Method.LEAVE)


def _panel_work(job: Job, row: int, lines: Sequence[Line], draws: Draws, shop: ShopBook) -> PanelWork:
    net = sum((line.amount for line in lines), Decimal("0.00"))
    return PanelWork(
        panel=job.choice.panel,
        choice=job.choice,
        operations=tuple(_expected(item, job.found) for item in job.found.work),
        blanks=job.found.blanks,
        seams=job.seams(shop),
        hours=hours_range(draws.hours[row], job.found.mean_h),
        price=money_range(draws.money[row], net),
        growth=job.found.hidden.growth,
        inner_chance=job.found.hidden.inner_chance,
    )


def _expected(item: WorkItem, found: Estimate) -> Operation:
    return replace(item.operation, expected_h=item.mean_h(found.hidden.growth))


def _cautions(jobs: Sequence[Job], body: Body, book: RuleBook) -> tuple[Step, ...]:
    coated = any(blank for job in jobs for blank in job.found.blanks)
    return notices.cautions([job.choice for job in jobs], body.by_id, book, zinc=coated)
