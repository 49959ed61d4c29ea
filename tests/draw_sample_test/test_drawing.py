"""The drawing tools against plain geometry and against what a camera does."""

from __future__ import annotations

import inspect
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageOps

from draw_sample import scene, shapes
from draw_sample.album import ALBUM
from draw_sample.camera import View, photograph, seen_at
from draw_sample.canvas import Canvas
from draw_sample.main import as_stored, main
from draw_sample.noise import blur, fbm, shifted, smooth


def _grid() -> tuple[np.ndarray, np.ndarray]:
    y, x = np.mgrid[0:80, 0:100].astype("float32")
    return x, y


def test_distance_to_a_circle_is_exact() -> None:
    x, y = _grid()
    away = shapes.circle(x, y, 30, 40, 10)
    assert away[40, 30] == -10
    assert away[40, 50] == 10
    assert away[43, 34] == pytest.approx(-5)


def test_distance_to_a_rounded_box_at_its_corner() -> None:
    x, y = _grid()
    away = shapes.box(x, y, (20, 20, 60, 50), 5)
    assert away[35, 20] == pytest.approx(0)
    assert away[20, 20] == pytest.approx(5 * (2**0.5 - 1), rel=1e-5)


def test_a_square_polygon_and_a_box_agree() -> None:
    x, y = _grid()
    corners = [(20.5, 20.5), (60.5, 20.5), (60.5, 50.5), (20.5, 50.5)]
    np.testing.assert_allclose(shapes.polygon(x, y, corners), shapes.box(x, y, (20.5, 20.5, 60.5, 50.5)), atol=1e-4)


def test_length_along_a_bent_path() -> None:
    x, y = _grid()
    walked = shapes.along(x, y, [(10, 10), (40, 10), (40, 60)])
    assert walked[5, 25] == pytest.approx(15)
    assert walked[30, 45] == pytest.approx(50)


def test_blur_keeps_the_light_and_the_place() -> None:
    field = np.zeros((200, 300), "float32")
    field[90:110, 140:160] = 1 / 400
    for sigma in (1.5, 6.0, 14.0):
        soft = blur(field, sigma)
        assert soft.sum() == pytest.approx(1, rel=0.05)
        rows, columns = np.mgrid[0:200, 0:300]
        assert (soft * rows).sum() / soft.sum() == pytest.approx(99.5, abs=0.6)
        assert (soft * columns).sum() / soft.sum() == pytest.approx(149.5, abs=0.6)


def test_shifting_off_the_field_leaves_nothing() -> None:
    field = np.ones((10, 12), "float32")
    assert shifted(field, 3, -2).sum() == 9 * 8
    assert shifted(field, 12, 0).sum() == 0
    assert shifted(field, 0, 40).sum() == 0


def test_noise_is_centred_and_comes_from_its_seed() -> None:
    one, two = (fbm(np.random.default_rng(5), (240, 320), (40, 40), 0.55) for _ in range(2))
    np.testing.assert_array_equal(one, two)
    assert one.mean() == pytest.approx(0.5, abs=0.08)
    assert 0.08 < one.std() < 0.35


def test_smooth_falls_when_its_ends_are_swapped() -> None:
    x = np.array([0, 5, 10], "float32")
    np.testing.assert_allclose(smooth(x, 10, 0), [1, 0.5, 0])


@pytest.mark.parametrize(
    "view", [View(), View(3.0), View(-2.0, (0.1, 0.05), 1.05), View(1.0, (-0.08, 0.1), 1.03)], ids=repr
)
def test_a_white_dot_is_photographed_where_the_table_says(view: View) -> None:
    c = Canvas("dot", 400, 400, 300)
    at = (130.0, 210.0)
    c.light += 0.02
    c.light += (c.inside(shapes.circle(c.x, c.y, *at, 4)))[..., None]
    bright = np.asarray(photograph(c, view).convert("L"), "float32")
    spot = np.where(bright > 0.6 * bright.max(), bright, 0)
    rows, columns = np.mgrid[0:300, 0:400]
    seen = ((spot * columns).sum() / spot.sum() / 400, (spot * rows).sum() / spot.sum() / 300)
    assert seen == pytest.approx(seen_at(c, view, at), abs=0.005)


def test_a_window_draws_into_the_same_picture() -> None:
    c = Canvas("window", 400, 400, 300)
    part = c.window((100, 50), 10)
    part.light += 1
    assert c.light.sum() == part.shape[0] * part.shape[1] * 3
    lit = c.light[..., 0] > 0
    assert c.x[lit].mean() == pytest.approx(100, abs=1)
    assert c.y[lit].mean() == pytest.approx(50, abs=1)


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_stored_pixels_come_upright_by_their_tag(orientation: int) -> None:
    upright = Image.fromarray(np.arange(12, dtype="uint8").reshape(3, 4))
    stored = as_stored(upright, orientation)
    stored.getexif()[0x0112] = orientation
    np.testing.assert_array_equal(np.asarray(ImageOps.exif_transpose(stored)), np.asarray(upright))


def test_every_scene_is_used_once() -> None:
    assert sorted(shot.scene for shot in ALBUM) == sorted(scene.SCENES)


def test_the_same_scene_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "two"):
        main(["--into", str(tmp_path / name), "--pixels", "200", "firewall", "kick_panel_right", "drip_rail_left"])
    files = sorted(p.relative_to(tmp_path / "one") for p in (tmp_path / "one").rglob("*") if p.is_file())
    assert len(files) == 3
    for file in files:
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "two" / file).read_bytes()


def test_functions_stay_short() -> None:
    for chosen in scene.SCENES.values():
        assert len(inspect.getsource(chosen.draw).splitlines()) <= 40, chosen.name
