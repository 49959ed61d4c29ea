"""All photographs of one inspection, tied together."""

from __future__ import annotations

from pathlib import Path

import pytest

from soundmetal.photos.album import Album, album
from soundmetal.photos.scan import scan

FINDING = {"id": "F1", "zone": "rocker.left.outer", "seen": "holed", "size": "100 x 50 mm"}


@pytest.fixture
def filled(folder: Path, draw) -> Path:
    for n, name in enumerate(("rocker.left.outer/1.jpg", "cowl 2.jpg", "IMG_7.jpg", "tailgtae.jpg", "hand.jpg")):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(draw(size=(60 + n, 40)))
    (folder / "broken.jpg").write_bytes(draw(size=(300, 200))[:-400])
    (folder / "text.jpg").write_text("no")
    return folder


def test_everything_is_placed_or_listed(filled: Path, tmp_path: Path, pickup, inspection) -> None:
    done = album(filled, inspection(photos={"hand.jpg": {"zone": "firewall"}}), pickup, tmp_path / "c")
    assert {photo.name: photo.placed.zone for photo in done.photos} == {
        "IMG_7.jpg": None,
        "cowl 2.jpg": "cowl.top",
        "hand.jpg": "firewall",
        "rocker.left.outer/1.jpg": "rocker.left.outer",
        "tailgtae.jpg": "tailgate",
    }
    assert [photo.name for photo in done.unplaced] == ["IMG_7.jpg"]
    assert [photo.name for photo in done.unsure] == ["tailgtae.jpg"]
    assert [bad.name for bad in done.refused] == ["broken.jpg", "text.jpg"]
    assert not done.complete
    assert done.by_name["hand.jpg"].copy.width == 64
    assert done.by_name["hand.jpg"].facts.width == 64
    assert len(done.zones_without_photo) == len(pickup.zones) - 4
    assert done.zones_without_photo == tuple(z.id for z in pickup.zones if z.id in done.zones_without_photo)


def test_a_finding_places_its_photographs(filled: Path, tmp_path: Path, pickup, inspection) -> None:
    record = inspection(findings=[FINDING | {"photos": [{"file": "IMG_7.jpg"}]}])
    photo = album(filled, record, pickup, tmp_path / "c").by_name["IMG_7.jpg"]
    assert (photo.placed.zone, photo.placed.by) == ("rocker.left.outer", "record")


def test_a_photograph_of_two_findings_shows_both_zones(filled: Path, tmp_path: Path, pickup, inspection) -> None:
    use = {"photos": [{"file": "IMG_7.jpg"}]}
    record = inspection(findings=[FINDING | use, FINDING | use | {"id": "F2", "zone": "floor.left.front"}])
    done = album(filled, record, pickup, tmp_path / "c")
    assert "floor.left.front" not in done.zones_without_photo
    assert done.by_name["IMG_7.jpg"].placed.zone is None
    assert done.findings_without_photo == ()


def test_missing_names_and_findings_without_photograph(filled: Path, tmp_path: Path, pickup, inspection) -> None:
    record = inspection(
        findings=[
            FINDING | {"photos": [{"file": "gone.jpg"}]},
            FINDING | {"id": "F2", "photos": [{"file": "broken.jpg"}]},
            FINDING | {"id": "F3"},
            FINDING | {"id": "F4", "photos": [{"file": "hand.jpg"}]},
        ],
        photos={"away/1.jpg": {"caption": "x"}},
    )
    done = album(filled, record, pickup, tmp_path / "c")
    assert done.missing == ("away/1.jpg", "gone.jpg")
    assert done.findings_without_photo == ("F1", "F2", "F3")


def test_left_out_photographs_are_neither_copied_nor_complained_of(filled, tmp_path, pickup, inspection) -> None:
    out = {"leave_out": True}
    record = inspection(photos={"IMG_7.jpg": out, "broken.jpg": out, "hand.jpg": {"zone": "hood"}})
    done = album(filled, record, pickup, tmp_path / "c")
    assert done.left_out == ("IMG_7.jpg", "broken.jpg")
    assert "IMG_7.jpg" not in done.by_name
    assert done.unplaced == ()
    assert [bad.name for bad in done.refused] == ["text.jpg"]


def test_zones_that_nobody_saw_need_no_photograph(filled: Path, tmp_path: Path, pickup, inspection) -> None:
    record = inspection(not_seen=[{"zone": "hood", "why": "covered"}])
    assert "hood" not in album(filled, record, pickup, tmp_path / "c").zones_without_photo


def test_a_scan_made_before_gives_the_same_album(filled: Path, tmp_path: Path, pickup, inspection) -> None:
    told: list[tuple[int, int]] = []
    first = album(filled, inspection(), pickup, tmp_path / "c", lambda done, total: told.append((done, total)))
    assert album(scan(filled), inspection(), pickup, tmp_path / "c") == first
    assert told[-1] == (6, 6)


def test_an_empty_folder(folder: Path, tmp_path: Path, pickup, inspection) -> None:
    done = album(folder, inspection(), pickup, tmp_path / "c")
    assert done == Album(zones_without_photo=tuple(zone.id for zone in pickup.zones))
    assert done.complete
