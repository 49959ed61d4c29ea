"""All six methods for every panel that has a finding: possible with its geometry, or not possible with the reason.

Safety comes first and bends for nobody: what weakens the structure is referred and nothing else is possible; what is
spent is never treated; what nobody saw is never left as sound. The rules' ids are those of `data/methods.yaml`.
"""

from __future__ import annotations

from dataclasses import dataclass

from soundmetal.car.models import Body, Shape, Zone
from soundmetal.grade.books import RuleBook
from soundmetal.grade.models import Graded, Grades, Level, Step
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Aim
from soundmetal.repair import geometry as metal
from soundmetal.repair.cutout import cutouts, one_section, rust_boxes, to_edges
from soundmetal.repair.flat import Box, flat_of
from soundmetal.repair.models import Cutout, Geometry, Method, Option
from soundmetal.repair.practice import practice
from soundmetal.repair.referral import referral_rule

#: Seams this much apart count as equally long.
_NEAR_MM = 1e-6


@dataclass(frozen=True)
class Panel:
    """One zone with its findings, and what the aim makes of each: stays, may be treated, has to be cut out.

    `to_cut` is what is cut out when the panel is cut at all: what has to be, and thin metal that lies too near to it,
    because no seam is laid on rust; where nothing has to be, all that is not sound.
    """

    zone: Zone
    graded: tuple[Graded, ...]
    shop: ShopBook
    refer_rule: str
    stays: tuple[Graded, ...]
    treat: tuple[Graded, ...]
    cut: tuple[Graded, ...]
    to_cut: tuple[Graded, ...]

    @property
    def active(self) -> tuple[Graded, ...]:
        """All that is not sound."""
        return tuple(g for g in self.graded if g.level is not Level.SOUND)

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of the findings that work is done on; of all where everything stays."""
        return tuple(g.finding.id for g in self.active or self.graded)

    @property
    def rest(self) -> tuple[Graded, ...]:
        """What is stripped and coated while the panel is being worked on."""
        return tuple(g for g in self.active if g not in self.to_cut)


def propose(grades: Grades, body: Body, shop: ShopBook, book: RuleBook, aim: Aim) -> tuple[tuple[Option, ...], ...]:
    """Give the six options of every panel with a finding, panels in the order of the walk round the car."""
    return tuple(options(panel) for panel in panels(grades, body, shop, book, aim))


def panels(grades: Grades, body: Body, shop: ShopBook, book: RuleBook, aim: Aim) -> tuple[Panel, ...]:
    """Gather the findings by zone, in the order of the walk; within a zone in the order of the grades."""
    of_zone: dict[str, list[Graded]] = {}
    for graded in grades.findings:
        of_zone.setdefault(graded.zone_id, []).append(graded)
    return tuple(_panel(zone, of_zone[zone.id], shop, book, aim) for zone in body.zones if zone.id in of_zone)


def options(panel: Panel) -> tuple[Option, ...]:
    """Give the six options of one panel, in the order leave, treat, patch, butt weld, full panel, refer."""
    openings = _openings(panel)
    return (
        _leave(panel),
        _treat(panel),
        _patch(panel, openings),
        _butt_weld(panel, openings),
        _full_panel(panel),
        _refer(panel, openings),
    )


def _panel(zone: Zone, graded: list[Graded], shop: ShopBook, book: RuleBook, aim: Aim) -> Panel:
    may_treat = {Level.NOT_SEEN, *practice().aims[aim].treats}
    rules = [rule for g in graded if (rule := referral_rule(g, zone, book))]
    active = tuple(g for g in graded if g.level is not Level.SOUND)
    treat = tuple(g for g in active if g.level in may_treat)
    cut = tuple(g for g in active if g.level not in may_treat)
    return Panel(
        _as_formed(zone, active),
        tuple(graded),
        shop,
        rules[0] if rules else "R9" if zone.frame_part and cut else "",
        stays=tuple(g for g in graded if g.level is Level.SOUND),
        treat=treat,
        cut=cut,
        to_cut=_with_neighbours(cut, treat, zone, shop) if cut else active,
    )


def _as_formed(zone: Zone, graded: tuple[Graded, ...]) -> Zone:
    """The zone as its steel is formed at the findings, where all say so alike; else as the catalogue has it.

    A measured section is straight legs between bends: it is bent from flat steel, whatever curves elsewhere.
    """
    told = {g.finding.form for g in graded}
    form = told.pop() if len(told) == 1 else None
    bent = bool(graded) and all(g.finding.section is not None for g in graded)
    if form is None and bent and zone.shape is Shape.COMPOUND:
        form = Shape.FLAT.value
    return zone if form is None else zone.model_copy(update={"shape": Shape(form)})


def _with_neighbours(
    cut: tuple[Graded, ...], treat: tuple[Graded, ...], zone: Zone, shop: ShopBook
) -> tuple[Graded, ...]:
    """Add places with thin or unknown metal that a cut-out's edge would run into; surface rust is ground off."""
    margin, clear = shop.policies.margin, 2 * shop.policies.margin + shop.policies.bridge
    boxes = {b.findings[0]: b for b in rust_boxes(tuple(g.finding for g in (*cut, *treat)), zone, clear)}
    taken = list(cut)
    thin = [g for g in treat if g.level is not Level.SURFACE]
    while near := [g for g in thin if any(_close(boxes[g.finding.id], boxes[t.finding.id], margin) for t in taken)]:
        taken += near
        thin = [g for g in thin if g not in near]
    return tuple(taken)


