"""Hours of the operations against the table of default times (common practice, from memory), worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from soundmetal.errors import SettingsError
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Geometry, Method, Option
from soundmetal.scope.items import WorkItem
from soundmetal.scope.operations import access_of, inner_work_of, work_of

PLAN = Geometry(
    strip_mm2=250_000, cut_mm=1000, seam_mm=1000, factory_flange_mm=500, plug_welds=15, drilled_spots=15,
    blank_mm2=200_000, blanks=2, bends=1, bead_mm=2000, braces=1, cavities=1,
)  # fmt: skip


def option(**changes: Any) -> Option:
    plan = Geometry(**{**PLAN.__dict__, **changes})
    return Option("hood", Method.BUTT_WELD, ("F1",), plan, True)


def hours(items: tuple[WorkItem, ...]) -> dict[str, float]:
    return {item.operation.kind: item.operation.hours.likely for item in items}


def test_likely_hours_are_the_tables(bench: Any) -> None:
    found = hours(work_of(option(), bench.zone(visible=False), bench.shop(), Aim.SOUND))
    assert found == pytest.approx(
        {
            "strip": 0.3 + 4 * 0.25,
            "brace": 0.75,
            "cut": 0.15 + 0.30,
            "drill_spots": 15 * 0.03,
            "template": 2 * 0.30,
            "form_flat": 2 * 0.10,
            "bend": 0.08,
            "bead": 0.15 + 0.20 * 2,
            "fit_tack": 0.60 * 1.5,
            "butt_mig": 0.8,
            "plug": 15 * 0.03,
            "dress_hidden": 0.4,
            "protect_area": 0.2 + 1.0 * 0.25,
            "protect_seam": 0.1 * 1.5,
            "protect_cavity": 0.25,
        }
    )


@pytest.mark.parametrize(
    ("shape", "kind", "likely"),
    [
        ("flat", "form_flat", 0.2),
        ("single curve", "form_single_curve", 0.3 + 2 * 0.2),
        ("compound", "form_compound", 1.0 + 12 * 0.2),
    ],
)
def test_forming_goes_by_the_shape(bench: Any, shape: str, kind: str, likely: float) -> None:
    found = hours(work_of(option(), bench.zone(shape=shape), bench.shop(), Aim.SOUND))
    assert found[kind] == pytest.approx(likely)


def test_a_curved_cut_takes_half_as_long_again(bench: Any) -> None:
    found = hours(work_of(option(curved=True), bench.zone(), bench.shop(), Aim.SOUND))
    assert found["cut"] == pytest.approx(1.5 * 0.45)


def test_tig_is_slower(bench: Any) -> None:
    shop = bench.shop({"policies": {"process": "TIG"}})
    assert hours(work_of(option(), bench.zone(), shop, Aim.SOUND))["butt_tig"] == pytest.approx(1.4)


@pytest.mark.parametrize(
    ("aim", "visible", "kind"),
    [
        (Aim.ARREST, True, "dress_hidden"),
        (Aim.SOUND, True, "dress_visible"),
        (Aim.SOUND, False, "dress_hidden"),
        (Aim.FACTORY, True, "dress_finish"),
        (Aim.FACTORY, False, "dress_visible"),
    ],
)
def test_the_aim_says_how_a_seam_is_dressed(bench: Any, aim: Aim, visible: bool, kind: str) -> None:
    found = hours(work_of(option(visible=visible), bench.zone(), bench.shop(), aim))
    assert [name for name in found if name.startswith("dress")] == [kind]


def test_low_and_high_are_shares_of_likely(bench: Any) -> None:
    for item in work_of(option(), bench.zone(), bench.shop(), Aim.SOUND):
        spread = item.operation.hours
        assert spread.low == pytest.approx(0.75 * spread.likely)
        assert spread.high == pytest.approx(1.6 * spread.likely)


def test_compound_shapes_and_poor_access_widen(bench: Any) -> None:
    zone = bench.zone(shape="compound", access_hours=(1.0, 2.5, 5.0))
    found = {i.operation.kind: i.high for i in work_of(option(), zone, bench.shop(), Aim.SOUND)}
    assert found["form_compound"] == pytest.approx(1.6 * 1.25 * 1.2)
    assert found["plug"] == pytest.approx(1.6 * 1.2)


def test_a_bought_panel_is_trimmed_and_not_formed(bench: Any) -> None:
    bought = Option("hood", Method.FULL_PANEL, ("F1",), option(cut_mm=0, seam_mm=0).geometry, True, bought=True)
    found = hours(work_of(bought, bench.zone(), bench.shop(), Aim.SOUND, trim_h=3.0))
    assert found["trim_panel"] == 3.0
    assert not {"template", "form_flat", "bend", "bead", "cut"} & set(found)
    assert found["drill_spots"] == pytest.approx(0.45)


def test_access_is_the_catalogues_with_its_own_range(bench: Any) -> None:
    item = access_of("hood", ("F1",), bench.zone(access_hours=(0.5, 1.0, 3.0)), bench.shop())
    assert item is not None
    assert (item.operation.hours.low, item.operation.hours.likely, item.operation.hours.high) == (0.5, 1.0, 3.0)
    assert item.rate == "trim"
    assert access_of("hood", ("F1",), bench.zone(), bench.shop()) is None


def test_a_spent_inner_layer_is_cut_made_welded_and_dressed(bench: Any) -> None:
    found = hours(inner_work_of(PLAN, option(), bench.zone(shape="compound"), bench.shop(), Aim.SOUND))
    assert set(found) == {"cut", "template", "form_flat", "fit_tack", "butt_mig", "plug", "dress_hidden"}


def test_a_missing_operation_is_named(bench: Any) -> None:
    shop = bench.shop()
    bare = shop.model_copy(update={"operations": {k: v for k, v in shop.operations.items() if k != "plug"}})
    with pytest.raises(SettingsError, match='no operation "plug"'):
        work_of(option(), bench.zone(), bare, Aim.SOUND)


def test_times_are_the_shops_to_edit(bench: Any) -> None:
    shop = bench.shop({"operations": {"butt_mig": {"per_h": 2.0}}})
    assert hours(work_of(option(), bench.zone(), shop, Aim.SOUND))["butt_mig"] == pytest.approx(2.0)
