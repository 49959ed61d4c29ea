"""From a folder to its pages, one named step a line. Every step but the first and the last is a pure function.

load      folder -> record, body, rule book, shop book, links checked
album     photographs found, placed in zones, copied upright and without metadata
work_out  grades; options, choice, hours, price and order for each of the three aims
pages     customer's PDF or page; shop scope PDF or page
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from soundmetal.car import catalogue
from soundmetal.car.models import Body
from soundmetal.errors import LinkError, RecordError, Several, UnknownName
from soundmetal.folder import store
from soundmetal.folder.links import check_links
from soundmetal.folder.shop import load_shop_book
from soundmetal.folder.store import Stored
from soundmetal.grade.books import RuleBook, rule_book
from soundmetal.grade.car import grade_car
from soundmetal.grade.contradictions import reading_problems
from soundmetal.photos.album import Album, album
from soundmetal.photos.scan import Scan, scan
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook
from soundmetal.report.job import Job
from soundmetal.scope.work import all_aims

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Loaded:
    """A folder that has been read and whose ids all point somewhere."""

    folder: Path
    stored: Stored
    body: Body
    book: RuleBook
    shop: ShopBook
    scan: Scan

    @property
    def inspection(self) -> Inspection:
        """What people wrote."""
        return self.stored.inspection


def load(folder: Path) -> Loaded:
    """Read a folder; every fault is a SoundmetalError that says what, where and what to do."""
    stored = store.read(folder)
    body = _body(stored)
    book = _book(stored)
    found = scan(folder / "photos")
    check_links(stored, body, [*(p.name for p in found.photos), *(r.name for r in found.refused)])
    _check_readings(stored, body)
    return Loaded(folder, stored, body, book, load_shop_book(folder, stored.inspection.shop), found)


def album_of(loaded: Loaded, on_done: Progress | None = None) -> Album:
    """Place and copy the photographs; the copies are kept by content hash for the next time."""
    cache = store.hidden(loaded.folder, "copies")
    return album(loaded.scan, loaded.inspection, loaded.body, cache, on_done)


def work_out(loaded: Loaded, pictures: Album) -> Job:
    """Grade the car and work out all three aims."""
    grades = grade_car(loaded.inspection, loaded.body, loaded.book)
    scopes = all_aims(loaded.inspection, loaded.body, loaded.shop, loaded.book, grades)
    return Job(loaded.folder, loaded.inspection, loaded.body, loaded.shop, loaded.book, pictures, grades, scopes)


def for_reader(job: Job, *, language: str = "", units: str = "", paper: str = "") -> Job:
    """Give the same job for another reader: language, units or paper differ from the record's, nothing else."""
    wanted = {"language": language, "units": units, "paper": paper}
    changed = {key: value for key, value in wanted.items() if value}
    if not changed:
        return job
    plain = job.inspection.model_dump(by_alias=True, mode="python") | changed
    return replace(job, inspection=Inspection.model_validate(plain))


def zone_known(folder: Path, zone: str) -> None:
    """Raise an error unless the folder holds an inspection and `zone` (or nothing) is one of its zones."""
    stored = store.read(folder)
    if zone:
        catalogue.zone(_body(stored), zone)


def _body(stored: Stored) -> Body:
    vehicle = stored.inspection.vehicle
    try:
        return catalogue.body(vehicle.body, vehicle.structure)
    except UnknownName as error:
        raise LinkError(error.what, place=stored.place("vehicle", "body"), todo=error.todo) from error


def _book(stored: Stored) -> RuleBook:
    try:
        return rule_book(stored.inspection.rule_book)
    except UnknownName as error:
        raise LinkError(error.what, place=stored.place("rule_book"), todo=error.todo) from error


def _check_readings(stored: Stored, body: Body) -> None:
    problems = [
        RecordError(
            text, place=stored.place("findings", i, "readings"), todo="Read it again, or give the reference reading."
        )
        for i, finding in enumerate(stored.inspection.findings)
        for text in reading_problems(finding, body.by_id[finding.zone])
    ]
    if len(problems) > 1:
        raise Several(problems)
    if problems:
        raise problems[0]
