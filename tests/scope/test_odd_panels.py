"""Panels and rust of any size and kind are worked out without an error, and nothing in them is negative or lost."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method

sides = st.floats(30, 3000)
rust = st.tuples(
    st.sampled_from(["surface", "scale", "pitted", "holed", "gone"]),
    st.floats(1, 5000),
    st.floats(1, 5000),
    st.booleans(),
)


@settings(max_examples=60)
@given(
    st.tuples(sides, sides),
    st.floats(0.4, 6.0),
    st.integers(0, 4),
    st.booleans(),
    st.sampled_from(["open skin", "lapped seam", "closed box"]),
    st.sampled_from(["flat", "single curve", "compound"]),
    st.lists(rust, min_size=1, max_size=3),
    st.sampled_from(list(Aim)),
    st.sampled_from(["shop", "uk", "nz", "us"]),
)
def test_any_panel(
    bench: Any, car_of: Any, size: Any, mm: float, edges: int, loose: bool, build: str, shape: str, wanted: Any,
    aim: Aim, book: str,
) -> None:  # fmt: skip
    steel = {"mm": mm, "source": "invented", "confidence": "invented"}
    zone = bench.zone(size_mm=size, thickness=steel, edges=edges, separable=loose, construction=build, shape=shape)
    found = [
        bench.finding(id=f"F{n}", seen=seen, size=f"{w:.3f} x {h:.3f} mm", reaches_edge=edge)
        for n, (seen, w, h, edge) in enumerate(wanted)
    ]
    scope = car_of(zone, *found, shop={"policies": {"draws": 100}}).scope(aim, book)
    (panel,) = scope.panels
    assert set(panel.choice.taken.findings) == {finding.id for finding in found}
    assert panel.choice.taken.method is not Method.LEAVE
    assert len(panel.choice.losers) == 5
    assert scope.total.likely > 0
    assert all(op.hours.low <= op.hours.likely <= op.hours.high for op in panel.operations)
    assert all(op.amount > 0 for op in panel.operations)
    assert all(blank.width_mm > 0 and blank.height_mm > 0 and blank.mass_kg > 0 for blank in scope.blanks)
    assert all(seam.length_mm > 0 for seam in scope.seams)
    assert all(line.amount >= 0 for line in scope.total.lines)
    assert panel.growth.low <= panel.growth.likely <= panel.growth.high