def _close(one: Box, other: Box, margin_mm: float) -> bool:
    return one.gap_to(other) < 2 * margin_mm


def _openings(panel: Panel) -> tuple[Cutout, ...]:
    cut = tuple(g.finding for g in panel.to_cut)
    return cutouts(cut, panel.zone, panel.shop.policies) if cut else ()


def _leave(panel: Panel) -> Option:
    if not panel.active:
        return _possible(panel, Method.LEAVE, Geometry(), "R1")
    unseen = any(g.level is Level.NOT_SEEN for g in panel.active)
    return _impossible(panel, Method.LEAVE, practice().reason("not_seen" if unseen else "rust", "R1"))


def _treat(panel: Panel) -> Option:
    if (blocked := _blocked(panel)) is not None:
        return _impossible(panel, Method.TREAT, blocked)
    if any(g.level in (Level.SPENT, Level.UNSAFE) for g in panel.cut):
        return _impossible(panel, Method.TREAT, practice().reason("spent", "R2"))
    if panel.cut:
        return _impossible(panel, Method.TREAT, practice().reason("aim", "R2"))
    places = tuple(g.finding for g in panel.treat)
    return _possible(panel, Method.TREAT, metal.treated(places, panel.zone, panel.shop.policies), "R2")


def _patch(panel: Panel, openings: tuple[Cutout, ...]) -> Option:
    if (blocked := _blocked(panel) or _frame(panel)) is not None:
        return _impossible(panel, Method.PATCH, blocked)
    if any(opening.ends for opening in openings):
        return _impossible(panel, Method.PATCH, practice().reason("edge", "R3"))
    share, limit = _share(panel, openings), panel.shop.policies.patch_share
    if share > limit:
        return _impossible(panel, Method.PATCH, practice().reason("share", "R3", share=share, limit_share=limit))
    return _possible(panel, Method.PATCH, _let_in(panel, openings), "R3", "R8")


def _butt_weld(panel: Panel, openings: tuple[Cutout, ...]) -> Option:
    if (blocked := _blocked(panel) or _frame(panel)) is not None:
        return _impossible(panel, Method.BUTT_WELD, blocked)
    sections = _sections(panel, openings)
    if sections is None:
        return _impossible(panel, Method.BUTT_WELD, practice().reason("field", "R4"))
    if panel.zone.separable and _seam(sections) < _NEAR_MM:
        return _impossible(panel, Method.BUTT_WELD, practice().reason("nothing_left", "R4"))
    return _possible(panel, Method.BUTT_WELD, _let_in(panel, sections), "R4", "R8")


def _full_panel(panel: Panel) -> Option:
    if (blocked := _blocked(panel) or _frame(panel)) is not None:
        return _impossible(panel, Method.FULL_PANEL, blocked)
    if not panel.zone.separable:
        return _impossible(panel, Method.FULL_PANEL, practice().reason("not_separable", "R5"))
    findings = tuple(g.finding for g in panel.active)
    whole = metal.whole_panel(findings, panel.zone, panel.shop.policies)
    return _possible(panel, Method.FULL_PANEL, whole, "R5", "R8")


