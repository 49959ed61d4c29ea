"""Zones offered by the order of time."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from soundmetal.photos.album import album
from soundmetal.photos.groups import Offer, Shot, offers

START = dt.datetime(2026, 11, 18, 9, 0)  # noqa: DTZ001 - a camera's own clock has no zone


def shot(name: str, second: float | None, zone: str | None = None, **more: Any) -> Shot:
    taken = None if second is None else START + dt.timedelta(seconds=second)
    return Shot(name, more.pop("camera", "Tindertown T1"), taken, zone, more.pop("free", zone is None), **more)


def offered(*shots: Shot, between_s: float = 60) -> dict[str, str]:
    return {offer.name: offer.zone for offer in offers(shots, between_s)}


def test_those_between_two_of_one_zone_are_offered_it() -> None:
    got = offers((shot("a", 0, "cowl.top"), shot("b", 10), shot("c", 30), shot("d", 50, "cowl.top")), 60)
    assert got == (Offer("b", "cowl.top", "a", "d"), Offer("c", "cowl.top", "a", "d"))


@pytest.mark.parametrize(
    "shots",
    [
        (shot("a", 0, "cowl.top"), shot("b", 10), shot("c", 20, "tailgate")),
        (shot("a", 0, "cowl.top"), shot("b", 10)),
        (shot("b", 10), shot("c", 20, "cowl.top")),
        (shot("a", 0, "cowl.top"), shot("b", 70), shot("c", 80, "cowl.top")),
        (shot("a", 0, "cowl.top"), shot("b", 10), shot("c", 71, "cowl.top")),
        (shot("a", 0, "cowl.top"), shot("b", None), shot("c", 20, "cowl.top")),
        (shot("a", 0, "cowl.top"), shot("b", 10, camera="Other"), shot("c", 20, "cowl.top")),
        (shot("a", 0, "cowl.top"), shot("b", 10, open_to=("tailgate",)), shot("c", 20, "cowl.top")),
        (shot("a", 0, "cowl.top"), shot("x", 5, None, free=False), shot("b", 10), shot("c", 20, "cowl.top")),
        (shot("a", 0, "cowl.top"), shot("x", 5, "tailgate"), shot("b", 10), shot("c", 20, "cowl.top")),
    ],
    ids=["two zones", "nothing after", "nothing before", "late", "late after", "no time", "other camera",
         "says something else", "a doubtful one between", "another zone between"],
)  # fmt: skip
def test_no_offer(shots: tuple[Shot, ...]) -> None:
    assert offered(*shots) == {}


def test_what_its_own_words_leave_open_may_be_offered() -> None:
    row = (shot("a", 0, "cowl.top"), shot("b", 10, open_to=("cowl.top", "cowl.side")), shot("c", 20, "cowl.top"))
    assert offered(*row) == {"b": "cowl.top"}


def test_the_limit_is_between_neighbours_not_over_all() -> None:
    row = [shot("a", 0, "cowl.top"), *(shot(f"b{n}", 50 * n) for n in range(1, 9)), shot("z", 450, "cowl.top")]
    assert len(offered(*row)) == 8


def test_the_settings_limit_holds_unless_told() -> None:
    row = (shot("a", 0, "cowl.top"), shot("b", 45), shot("c", 90, "cowl.top"))
    assert [offer.name for offer in offers(row)] == ["b"]
    assert offers(row, 44) == ()


SHOTS = st.lists(
    st.builds(
        shot,
        st.integers(0, 99).map(lambda n: f"{n:02}.jpg"),
        st.one_of(st.none(), st.floats(0, 600)),
        st.sampled_from([None, None, "cowl.top", "tailgate"]),
        camera=st.sampled_from(["A", "B"]),
    ),
    max_size=20,
    unique_by=lambda one: one.name,
)


@given(SHOTS, st.floats(0, 300), st.randoms(use_true_random=False))
def test_laws(shots: list[Shot], limit: float, chance: Any) -> None:
    """The order of the files changes nothing; a wider limit takes no offer back; each lies between its two."""
    got = offers(shots, limit)
    mixed = list(shots)
    chance.shuffle(mixed)
    assert offers(mixed, limit) == got
    assert set(got) <= set(offers(shots, limit * 2))
    by_name = {one.name: one for one in shots}
    for offer in got:
        before, own, after = by_name[offer.before], by_name[offer.name], by_name[offer.after]
        assert before.taken <= own.taken <= after.taken
        assert before.zone == after.zone == offer.zone
        assert own.zone is None
        assert before.camera == own.camera == after.camera


def test_in_an_album_they_stay_without_a_zone(folder: Path, tmp_path: Path, inspection, pickup, draw) -> None:
    times = {"tailgate 1.jpg": "00:00", "IMG_2.jpg": "00:20", "tailgate 4.jpg": "00:40", "IMG_3.jpg": "00:50"}
    for name, minute in {**times, "tailgate 5.jpg": "00:55"}.items():
        exif = Image.Exif()
        exif.get_ifd(0x8769)[0x9003] = f"2026:11:18 09:{minute}"
        (folder / name).write_bytes(draw(exif=exif))
    uses = {"id": "F1", "zone": "cowl.top", "seen": "surface", "area": "1 cm2", "photos": [{"file": "IMG_3.jpg"}]}
    done = album(folder, inspection(findings=[uses | {"id": "F2", "zone": "tailgate"}, uses]), pickup, tmp_path / "c")
    assert [(offer.name, offer.zone) for offer in done.offers] == [("IMG_2.jpg", "tailgate")]
    assert [photo.name for photo in done.unplaced] == ["IMG_2.jpg", "IMG_3.jpg"]
