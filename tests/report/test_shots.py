"""The owner's list of missing photographs."""

from __future__ import annotations

import dataclasses
import io
import random
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from jinja2 import Environment, meta, nodes
from pypdf import PdfReader

from soundmetal.car import catalogue
from soundmetal.car.models import Body, Role
from soundmetal.errors import FolderError
from soundmetal.paths import template_dir
from soundmetal.photos.album import Album, Photo
from soundmetal.photos.copies import Copy
from soundmetal.photos.exif import PhotoFacts
from soundmetal.photos.tags import Placed
from soundmetal.record.models import Inspection
from soundmetal.report import publish, shot_book, shots
from soundmetal.report.pdf import pdf_bytes
from soundmetal.report.shots import (
    Retake,
    ShotAgain,
    ShotGroup,
    ShotPage,
    ShotSide,
    missing,
    shot_page,
    shots_html,
    shots_text,
)
from soundmetal.steps import Step

BODIES = [(name, kind.value) for name, kinds in catalogue.bodies() for kind in kinds]


def asked(body: Body, **more: Any) -> Inspection:
    return Inspection.model_validate(
        {
            "soundmetal": 1,
            "vehicle": {
                "year": 1964,
                "make": "Larkspur",
                "model": "Drover",
                "body": body.id,
                "structure": body.structure,
            },
            "owner": {"name": "Inés Peña"},
            "date": "2026-11-18",
            "basis": "photos",
        }
        | more
    )


def without(body: Body, *shown: str) -> Album:
    photos = tuple(
        Photo(f"{zone}.jpg", "0" * 64, PhotoFacts(), Placed(zone, "file name", True), Copy(Path(), 1, 1, "0" * 64))
        for zone in shown
    )
    return Album(photos, zones_without_photo=tuple(zone.id for zone in body.zones if zone.id not in shown))


@pytest.fixture(scope="module")
def pickup() -> Body:
    return catalogue.body("pickup", "frame")


def page_of(body: Body, shop: Any, *shown: str, **more: Any) -> ShotPage:
    return shot_page(asked(body, **more), body, shop, without(body, *shown))


def pdf_of(page: ShotPage) -> PdfReader:
    return PdfReader(io.BytesIO(pdf_bytes(shots_html(page), allowed=[template_dir()], base=template_dir())))


def places(page: ShotPage) -> list[str]:
    return [place for side in (*page.sides, *page.across) for group in side.groups for place in group.places]


def test_every_family_of_every_body_has_its_shot() -> None:
    families = {shots.family_of(zone) for name, kind in BODIES for zone in catalogue.body(name, kind).zones}
    assert shot_book.shot_book().shots.keys() == families


@pytest.mark.parametrize(("name", "kind", "code"), [(*one, "es") for one in BODIES] + [("pickup", "frame", "en")])
def test_it_is_one_page_even_when_everything_is_missing(job, name: str, kind: str, code: str) -> None:
    """Spanish is the longer; a letter sheet is the shorter, A4 the narrower."""
    body = catalogue.body(name, kind)
    for paper in ["letter", "A4"] if name == "pickup" else ["letter"]:
        page = page_of(body, job.shop, language=code, paper=paper)
        reader = pdf_of(page)
        assert len(reader.pages) == 1
        words = " ".join(reader.pages[0].extract_text().split())
        assert all(" ".join(place.split()) in words for place in places(page))


@pytest.mark.parametrize("seed", range(6))
def test_it_is_one_page_whatever_is_missing(job, seed: int) -> None:
    """How much fits depends on which families are left; the long Spanish runs over first."""
    rng = random.Random(seed)
    name, kind = rng.choice(BODIES)
    body = catalogue.body(name, kind)
    shown = [zone.id for zone in body.zones if rng.random() < 0.3 + 0.04 * seed]
    record = asked(body, language="es", paper=rng.choice(["letter", "A4"]))
    page, data = shots.fitted(record, body, job.shop, without(body, *shown))
    reader = PdfReader(io.BytesIO(data))
    assert len(reader.pages) == 1
    words = " ".join(reader.pages[0].extract_text().split())
    assert all(" ".join(place.split()) in words for place in places(page))
    assert " ".join(page.thanks.unescape().split()) in words
    lines = sum(f"- {place}\n" in shots_text(page) for place in places(page))
    assert lines == len(places(page)) >= 12