def _refer(panel: Panel, openings: tuple[Cutout, ...]) -> Option:
    """Refer, with the shop's own proposal as its geometry; a frame part is only opened up and cleaned by the shop."""
    if not panel.refer_rule:
        return _impossible(panel, Method.REFER, practice().reason("not_referred", "R6"))
    rules = dict.fromkeys((panel.refer_rule, "R6", *(("R9",) if panel.zone.frame_part and panel.cut else ())))
    return _possible(panel, Method.REFER, proposal(panel, openings)[1], *rules)


def inner_plan(panel: Panel) -> Geometry:
    """What a spent layer behind the panel's cut-outs would need: closed seams round the same openings."""
    openings = _openings(panel)
    return metal.let_in(openings, (), panel.zone, panel.shop.policies) if openings else Geometry()


def proposal(panel: Panel, openings: tuple[Cutout, ...] | None = None) -> tuple[Method, Geometry]:
    """What the shop would do if nobody had to be asked: the method and its geometry, for the repairer to judge."""
    places = tuple(g.finding for g in panel.active)
    openings = _openings(panel) if openings is None else openings
    if panel.zone.frame_part or not panel.cut:
        method = Method.REFER if panel.zone.frame_part and panel.cut else Method.TREAT
        return method, metal.treated(places, panel.zone, panel.shop.policies)
    sections = _sections(panel, openings)
    if sections is not None:
        return Method.BUTT_WELD, _let_in(panel, sections)
    return Method.PATCH, _let_in(panel, openings)


def _sections(panel: Panel, openings: tuple[Cutout, ...]) -> tuple[Cutout, ...] | None:
    """The sections of a butt weld: the shorter seam of each place taken to an edge, or one section for all.

    None where every place lies in the field, is small enough for a patch, and going to the edge would need more seam.
    """
    policies = panel.shop.policies
    at_edges = to_edges(openings, panel.zone, policies)
    joined = (one_section(openings, panel.zone, policies),)
    reach = [s for s in (at_edges, joined) if any(c.ends for c in s)]
    best = min(reach or [joined], key=_seam)
    asked = (
        any(c.ends for c in openings)
        or _share(panel, openings) > policies.patch_share
        or (reach and _seam(best) <= _seam(openings) + _NEAR_MM)
    )
    return best if asked else None


def _seam(openings: tuple[Cutout, ...]) -> float:
    return sum(opening.seam_length_mm for opening in openings)


def _share(panel: Panel, openings: tuple[Cutout, ...]) -> float:
    return sum(opening.area_mm2 for opening in openings) / flat_of(panel.zone).area_mm2


def _let_in(panel: Panel, openings: tuple[Cutout, ...]) -> Geometry:
    covered = {finding for opening in openings for finding in opening.findings}
    rest = tuple(g.finding for g in panel.rest if g.finding.id not in covered)
    inside = tuple(g.finding for g in panel.graded if g.finding.id in covered)
    return metal.let_in(openings, rest, panel.zone, panel.shop.policies, inside)


def _blocked(panel: Panel) -> Step | None:
    """The reason that rules out every method of the shop's own: nothing to do, or not the shop's to decide."""
    if not panel.active:
        return practice().reason("sound", "R1")
    if not panel.refer_rule:
        return None
    method, plan = proposal(panel)
    if not plan.blanks:
        return practice().reason("refer_treat" if method is Method.TREAT else "refer", panel.refer_rule)
    told = {"method_word": method, "seam_mm": plan.seam_mm}
    if not plan.plug_welds:
        return practice().reason("refer_seam", panel.refer_rule, **told)
    return practice().reason("refer_proposal", panel.refer_rule, **told, plug_count=plan.plug_welds)


def _frame(panel: Panel) -> Step | None:
    return practice().reason("frame", "R9") if panel.zone.frame_part else None


def _possible(panel: Panel, method: Method, plan: Geometry, *rules: str) -> Option:
    return Option(panel.zone.id, method, panel.ids, plan, feasible=True, rules=rules)


def _impossible(panel: Panel, method: Method, why: Step) -> Option:
    return Option(panel.zone.id, method, panel.ids, Geometry(), feasible=False, why_not=why, rules=(why.source,))
