from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.car.models import Role
from soundmetal.grade.models import AreaGrade, Level
from soundmetal.grade.score import score_parts

SHARES = st.floats(0, 1)
ROLES = st.sampled_from([Role.SKIN, Role.INNER, Role.FLOOR, Role.LOAD_BEARING])
RANK = {Role.SKIN: 0, Role.INNER: 1, Role.FLOOR: 1, Role.LOAD_BEARING: 2}


def score(loss=0.0, percent=0.0, role=Role.SKIN, near=False, limit=0.30, level=Level.THINNED):
    area = AreaGrade(percent, 0, 10, "test")
    return math.fsum(part.points for part in score_parts(level, loss, limit, area, role, near))


# The weights are the project's own (rules, section 3; no source): 60 loss, 15 share, 0 / 8 / 18 / 25 role.
@pytest.mark.parametrize(
    ("given_", "expected"),
    [
        ({"loss": 0.15}, 30.0),
        ({"loss": 0.30}, 60.0),
        ({"loss": 0.90}, 60.0),
        ({"percent": 33.0}, 15.0),
        ({"percent": 16.5}, 7.5),
        ({"percent": 100.0}, 15.0),
        ({"role": Role.SKIN}, 0.0),
        ({"role": Role.INNER}, 8.0),
        ({"role": Role.FLOOR}, 8.0),
        ({"role": Role.LOAD_BEARING}, 18.0),
        ({"role": Role.LOAD_BEARING, "near": True}, 25.0),
        ({"loss": 1.0, "percent": 100.0, "role": Role.FLOOR, "near": True}, 100.0),
    ],
)
def test_points(given_, expected):
    assert score(**given_) == pytest.approx(expected)


def test_sound_has_no_score_and_no_parts():
    assert score_parts(Level.SOUND, 0.5, 0.3, None, Role.LOAD_BEARING, True) == ()


def test_every_part_names_its_rule():
    assert [part.rule for part in score_parts(Level.SPENT, 0.5, 0.3, None, Role.SKIN, False)] == ["S1", "S2", "S3"]


@given(loss=SHARES, more_loss=SHARES, share=SHARES, more_share=SHARES, role=ROLES, higher=ROLES, near=st.booleans())
def test_the_score_never_falls_when_loss_share_or_role_rises(loss, more_loss, share, more_share, role, higher, near):
    role, higher = sorted([role, higher], key=RANK.__getitem__)
    less = score(min(loss, more_loss), 100 * min(share, more_share), role, near)
    most = score(max(loss, more_loss), 100 * max(share, more_share), higher, near)
    assert 0 <= less <= most <= 100


@given(loss=SHARES, share=SHARES, role=ROLES)
def test_a_near_mounting_never_lowers_the_score(loss, share, role):
    assert score(loss, 100 * share, role, near=True) >= score(loss, 100 * share, role)
