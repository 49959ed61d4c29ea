"""An invented pickup, worked out by hand as far as the report needs it: every method, every level, odd letters."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw
from ruamel.yaml import YAML
from shapely.geometry import box

from soundmetal.car import catalogue
from soundmetal.car.models import Body
from soundmetal.data import read_yaml
from soundmetal.grade.books import rule_book
from soundmetal.grade.car import grade_car
from soundmetal.grade.models import Graded, Grades, Level, Spread, Step
from soundmetal.photos.album import Album, album
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Aim, Structure
from soundmetal.repair.models import Choice, Cutout, Geometry, Loser, Method, Option
from soundmetal.report.job import Job
from soundmetal.scope.models import Blank, Line, MoneyRange, PanelWork, Scope, Task, Total

FINDINGS: list[dict[str, Any]] = YAML(typ="safe", pure=True).load(Path(__file__).with_name("findings.yaml"))
CHOSEN = {
    "F01": (Method.BUTT_WELD, 1850, 14.0),
    "F02": (Method.TREAT, 240, 2.4),
    "F03": (Method.REFER, 1300, 9.5),
    "F04": (Method.PATCH, 690, 5.8),
    "F05": (Method.TREAT, 210, 2.1),
    "F06": (Method.FULL_PANEL, 1480, 11.0),
    "F07": (Method.TREAT, 90, 0.9),
    "F08": (Method.LEAVE, 1, 0.1),
}
AIM_FACTOR = {Aim.ARREST: Decimal("0.8"), Aim.SOUND: Decimal(1), Aim.FACTORY: Decimal("1.9")}


def made_inspection(**changes: Any) -> Inspection:
    values: dict[str, Any] = {
        "soundmetal": 1,
        "vehicle": {
            "year": 1964,
            "make": "Larkspur",
            "model": "Drover",
            "body": "pickup",
            "structure": "frame",
            "colour": "faded green",
            "odometer": {"value": 84213, "unit": "mi", "reliable": False},
        },
        "owner": {"name": "Inés Peña"},
        "date": dt.date(2026, 11, 18),
        "inspector": "T. Okafor",
        "basis": "lift",
        "zones": {zone.id: {"all": "clear"} for zone in pickup().zones[:-6]},
        "not_seen": [{"zone": pickup().zones[-2].id, "why": "covered", "note": "Under the bed mat."}],
        "findings": FINDINGS,
    }
    return Inspection.model_validate({**values, **changes})


def pickup() -> Body:
    return catalogue.body("pickup", Structure.FRAME)


def made_shop() -> ShopBook:
    book = ShopBook.model_validate(read_yaml("shop_book.yaml"))
    contact = {"name": "Millrace Metalworks", "street": "12 Sluice Lane", "town": "Harrow Bend", "phone": "555 0142"}
    return book.model_copy(update={"shop": book.shop.model_copy(update=contact)})


def _picture(path: Path, size: tuple[int, int], seed: int) -> None:
    rng = random.Random(seed)
    image = Image.new("RGB", size, (96, 112, 98))
    pen = ImageDraw.Draw(image)
    for _ in range(400):
        x, y, r = rng.gauss(size[0] / 2, size[0] / 6), rng.gauss(size[1] / 2, size[1] / 8), rng.uniform(4, 40)
        pen.ellipse(
            (x - r, y - r, x + r, y + r), fill=(rng.randint(80, 150), rng.randint(40, 80), rng.randint(15, 40))
        )
    exif = Image.Exif()
    exif[0x010F] = "Secretmaker"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (12.0, 34.0, 56.0)
    image.save(path, exif=exif, quality=88)


@pytest.fixture(scope="session")
def photo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("larkspur")
    names = ("rocker left.jpg", "inner.jpg", "rail.jpg", "floor.jpg", "floor 2.jpg")
    for seed, name in enumerate(names):
        _picture(folder / name, (1200, 900), seed)
    _picture(folder / "tall.jpg", (900, 1200), 9)
    return folder


def _spread(likely: float) -> Spread:
    return Spread(0.8 * likely, likely, 1.7 * likely)


def _range(likely: Decimal) -> MoneyRange:
    return MoneyRange(likely * Decimal("0.8"), likely, likely * Decimal("1.7"))


def _geometry(graded: Graded, method: Method) -> Geometry:
    finding = graded.finding
    if method in (Method.TREAT, Method.LEAVE, Method.REFER):
        return Geometry()
    wide, tall = finding.size or (200.0, 100.0)
    x, y = finding.at or (300.0, 200.0)
    shape = box(x - wide / 2 - 5, y - tall / 2 - 5, x + wide / 2 + 5, y + tall / 2 + 5).buffer(20)
    cut = Cutout(shape, (finding.id,), float(shape.length), float(shape.length), finding.at is not None)
    return Geometry(cutouts=(cut,), seam_mm=float(shape.length), plug_welds=0 if method is Method.PATCH else 18)


def _work(graded: Graded) -> PanelWork:
    method, price, hours = CHOSEN[graded.finding.id]
    ids, panel = (graded.finding.id,), graded.zone_id
    taken = Option(panel, method, ids, _geometry(graded, method), True, None, ("M3",), _spread(hours), Decimal(price))
    lost = Option(
        panel, Method.FULL_PANEL, ids, Geometry(), True, None, ("M5",), _spread(2 * hours), Decimal(2 * price)
    )
    cannot = Option(
        panel, Method.LEAVE, ids, Geometry(), False, Step("There is rust here; left alone it goes on.", {}, "M1")
    )
    losers = (
        Loser(
            lost, Step("It costs more than the method taken, by {more_money}.", {"more_money": Decimal(price)}, "M7")
        ),
        Loser(cannot, Step("There is rust here; left alone it goes on.", {}, "M1")),
    )
    reason = Step("Of what is possible here it costs least.", {}, "M7")
    blanks = (
        ()
        if method is Method.TREAT
        else (Blank(f"B-{ids[0]}", panel, ids, 470.0, 120.0, 20.0, 0.91, 20, "flat", 1, 0.0, 0.4),)
    )
    return PanelWork(
        panel,
        Choice(panel, taken, reason, losers, (graded,)),
        (),
        blanks,
        (),
        _spread(hours),
        _range(Decimal(price)),
        Spread(1.1, 1.6, 2.9),
        0.3 if method is not Method.TREAT else 0.0,
    )


def _histogram(likely: float) -> tuple[tuple[float, float], ...]:
    bins = [likely * (0.7 + 0.05 * k) for k in range(30)]
    raw = [max(0.0, (k + 1) ** 1.5 * 0.82**k) for k in range(30)]
    return tuple((amount, share / sum(raw)) for amount, share in zip(bins, raw, strict=True))


def _order(works: tuple[PanelWork, ...]) -> tuple[Task, ...]:
    order, start = [], 0.0
    for work in works:
        text = Step("{panel_zone}: cut, weld and dress", {"panel_zone": work.panel}, "order")
        end = start + work.hours.likely
        findings = work.choice.taken.findings
        order.append(Task(work.panel, text, work.panel, findings, work.hours.likely, start, end, ()))
        start = end
    paint, wait = Step("paint of the repaired panels", {}, "shop book"), "It waits for your answer."
    return (*order, Task("paint", paint, "", (), 35.0, start, start + 35.0, (), away=True, hold=wait))


def _total(works: tuple[PanelWork, ...], factor: Decimal) -> Total:
    price = sum((w.price.likely for w in works), Decimal(0)) * factor
    hours = sum(w.hours.likely for w in works) * float(factor)
    lines = (Line("labour", "", (), Step("labour", {}, ""), hours, price),)
    likely, told = (lines, price, Decimal(0), price), (_spread(hours), _range(price), _histogram(float(price)))
    return Total(*likely, *told, hours, 3.0, hours, 3.0)


def made_scope(grades: Grades, aim: Aim) -> Scope:
    works = tuple(_work(g) for g in grades.findings if g.level is not Level.SOUND)
    undone = () if aim is Aim.FACTORY else (Step("Seams stay visible on hidden sides.", {}, "aim"),)
    cautions = (Step("Disconnect the battery before anybody welds.", {}, "C1"),)
    holds = (Step("The left frame rail waits for a structural repairer.", {}, "M6"),)
    total, days = _total(works, AIM_FACTOR[aim]), Spread(9, 12, 21)
    return Scope(aim.value, works, (), (), (), total, _order(works), days, holds, cautions, undone)


def made_job(folder: Path, **changes: Any) -> Job:
    inspection, body = made_inspection(**changes), pickup()
    book = rule_book(inspection.rule_book)
    pictures: Album = album(folder, inspection, body, folder / ".soundmetal")
    grades = grade_car(inspection, body, book)
    scopes = {aim: made_scope(grades, aim) for aim in Aim}
    return Job(folder, inspection, body, made_shop(), book, pictures, grades, scopes)


@pytest.fixture(scope="session")
def job(photo_folder: Path) -> Job:
    return made_job(photo_folder)


@pytest.fixture(scope="session")
def job_with(photo_folder: Path) -> Callable[..., Job]:
    def make(**changes: Any) -> Job:
        return made_job(photo_folder, **changes)

    return make
