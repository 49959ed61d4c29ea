"""What the owner said no to: it leaves the hours, the price and the calendar, and is told as a hold.

What touches safety is told with its caution. A skin that would close over refused steel waits, and so does every cut
on a body whose frame or mounts stay unsafe.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from soundmetal.car.models import Body
from soundmetal.grade.models import Graded, Grades, Step
from soundmetal.record.models import Inspection
from soundmetal.record.terms import Reply
from soundmetal.repair.models import Choice, Method
from soundmetal.scope import notices
from soundmetal.scope.network import bay
from soundmetal.scope.offer import touches_safety

#: Methods that cut the panel.
CUT = (Method.PATCH, Method.BUTT_WELD, Method.FULL_PANEL)


@dataclass(frozen=True)
class Declined:
    """Graded findings that the owner refused, worst first.

    `safety` are the zones of those that touch safety, `carrying` those among them that are frame or mounts.
    """

    graded: tuple[Graded, ...] = ()
    safety: frozenset[str] = frozenset()
    carrying: frozenset[str] = frozenset()

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of the findings that were refused."""
        return tuple(one.finding.id for one in self.graded)

    def without(self, grades: Grades) -> Grades:
        """Give the grades of what is left to do."""
        if not self.graded:
            return grades
        return replace(grades, findings=tuple(g for g in grades.findings if g.finding.id not in set(self.ids)))

    def behind(self, choices: Sequence[Choice]) -> dict[str, str]:
        """Name the panels that would close over refused steel, with the key of their hold.

        Order of work, rule O8: nobody reaches the inner structure behind a closed skin. A refused place of the panel
        itself counts too: no seam is laid beside rust that stays.
        """
        refused = {bay(one.zone_id) for one in self.graded}
        worked = (choice for choice in choices if choice.taken.method is not Method.LEAVE)
        return {choice.panel: "behind" for choice in worked if bay(choice.panel) in refused}

    def above(self, choices: Sequence[Choice]) -> dict[str, str]:
        """Name the panels that would be cut on a frame or mounts that stay unsafe, with the key of their hold.

        Order of work, rule O6b: frame and mounts are put right before the body on them.
        """
        return {choice.panel: "above" for choice in choices if self.carrying and choice.taken.method in CUT}

    def waiting(self, choices: Sequence[Choice], answered: dict[str, str]) -> dict[str, str]:
        """Name what each panel waits for, with the key of its hold: one reason each, `answered` before the frame."""
        return self.above(choices) | answered | self.behind(choices)

    def steps(self, choices: Sequence[Choice]) -> tuple[Step, ...]:
        """Tell each refused zone once, with its caution where it touches safety, and that work waits if it does."""
        texts = notices.notices().holds
        return tuple(
            Step(texts[self._key(zone, choices)].text, {"panel_zone": zone}, notices.FILE)
            for zone in dict.fromkeys(one.zone_id for one in self.graded)
        )

    def _key(self, zone: str, choices: Sequence[Choice]) -> str:
        if zone not in self.safety:
            return "no"
        closed = any(bay(panel) == bay(zone) for panel in self.behind(choices))
        cut_on = zone in self.carrying and self.above(choices)
        return "no_safety" if closed or cut_on else "no_safety_alone"


NOTHING_DECLINED = Declined()


def declined_of(inspection: Inspection, grades: Grades, body: Body) -> Declined:
    """Gather what the record says the owner said no to."""
    refused = {name for name, answer in inspection.answers.items() if answer.reply is Reply.NO}
    graded = tuple(one for one in grades.findings if one.finding.id in refused)
    safety = {one.zone_id for one in graded if touches_safety(one, body.by_id[one.zone_id])}
    return Declined(graded, frozenset(safety), frozenset(zone for zone in safety if body.by_id[zone].frame_part))
