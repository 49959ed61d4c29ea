"""From a folder to its pages, one named step a line. Every step but the first and the last is a pure function.

load      folder -> record, body, rule book, shop book, links checked
album     photographs found, placed in zones, copied upright and without metadata
work_out  grades; options, choice, hours, price and order for each of the three aims
pages     customer's PDF or page; shop scope PDF or page
(`cutting.py` draws blanks and nested sheets, with the cut list, for the cutting table.)
"""

from __future__ import annotations

import atexit
import contextlib
import datetime as dt
import os
import shutil
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from filelock import FileLock, Timeout

from soundmetal.car import catalogue
from soundmetal.car.models import Body
from soundmetal.errors import (
    ChangedMeanwhile,
    FolderError,
    LinkError,
    RecordError,
    Several,
    UnknownName,
    UsageError,
    WriteError,
)
from soundmetal.folder import store
from soundmetal.folder.links import check_links, check_spent
from soundmetal.folder.shop import load_shop_book
from soundmetal.folder.states import State, standing, states
from soundmetal.folder.store import Stored
from soundmetal.grade.books import RuleBook, rule_book
from soundmetal.grade.car import grade_car
from soundmetal.grade.contradictions import reading_problems
from soundmetal.photos.album import Album, album
from soundmetal.photos.arrivals import PHOTOS, everything
from soundmetal.photos.intake import Intake, take_in
from soundmetal.photos.scan import Scan
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Units
from soundmetal.report.before import before_of
from soundmetal.report.job import Job
from soundmetal.report.language import languages
from soundmetal.scope.work import all_aims
from soundmetal.words import did_you_mean

Progress = Callable[[int, int], None]
#: Sixty photographs are copied in seconds; who waits longer than this waits for a program that hangs.
INTAKE_PATIENCE_S = 300


@dataclass(frozen=True)
class Loaded:
    """A folder that has been read and whose ids all point somewhere."""

    folder: Path
    stored: Stored
    body: Body
    book: RuleBook
    shop: ShopBook
    scan: Scan
    #: The states that the owner was sent, read together with the record.
    sent: tuple[State, ...] = ()

    @property
    def inspection(self) -> Inspection:
        """What people wrote."""
        return self.stored.inspection


def load(folder: Path) -> Loaded:
    """Read a folder; every fault is a SoundmetalError that says what, where and what to do."""
    stored = store.read(folder)
    sent = states(folder)
    body = _body(stored)
    book = _book(stored)
    _language(stored)
    photos_folder(folder)
    found = everything(folder)
    check_links(stored, body, [*(p.name for p in found.photos), *(r.name for r in found.refused)])
    _check_readings(stored, body)
    shop = load_shop_book(folder, stored.inspection.shop, [found.id for found in stored.inspection.findings])
    check_spent(stored, shop.operations)
    return Loaded(folder, stored, body, book, shop, found, sent)


def album_of(loaded: Loaded, on_done: Progress | None = None) -> Album:
    """Place and copy the photographs; the copies are kept by content hash for the next time."""
    return album(loaded.scan, loaded.inspection, loaded.body, _copies_folder(loaded.folder), on_done)


def work_out(
    loaded: Loaded, pictures: Album, meanwhile: Callable[[], None] | None = None, *, heed: bool = False
) -> Job:
    """Grade the car and work out all three aims; `meanwhile` is called while another core is still at it.

    With `heed` what the owner said no to is left out: so for the shop; an owner is always told of all the work.
    Answers that were given before more was found do not stand any more.
    """
    inspection = loaded.inspection
    if inspection.answers:
        inspection = inspection.model_copy(update={"answers": standing(inspection, loaded.sent)})
    grades = grade_car(inspection, loaded.body, loaded.book)
    scopes = all_aims(inspection, loaded.body, loaded.shop, loaded.book, grades, meanwhile, heed=heed)
    made = (loaded.folder, inspection, loaded.body, loaded.shop, loaded.book, pictures, grades, scopes)
    before = None if heed else before_of(loaded.sent, loaded.body, loaded.book)
    return Job(*made, stored=loaded.stored, sent=loaded.sent, before=before)


def for_reader(job: Job, *, language: str = "", units: str = "") -> Job:
    """Give the same job for another reader: language or units differ from the record's, nothing else.

    UsageError names the languages or units that there are.
    """
    reader_known(language, units)
    changed: dict[str, object] = {"language": language} if language else {}
    if units:
        changed["units"] = Units(units)
    return replace(job, inspection=job.inspection.model_copy(update=changed)) if changed else job


