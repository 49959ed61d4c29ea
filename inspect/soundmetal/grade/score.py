"""Score of a finding, 0 to 100: only to rank findings against each other, never shown without its parts."""

from __future__ import annotations

from soundmetal.car.models import Role
from soundmetal.grade.models import AreaGrade, Level, ScorePart
from soundmetal.grade.rules import rules


def score_parts(
    level: Level, loss: float, limit: float, area: AreaGrade | None, role: Role, near: bool
) -> tuple[ScorePart, ...]:
    """Give the parts of the score; none when sound. No part falls when its input rises. Loss and limit are shares.

    Formula (our own weighting, no source): 60 min(1, loss / limit) + 15 min(1, rusted share / 0.33) + points of the
    role, or of a near mounting.
    """
    if level is Level.SOUND:
        return ()
    weight = rules().score
    share = area.percent / 100 if area else 0.0
    return (
        ScorePart(weight.loss.id, weight.loss.points * min(1.0, loss / limit)),
        ScorePart(weight.share.id, weight.share.points * min(1.0, share / weight.share.full_share)),
        ScorePart(weight.role.id, weight.role.near if near else weight.role.points[role]),
    )
