"""Suggestions agreed to, photographs from the owner, and the list of those still missing, by the real commands."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from ruamel.yaml import YAML

from soundmetal.errors import ChangedMeanwhile
from soundmetal.folder import store
from soundmetal.photos.groups import Offer
from soundmetal.placing import agree, seen_in_photographs
from soundmetal.record.terms import Basis


def snap(path: Path, time: str = "", grey: int = 90, **tags: Any) -> Path:
    """Take a picture at a time of one made-up camera."""
    exif = Image.Exif()
    exif[271] = "Tindertown"
    if time:
        exif.get_ifd(0x8769)[0x9003] = f"2026:11:18 {time}"
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (64, 48), (grey, 90, 70)).save(path, "JPEG", exif=exif, **tags)
    return path


@pytest.fixture
def walk(small_inspection: Path) -> Path:
    """An inspection with three photographs of the tailgate, one of them without a name that tells."""
    photos = small_inspection / "photos"
    snap(photos / "tailgate 1.jpg", "09:00:00", 1)
    snap(photos / 'the "big": hole ñ.jpg', "09:00:20", 2)
    snap(photos / "tailgate 3.jpg", "09:00:40", 3)
    return small_inspection


def offered(walk: Path, run: Callable[..., Any], *more: str) -> Any:
    return json.loads(run("place", walk, "--json", *more).stdout)


NAME = 'the "big": hole ñ.jpg'


def zone_remarks(walk: Path, run: Callable[..., Any], name: str) -> list[dict[str, Any]]:
    """Give what check says of one photograph's zone."""
    told = json.loads(run("check", walk, "--json").stdout)
    return [one for one in told if one["where"] == name and "zone" in one["what"]]


def test_check_shows_the_suggestion_and_a_line_that_settles_it(walk: Path, soundmetal_here) -> None:
    (mine,) = zone_remarks(walk, soundmetal_here, NAME)
    assert mine["what"] == "has no zone yet; suggested: tailgate, taken between tailgate 1.jpg and tailgate 3.jpg"
    assert not mine["note"]
    line = mine["todo"].removeprefix("If that is right, write under photos: ").split(" - or agree")[0]
    assert YAML(typ="safe").load(line) == {NAME: {"zone": "tailgate"}}
    record = walk / "inspection.yaml"
    record.write_text(record.read_text("utf-8").replace("photos: {}", f"photos:\n  {line}"), encoding="utf-8")
    assert zone_remarks(walk, soundmetal_here, NAME) == []


def test_listing_writes_nothing(walk: Path, soundmetal_here, fingerprint) -> None:
    before = fingerprint(walk)
    done = soundmetal_here("place", walk)
    assert done.returncode == 0
    assert f"{NAME}: tailgate, taken between tailgate 1.jpg and tailgate 3.jpg" in done.stdout
    assert "--agree" in done.stdout
    assert offered(walk, soundmetal_here) == [
        {"photograph": NAME, "zone": "tailgate", "between": ["tailgate 1.jpg", "tailgate 3.jpg"], "agreed": False}
    ]
    assert fingerprint(walk) == before


def test_agreeing_writes_the_zone_and_undo_takes_it_back(walk: Path, soundmetal_here) -> None:
    text = (walk / "inspection.yaml").read_text(encoding="utf-8")
    assert offered(walk, soundmetal_here, "--agree")[0]["agreed"] is True
    assert store.read(walk).inspection.photos[NAME].zone == "tailgate"
    assert offered(walk, soundmetal_here) == []
    assert "Nothing is suggested." in soundmetal_here("place", walk, "--agree").stdout
    assert store.read(walk).inspection.version == 2
    assert soundmetal_here("undo", walk).returncode == 0
    assert (walk / "inspection.yaml").read_text(encoding="utf-8") == text


def test_what_somebody_placed_meanwhile_is_not_overwritten(walk: Path) -> None:
    store.change(walk, [store.Change(("photos", NAME, "zone"), "firewall")])
    with pytest.raises(ChangedMeanwhile, match='changed it to "firewall"'):
        agree(walk, [Offer(NAME, "tailgate", "tailgate 1.jpg", "tailgate 3.jpg")])
    assert store.read(walk).inspection.photos[NAME].zone == "firewall"


def test_agreeing_keeps_what_else_is_said_of_a_photograph(walk: Path) -> None:
    store.change(walk, [store.Change(("photos", NAME, "caption"), "from below")])
    agree(walk, [Offer(NAME, "tailgate", "tailgate 1.jpg", "tailgate 3.jpg")])
    note = store.read(walk).inspection.photos[NAME]
    assert (note.zone, note.caption) == ("tailgate", "from below")