def reader_known(language: str = "", units: str = "") -> None:
    """Raise UsageError unless the reader's language and units (or nothing) exist."""
    if language:
        language_known(language)
    if units:
        _known("units", units, [one.value for one in Units])


def language_known(code: str) -> str:
    """Give a language's code back; UsageError names the languages that there are."""
    return _known("language", code, languages())


def targets(folder: Path, kind: str, output: Path | None, *, html: bool) -> tuple[Path, Path | None]:
    """Say where the PDF of one kind goes and, where it is asked for, its web page, before any work is done.

    FolderError where that is a folder, WriteError where its folder is not there, UsageError where a file of another
    sort (the record, a photograph) would be replaced.
    """
    pdf = output or folder / f"{kind}.pdf"
    page = pdf.with_suffix(".html") if html else None
    if page == pdf:
        raise UsageError(
            f'"{pdf.name}" cannot be the PDF and the page', todo="Name the PDF; the page lies beside it."
        )
    store.record_path(folder)
    for path, beginning in ((pdf, b"%PDF"), (page, b"<")):
        if path is not None:
            replaceable(path, beginning)
    return pdf, page


def replaceable(path: Path, beginning: bytes) -> None:
    """Raise an error as of `targets` where a file cannot be written, or does not begin as one of ours does."""
    if path.is_dir():
        raise FolderError(f'"{path}" is a folder, not a file', todo="Name a file to write to.")
    if not path.parent.is_dir():
        raise WriteError(f'there is no folder "{path.parent}"', todo="Make it, or name another.")
    if not os.access(path.parent, os.W_OK):
        raise WriteError(
            f'"{path.parent}" cannot be written to', todo="Check its permissions, or name another place."
        )
    if path.is_file() and path.stat().st_size:
        with path.open("rb") as stream:
            if not stream.read(len(beginning)) == beginning:
                raise UsageError(f'"{path}" holds something else and is not replaced', todo="Name another file.")


def take_photographs(
    folder: Path,
    sources: Sequence[Path],
    zone: str = "",
    on_done: Progress | None = None,
    *,
    arrived: dt.datetime,
    sender: str = "",
) -> Intake:
    """Take photographs into the inspection and, where `zone` is said, write down that all of them show it.

    `sender` is kept in the list of arrivals, before the source. Who adds at the same time waits for the other, so
    that two photographs of one name never meet. FolderError and UnknownName come before anything is copied;
    WriteError leaves whole what was copied until then.
    """
    zone_known(folder, zone)
    photos_folder(folder, make=True)
    try:
        with FileLock(store.hidden(folder) / "photos.lock", timeout=INTAKE_PATIENCE_S):
            done = take_in(folder, sources, on_done, arrived=arrived, sender=sender)
    except Timeout as error:
        raise ChangedMeanwhile("another program is adding photographs", todo="Try again when it is done.") from error
    if zone and done.names:
        store.change(folder, [store.Change((PHOTOS, name, "zone"), zone) for name in done.names])
    return done


def zone_known(folder: Path, zone: str) -> None:
    """Raise an error unless the folder holds an inspection and `zone` (or nothing) is one of its zones."""
    stored = store.read(folder)
    if zone:
        catalogue.zone(_body(stored), zone)


def photos_folder(folder: Path, *, make: bool = False) -> Path:
    """Give the folder of photographs, which need not be there unless it is to be made. FolderError for a file."""
    path = folder / PHOTOS
    if path.is_dir():
        return path
    if path.exists():
        raise FolderError(
            f'"{PHOTOS}" in "{folder}" is a file', todo="Rename it; a folder of that name holds photographs."
        )
    if not make:
        return path
    try:
        path.mkdir(parents=True)
    except OSError as error:
        raise WriteError(f'cannot make "{path}": {error.strerror}', todo="Check permissions and space.") from error
    return path


def _copies_folder(folder: Path) -> Path:
    """Give the place for copies: in the inspection, or one that goes with the process where that is read-only."""
    with contextlib.suppress(WriteError):
        path = store.hidden(folder, "copies")
        if os.access(path, os.W_OK):
            return path
    elsewhere = Path(tempfile.mkdtemp(prefix="soundmetal-"))
    atexit.register(shutil.rmtree, elsewhere, ignore_errors=True)
    return elsewhere


def _known(kind: str, word: str, words: Sequence[str]) -> str:
    if word not in words:
        todo = f"{did_you_mean(word, words)} There are: {', '.join(words)}.".strip()
        raise UsageError(f'no {kind} "{word}"', todo=todo)
    return word


def _language(stored: Stored) -> None:
    try:
        language_known(stored.inspection.language)
    except UsageError as error:
        raise LinkError(error.what, place=stored.place("language"), todo=error.todo) from error


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
