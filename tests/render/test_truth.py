"""Truth read back from a made-up view whose scale, plane and areas are known on paper."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from render import marks, truth
from render.truth import Seen

HIGH, WIDE = 120, 160


def _tilted() -> tuple[Seen, np.ndarray]:
    """A plane seen aslant: (u, v) of a pixel by a homography chosen here."""
    h = np.array([[2.0, 0.1, 5.0], [0.05, 1.5, 8.0], [0.0004, 0.0008, 1.0]])
    rows, columns = np.indices((HIGH, WIDE))
    w = np.einsum("ij,jrc->irc", h, np.stack([columns, rows, np.ones_like(rows)]).astype(float))
    label = np.ones((HIGH, WIDE), np.uint8)
    label[40:70, 60:110] = 3
    label[50:60, 70:80] = 4
    return Seen(label, np.ones((HIGH, WIDE), bool), w[0] / w[2], w[1] / w[2]), h


def test_the_plane_is_found_again() -> None:
    seen, h = _tilted()
    found, error = truth.plane(seen, seen.main)
    np.testing.assert_allclose(found, h, rtol=1e-6, atol=1e-8)
    assert error < 1e-6


def test_scale_and_area_of_a_flat_plate_seen_straight() -> None:
    rows, columns = np.indices((HIGH, WIDE)).astype(float)
    main = np.zeros((HIGH, WIDE), bool)
    main[20:100, 30:130] = True
    seen = Seen(np.ones((HIGH, WIDE), np.uint8), main, 0.5 * columns, 0.8 * rows)
    assert truth.scale_at(seen, main) == pytest.approx((0.5, 0.8))
    assert truth.pixel_area(seen).sum() == pytest.approx(80 * 100 * 0.5 * 0.8)


def test_what_is_rendered_is_taken_apart() -> None:
    passes = np.zeros((2, 2, 3), np.float32)
    passes[..., 0] = [[0, 1], [12, 14]]
    seen = Seen.of(passes)
    assert seen.label.tolist() == [[0, 1], [2, 4]]
    assert seen.main.tolist() == [[False, False], [True, True]]


def test_the_largest_piece_is_taken_and_its_outline_lies_round_it() -> None:
    mask = np.zeros((HIGH, WIDE), bool)
    mask[10:20, 10:20] = True
    mask[60:100, 90:140] = True
    piece = truth.largest(mask)
    np.testing.assert_array_equal(np.argwhere(piece).min(0), [60, 90])
    assert piece.sum() == 40 * 50
    xs, ys = np.array(truth.outline(piece)).T
    assert (xs.min() * WIDE, xs.max() * WIDE) == (pytest.approx(90, abs=0.2), pytest.approx(139, abs=0.2))
    assert (ys.min() * HIGH, ys.max() * HIGH) == (pytest.approx(60, abs=0.2), pytest.approx(99, abs=0.2))


def test_a_picture_is_described() -> None:
    seen, _ = _tilted()
    told = truth.described(seen)
    assert told["share"]["hole"] == pytest.approx(100 / (HIGH * WIDE), abs=1e-4)
    assert set(told["places"]) == {"surface", "scale", "hole"}
    assert told["places"]["hole"]["area_mm2"] < told["places"]["scale"]["area_mm2"]
    left, right = seen.u[55, 70], seen.u[55, 79]
    assert told["places"]["hole"]["width_mm"] == pytest.approx(right - left, rel=0.1)


def test_a_picture_of_nothing_has_shares_only() -> None:
    blank = np.zeros((HIGH, WIDE))
    told = truth.described(Seen(blank.astype(np.uint8), blank > 0, blank, blank))
    assert told["share"]["background"] == 1
    assert told["places"] == {}
    assert "mm_per_pixel" not in told


def test_a_mask_is_kept_and_read_back(tmp_path: Path) -> None:
    seen, _ = _tilted()
    seen.main[:, :20] = False
    truth.save(seen, tmp_path / "mask.png")
    label, main = truth.labels(tmp_path / "mask.png")
    np.testing.assert_array_equal(label, seen.label)
    np.testing.assert_array_equal(main, seen.main)
    assert (tmp_path / "mask.png").stat().st_size < 2000


def test_a_call_out_goes_round_what_the_finding_names() -> None:
    seen, _ = _tilted()
    entry = truth.described(seen)
    shown = marks.mark(entry, "holed")
    assert shown is not None
    xs, ys = np.array(shown["points"]).T
    assert (xs.min(), xs.max()) == pytest.approx((70 / WIDE, 80 / WIDE), abs=0.02)
    assert (ys.min(), ys.max()) == pytest.approx((50 / HIGH, 60 / HIGH), abs=0.02)
    assert marks.mark({"places": {}}, "holed") is None
    assert all(length % 5 == 0 for length in marks.size(entry, "scale"))
