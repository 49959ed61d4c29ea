"""What the owner said no to: it leaves the hours, the price and the calendar, and is told as a hold.

What touches safety is told with its caution, and a skin that would close over refused steel waits.
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


@dataclass(frozen=True)
class Declined:
    """Graded findings that the owner refused, worst first; `safety` are the zones of those that touch safety."""

    graded: tuple[Graded, ...] = ()
    safety: frozenset[str] = frozenset()

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

    def steps(self) -> tuple[Step, ...]:
        """Tell each refused zone once, with its caution where it touches safety."""
        zones = {one.zone_id: one.zone_id in self.safety for one in self.graded}
        texts = notices.notices().holds
        return tuple(
            Step(texts["no_safety" if safety else "no"].text, {"panel_zone": zone}, notices.FILE)
            for zone, safety in zones.items()
        )


NOTHING_DECLINED = Declined()


def declined_of(inspection: Inspection, grades: Grades, body: Body) -> Declined:
    """Gather what the record says the owner said no to."""
    refused = {name for name, answer in inspection.answers.items() if answer.reply is Reply.NO}
    graded = tuple(one for one in grades.findings if one.finding.id in refused)
    safety = {one.zone_id for one in graded if touches_safety(one, body.by_id[one.zone_id])}
    return Declined(graded, frozenset(safety))