def test_what_carries_comes_first_and_the_rest_is_counted(job, pickup: Body) -> None:
    page = page_of(pickup, job.shop)
    listed = places(page)
    names = {zone.id: zone.name("en") for zone in pickup.zones}
    first = ("frame_rail", "rocker", "floor", "cab_corner", "spring_hanger", "crossmember")
    assert set(listed) == {name for zone, name in names.items() if zone.split(".")[0] in first}
    assert len(listed) == len(set(listed)) <= shot_book.shot_book().most
    assert page.rest == f"{len(pickup.zones) - len(listed)} more places can wait until these are here."


def test_all_that_carries_is_asked_for_before_any_skin(pickup: Body) -> None:
    """When what was asked for first has come, the rest of what carries follows, and skins last."""
    book = shot_book.shot_book()
    zones, asked_for = list(pickup.zones), []
    while zones:
        chosen = shots.first_ones(zones, book)
        asked_for += chosen
        zones = [zone for zone in zones if zone not in chosen]
    assert {zone.id for zone in asked_for} == {zone.id for zone in pickup.zones}
    last = max(n for n, zone in enumerate(asked_for) if zone.role in (Role.LOAD_BEARING, Role.FLOOR))
    before = [zone.id for zone in asked_for[:last] if zone.role is Role.SKIN]
    assert all(zone.startswith(("rocker", "cab_corner")) for zone in before)


def test_it_is_grouped_by_side_and_how_is_told_once(job, pickup: Body) -> None:
    page = page_of(pickup, job.shop)
    assert [side.name for side in (*page.sides, *page.across)] == ["Left side", "Right side", "Middle and across"]
    left, right = page.sides
    assert all("left" in place.lower() for group in left.groups for place in group.places)
    assert all("right" in place.lower() for group in right.groups for place in group.places)
    assert {group.how for group in right.groups} == {"As on the left side."}
    assert all("arm's length" in group.how.unescape() for group in left.groups)


def test_where_only_the_right_is_missing_it_tells_how(job, pickup: Body) -> None:
    left = [zone.id for zone in pickup.zones if ".right" not in zone.id]
    page = page_of(pickup, job.shop, *left)
    assert [side.name for side in page.sides] == ["Right side"]
    assert page.across == ()
    assert all(len(group.how) > 40 for group in page.sides[0].groups)


def test_zones_with_a_photograph_are_not_asked_for(job, pickup: Body) -> None:
    page = page_of(pickup, job.shop, "rocker.left.outer")
    assert "Left outer rocker" not in places(page)
    assert "Left inner rocker" in places(page)


def test_zones_nobody_can_see_are_not_asked_for_but_those_without_a_photograph_are(pickup: Body) -> None:
    record = asked(
        pickup,
        not_seen=[
            {"zone": "tunnel", "why": "covered"},
            {"zone": "firewall", "why": "no photograph"},
            {"zone": "cowl.top", "why": "no photograph"},
        ],
    )
    everything = without(pickup, *(zone.id for zone in pickup.zones if zone.id not in ("tunnel", "firewall")))
    album = dataclasses.replace(everything, zones_without_photo=())
    assert [zone.id for zone in missing(record, pickup, album)] == ["firewall"]


def test_when_nothing_is_missing_it_says_thanks_and_no_more(job, pickup: Body) -> None:
    page = page_of(pickup, job.shop, *(zone.id for zone in pickup.zones))
    text = shots_text(page)
    assert "Nothing more is needed for now." in text
    assert "jack" not in text
    assert places(page) == []
    assert "Nothing more is needed" in pdf_of(page).pages[0].extract_text()


def test_one_more_place_is_one(job, pickup: Body, monkeypatch: pytest.MonkeyPatch) -> None:
    book = shot_book.shot_book().model_copy(update={"most": 2})
    monkeypatch.setattr(shots, "shot_book", lambda: book)
    present = [zone.id for zone in pickup.zones if not zone.id.startswith(("rocker.left", "tunnel"))]
    assert page_of(pickup, job.shop, *present).rest == "1 more place can wait until these are here."
    assert "1 lugar más puede" in page_of(pickup, job.shop, *present, language="es").rest


