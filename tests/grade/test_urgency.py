from __future__ import annotations

from itertools import pairwise

import pytest

from soundmetal.car.models import Role
from soundmetal.grade.models import Level
from soundmetal.grade.urgency import urgency, urgency_rank

#: From mild to severe; a suspect loss is a thinned one near its limit.
LADDER = [
    (Level.SOUND, False),
    (Level.SURFACE, False),
    (Level.THINNED, False),
    (Level.THINNED, True),
    (Level.SPENT, False),
    (Level.UNSAFE, False),
]


@pytest.mark.parametrize("role", list(Role))
def test_urgency_never_falls_as_the_level_rises(role):
    ranks = [urgency_rank(urgency(level, role, suspect)) for level, suspect in LADDER]
    assert all(worse <= milder for milder, worse in pairwise(ranks))


@pytest.mark.parametrize(("level", "suspect"), LADDER)
def test_urgency_never_falls_as_the_role_rises(level, suspect):
    ranks = [urgency_rank(urgency(level, role, suspect)) for role in (Role.SKIN, Role.FLOOR, Role.LOAD_BEARING)]
    assert ranks == sorted(ranks, reverse=True)
    assert urgency_rank(urgency(level, Role.INNER, suspect)) <= ranks[0]


@pytest.mark.parametrize("role", list(Role))
def test_unsafe_is_not_driven_whatever_the_part(role):
    assert urgency(Level.UNSAFE, role, False).startswith("Do not drive the car")


def test_what_was_not_seen_asks_to_be_looked_at():
    assert "looked at before you rely on it" in urgency(Level.NOT_SEEN, Role.LOAD_BEARING, False)
