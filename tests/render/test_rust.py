"""The rust's labels against its own field, and its sizes against what was asked for."""

from __future__ import annotations

import numpy as np
import pytest

from render import coats, grime
from render.rust import Rust, adrift, eat, through
from render.skin import HOLE, SCALE, SOUND, SURFACE, Skin


def _panel(seed: int = 4) -> Skin:
    s = Skin(240, 160, 1.5, seed)
    coats.paint(s, coats.GREEN)
    return s


def test_labels_are_the_field_cut_at_its_limits() -> None:
    s, r = _panel(), Rust()
    f = eat(s, s.v / s.height_mm, r)
    left = s.label != HOLE
    for label, low in ((SURFACE, r.surface), (SCALE, r.scale)):
        np.testing.assert_array_equal((s.label >= label)[left], (f >= low)[left])
    assert (s.label[f >= r.hole] == HOLE).all()
    assert {SOUND, SURFACE, SCALE, HOLE} == set(np.unique(s.label))


def test_an_island_of_steel_in_a_hole_falls_out_and_a_tongue_stays() -> None:
    steel = np.ones((120, 160), bool)
    steel[20:100, 20:140] = False
    steel[50:70, 60:80] = True  # nothing holds it
    steel[20:60, 100:110] = True  # hangs from above
    loose = adrift(steel, 2.0)
    assert loose[55:65, 65:75].all()
    assert not loose[20:58, 102:108].any()
    assert not loose[:18].any()


def test_a_scrap_at_the_rim_of_a_panel_falls_out_too() -> None:
    steel = np.ones((120, 200), bool)
    steel[60:, 60:140] = False
    steel[110:, 90:110] = True
    loose = adrift(steel, 2.0)
    assert loose[113:118, 95:105].all()
    assert not loose[:, :50].any()


def test_where_it_is_a_hole_there_is_no_steel_and_nowhere_else() -> None:
    s = _panel()
    eat(s, s.v / s.height_mm, Rust())
    np.testing.assert_array_equal(s.eaten >= 0, s.label == HOLE)


def test_without_cause_there_is_no_rust() -> None:
    s = _panel()
    eat(s, np.zeros(s.shape, np.float32), Rust())
    assert (s.label == SOUND).all()


def test_more_cause_more_rust() -> None:
    shares = []
    for worst in (0.3, 0.5, 0.7, 0.9):
        s = _panel()
        eat(s, np.full(s.shape, worst, np.float32), Rust(hole=None))
        shares.append(float((s.label >= SURFACE).mean()))
    assert shares == sorted(shares)
    assert shares[0] < 0.1
    assert shares[-1] > 0.95


@pytest.mark.parametrize("size", [(60.0, 35.0), (120.0, 50.0)])
def test_a_hole_has_about_the_size_asked_for(size: tuple[float, float]) -> None:
    s, r = _panel(), Rust(hole=0.93)
    eat(s, through(s, np.full(s.shape, 0.2, np.float32), r, (120, 80), size), r)
    area = (s.label == HOLE).sum() / s.fine**2
    assert area == pytest.approx(np.pi / 4 * size[0] * size[1], rel=0.35)


def test_rust_is_redder_than_the_paint_and_dirt_changes_no_label() -> None:
    s = _panel()
    eat(s, s.v / s.height_mm, Rust(hole=None))
    before, redness = s.label.copy(), s.colour[..., 0] / s.colour[..., 2]
    assert np.median(redness[s.label >= SURFACE]) > 1.6 * np.median(redness[s.label == SOUND])
    grime.mud(s, 0.5 * s.v / s.height_mm)
    grime.dust(s, 0.4)
    grime.chalk(s, grime.ring((120, 80), (90, 60)))
    np.testing.assert_array_equal(s.label, before)


def test_the_same_seed_gives_the_same_skin_and_another_another() -> None:
    one, two, other = (_panel(seed) for seed in (4, 4, 5))
    for s in (one, two, other):
        eat(s, s.v / s.height_mm, Rust())
    np.testing.assert_array_equal(one.colour, two.colour)
    assert (one.label != other.label).mean() > 0.02


def test_a_weld_stands_up_and_a_dressed_one_does_not() -> None:
    raised, flush = _panel(), _panel()
    path = [(20.0, 80.0), (220.0, 80.0)]
    grime.bead(raised, path, 6)
    grime.bead(flush, path, 6, dressed=1.0)
    on = np.abs(raised.v - 80) < 1
    assert raised.height[on].mean() > 1.0
    assert abs(flush.height[on].mean()) < 0.2