def test_from_the_owner_makes_the_basis_photographs(walk: Path, tmp_path: Path, soundmetal_here) -> None:
    snap(tmp_path / "mail" / "one.jpg", grey=7)
    done = soundmetal_here("add", walk, tmp_path / "mail", "--from-owner")
    assert done.returncode == 0
    assert "basis was lift, now photos" in done.stderr
    assert store.read(walk).inspection.basis is Basis.PHOTOS
    with (walk / "photos" / "arrived" / "arrivals.csv").open(encoding="utf-8", newline="") as stream:
        assert [row["source"] for row in csv.DictReader(stream)] == ["owner: mail"]
    again = soundmetal_here("add", walk, tmp_path / "mail", "--from-owner")
    assert "basis" not in again.stderr
    assert store.read(walk).inspection.version == 2


def test_json_stays_json_when_the_basis_changes(walk: Path, tmp_path: Path, soundmetal_here) -> None:
    done = soundmetal_here("add", walk, snap(tmp_path / "one.jpg", grey=7), "--from-owner", "--json")
    assert json.loads(done.stdout)["added"] == ["one.jpg"]
    assert "now photos" in done.stderr


def test_what_hands_have_found_keeps_its_basis(walk: Path) -> None:
    store.change(walk, [store.Change(("findings", "F1", "probe"), "gives")])
    assert seen_in_photographs(walk) == "basis stays lift: the record holds what a photograph cannot tell"
    assert store.read(walk).inspection.basis is Basis.LIFT


def test_nothing_taken_changes_nothing(walk: Path, tmp_path: Path, soundmetal_here) -> None:
    (tmp_path / "bad.jpg").write_bytes(b"no picture")
    done = soundmetal_here("add", walk, tmp_path / "bad.jpg", "--from-owner")
    assert done.returncode == 20
    assert store.read(walk).inspection.basis is Basis.LIFT


def test_without_the_option_the_source_is_plain(walk: Path, tmp_path: Path, soundmetal_here) -> None:
    soundmetal_here("add", walk, snap(tmp_path / "mail" / "one.jpg", grey=7))
    assert "owner" not in (walk / "photos" / "arrived" / "arrivals.csv").read_text(encoding="utf-8")
    assert store.read(walk).inspection.basis is Basis.LIFT


def test_check_writes_the_list_for_the_owner(walk: Path, soundmetal_here) -> None:
    plain = soundmetal_here("check", walk)
    assert not (walk / "shots.pdf").exists()
    done = soundmetal_here("check", walk, "--shots")
    assert done.returncode == plain.returncode == 20
    assert done.stdout.splitlines()[-2:] == [f"wrote {walk / 'shots.pdf'}", f"wrote {walk / 'shots.txt'}"]
    text = (walk / "shots.txt").read_text(encoding="utf-8")
    assert "Hello Ana Quiroga," in text
    assert "Right outer rocker" in text
    assert "Left outer rocker" not in text
    assert (walk / "shots.pdf").read_bytes().startswith(b"%PDF")


def test_check_offers_the_list_where_only_photographs_were_seen(walk: Path, soundmetal_here) -> None:
    assert "--shots" not in soundmetal_here("check", walk).stdout
    store.change(walk, [store.Change(("basis",), "photos")])
    assert "The list for the owner: soundmetal check FOLDER --shots" in soundmetal_here("check", walk).stdout


def test_with_json_the_list_is_written_and_told_beside(walk: Path, soundmetal_here) -> None:
    done = soundmetal_here("check", walk, "--shots", "--json")
    assert isinstance(json.loads(done.stdout), list)
    assert "wrote" in done.stderr


def test_the_list_speaks_the_owners_language(walk: Path, soundmetal_here) -> None:
    store.change(walk, [store.Change(("language",), "es")])
    soundmetal_here("check", walk, "--shots")
    assert "Lado derecho:" in (walk / "shots.txt").read_text(encoding="utf-8")


def test_check_tells_what_of_a_file_is_not_shown_and_asks_where_the_driver_sits(walk: Path, soundmetal_here) -> None:
    pages = [Image.new("RGB", (64, 48), colour) for colour in ("red", "green")]
    pages[0].save(walk / "photos" / "cowl.tif", "TIFF", save_all=True, append_images=pages[1:])
    snap(walk / "photos" / "rocker outer driver side.jpg", grey=5)
    told = json.loads(soundmetal_here("check", walk, "--json").stdout)
    (note,) = [one for one in told if one["where"] == "cowl.tif" and "page" in one["what"]]
    assert (note["what"], note["note"]) == ("only the first of 2 pages is used", True)
    (asked,) = zone_remarks(walk, soundmetal_here, "rocker outer driver side.jpg")
    assert "rocker.left.outer" in asked["todo"]
    assert "driver_sits: left or right" in asked["todo"]
    store.change(walk, [store.Change(("vehicle", "driver_sits"), "left")])
    assert zone_remarks(walk, soundmetal_here, "rocker outer driver side.jpg") == []