@pytest.mark.parametrize("code", ["en", "es"])
def test_the_text_says_all_that_the_page_says(job, pickup: Body, code: str) -> None:
    page = page_of(pickup, job.shop, language=code)
    text = shots_text(page)
    assert text.splitlines()[0] == page.title
    assert all(f"- {place}\n" in text for place in places(page))
    assert "&" not in text
    assert "<" not in text
    assert text.endswith("\n")
    for told in (page.hello, page.ask, page.caution, page.rest, page.thanks, *page.how):
        assert told.unescape() in text
    assert job.shop.shop.name in text
    assert ("una mano" if code == "es" else "hand's") not in page.title


def test_the_caution_of_the_jack_stands_above_the_list(job, pickup: Body) -> None:
    text = shots_text(page_of(pickup, job.shop))
    assert text.index("Never reach or lie under a car that only a jack holds up.") < text.index("Left side")


def test_a_name_with_signs_is_text(job, pickup: Body) -> None:
    page = page_of(pickup, job.shop, owner={"name": 'A <script>alert("1")</script> & Söhne'})
    assert 'Hello A <script>alert("1")</script> & Söhne,' in shots_text(page)
    assert "<script>" not in shots_html(page)
    assert page_of(pickup, job.shop, owner={}).hello == "Hello,"


def test_what_shows_too_little_is_asked_for_once_more(job, pickup: Body, tmp_path: Path) -> None:
    advice = Step("Hold the phone still for two seconds, or rest it on something.", {}, "photos.yaml")
    again = [Retake(zone, advice) for zone in ("hood", "rocker.left.outer")]
    page = shot_page(asked(pickup, language="es"), pickup, job.shop, without(pickup), None, again)
    assert [one.place for one in page.again] == ["Estribo exterior izquierdo", "Cofre"]  # what carries comes first
    assert not page.again_more
    text = shots_text(page)
    assert text.index("Tome estas otra vez, por favor:") < text.index("- Estribo exterior izquierdo: ")
    many = [Retake(zone.id, advice) for zone in pickup.zones]
    assert len(shot_page(asked(pickup), pickup, job.shop, without(pickup), None, many).again) == 6
    path, _ = publish.write_shots(asked(pickup), pickup, job.shop, without(pickup), tmp_path, many)
    assert len(PdfReader(path).pages) == 1


def test_a_place_that_shows_too_little_is_not_enough(job, pickup: Body) -> None:
    seen = dataclasses.replace(without(pickup), zones_without_photo=())
    assert shot_page(asked(pickup), pickup, job.shop, seen).enough
    advice = Step("Stand closer.", {}, "photos.yaml")
    assert not shot_page(asked(pickup), pickup, job.shop, seen, None, [Retake("hood", advice)]).enough


def test_both_files_are_written_alike_each_time(job, pickup: Body, tmp_path: Path) -> None:
    written = publish.write_shots(asked(pickup), pickup, job.shop, without(pickup), tmp_path)
    assert [path.name for path in written] == ["shots.pdf", "shots.txt"]
    first = [path.read_bytes() for path in written]
    publish.write_shots(asked(pickup), pickup, job.shop, without(pickup), tmp_path)
    assert [path.read_bytes() for path in written] == first
    (tmp_path / "other" / "shots.txt").mkdir(parents=True)
    with pytest.raises(FolderError):
        publish.write_shots(asked(pickup), pickup, job.shop, without(pickup), tmp_path / "other")


def test_other_readers_read_the_pdf(job, pickup: Body, tmp_path: Path) -> None:
    path, _text = publish.write_shots(asked(pickup, language="es"), pickup, job.shop, without(pickup), tmp_path)
    words = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    assert "Lado izquierdo" in words
    assert "Larguero izquierdo, tramo delantero" in words
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert re.search(r"^Pages: +1$", told, re.MULTILINE)
    assert re.search(r"^Tagged: +yes$", told, re.MULTILINE)
    assert re.search(rf"^Author: +{re.escape(job.shop.shop.name)}$", told, re.MULTILINE)
    reader = PdfReader(path)
    assert reader.trailer["/Root"]["/Lang"] == "es"


def test_names_in_the_template_equal_names_documented() -> None:
    parsed = Environment(autoescape=True).parse((template_dir() / "customer/shots.html").read_text(encoding="utf-8"))
    assert meta.find_undeclared_variables(parsed) == {field.name for field in dataclasses.fields(ShotPage)}
    used = {node.attr for node in parsed.find_all(nodes.Getattr)}
    assert used == {field.name for row in (ShotAgain, ShotGroup, ShotSide) for field in dataclasses.fields(row)}
