"""The index: what was read of each inspection, in YARD/.soundmetal/yard.sqlite, so that it need not be read again.

Only a cache. Whatever is wrong with it (gone, spoilt, of another version, not to be written to, in use) it is made
anew or done without, and nothing is said. It is written by one process at a time, and replaced whole when it is made
anew; who reads meanwhile reads the old one to its end.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

import soundmetal
from soundmetal import __version__
from soundmetal.folder.yard.models import Broken, Car

HIDDEN, FILE, LOCK = ".soundmetal", "yard.sqlite", "yard.lock"
#: Goes up with every change of the tables, or of what is worked out for them.
LAYOUT = 1
#: SQLite's own field for whose file it is; four letters as a number.
_OURS = 0x534D5944
_WAIT_S = 2.0
_COLUMNS = "path, signature, seen, digest, fault, id, stand, date, open_state, car, owner, identification, hours_left"
_COLUMNS += ", answered, waiting, currency"
_TABLE = f"CREATE TABLE car (number INTEGER PRIMARY KEY, {_COLUMNS}, UNIQUE (path))"
_FIVE = "CREATE VIRTUAL TABLE word USING fts5 (words, tokenize = 'ascii')"
_PLAIN = "CREATE TABLE word (words TEXT)"
#: How each kind of search asks for a word's beginning: the condition, and what is put in for it.
_QUESTIONS = {True: ("word MATCH ?", '"%s"*'), False: ("words LIKE ?", "%% %s%%")}
_KINDS = (bytes, bytes, int, bytes, str)
_NOTHING = (None,) * 11


class Kept(NamedTuple):
    """One row: what was told of a spot with this signature; `seen_ns` is the file system's time when it was read.

    `fault` is empty where the inspection is whole; then `row` is that of the car.
    """

    folder: str
    signature: bytes
    seen_ns: int
    digest: bytes
    fault: str
    row: Sequence[Any] = ()

    @property
    def told(self) -> Car | Broken:
        """What was told; ValueError, TypeError or ArithmeticError where the row is none of ours."""
        return Broken(self.folder, self.fault) if self.fault else Car.from_row(self.folder, self.row)


class Row(NamedTuple):
    """What is to be kept of one spot."""

    kept: Kept
    words: str


@dataclass
class Index:
    """The index of one yard as it was found. `version` tells what program and catalogue it was made with."""

    yard: Path
    version: str
    kept: Mapping[str, Kept] = field(default_factory=dict)
    whole: bool = False
    _open: sqlite3.Connection | None = None

    def seen(self, folder: str) -> tuple[bytes, int] | None:
        """Give the signature that a folder had when it was read, and when that was."""
        kept = self.kept.get(folder)
        return (kept.signature, kept.seen_ns) if kept else None

    def find(self, words: Sequence[str]) -> set[str] | None:
        """Give the folders whose words begin with each of these; None where the index cannot tell."""
        if self._open is None:
            return None
        by_word, asked = _QUESTIONS[_five_in(self.version)]
        question = f"SELECT path FROM car JOIN word ON word.rowid = number WHERE {by_word}"  # noqa: S608 - our own
        try:
            each = [{path for (path,) in self._open.execute(question, (asked % word,))} for word in words]
            return {os.fsdecode(path) for path in set.intersection(*each)}
        except (sqlite3.Error, ValueError, TypeError):
            return None

    def close(self) -> None:
        """Let go of the file."""
        if self._open is not None:
            self._open.close()
            self._open = None

    def save(self, rows: Sequence[Row], gone: Iterable[str]) -> None:
        """Keep rows and forget what is gone; where that cannot be, nothing happens."""
        self.close()
        with contextlib.suppress(OSError, sqlite3.Error), _only_writer(self.yard) as allowed:
            if allowed and not (self.whole and _update(self, rows, gone)):
                _make(self, rows)
                self.whole = True

    def settle(self, folders: Iterable[str], seen_ns: int) -> None:
        """Note when what is kept of these was held against their files again; where that cannot be, let it be."""
        change = "UPDATE car SET seen = ? WHERE path = ? AND signature = ? AND digest = ?"
        same = [(folder, self.kept[folder]) for folder in folders]
        told = [(seen_ns, os.fsencode(folder), kept.signature, kept.digest) for folder, kept in same]
        with contextlib.suppress(OSError, sqlite3.Error), _only_writer(self.yard) as allowed:
            if allowed and self._open is not None:
                self._open.execute("ROLLBACK")  # ends the reading that `load` began
                self._open.execute("BEGIN IMMEDIATE")
                self._open.executemany(change, told)
                self._open.execute("COMMIT")


def load(yard: Path) -> Index:
    """Read the index of a yard; an empty one where there is none that can be used."""
    index = Index(yard, _version())
    path = yard / HIDDEN / FILE
    if not path.is_file():
        return index
    try:
        index._open = _opened(path)
        index._open.execute("BEGIN")  # so that all that is asked of it is answered from one moment
        if _is_ours(index._open, index.version):
            index.kept = dict(_rows(index._open))
            index.whole = True
    except (sqlite3.Error, ValueError, TypeError):
        index.kept = {}
    if not index.whole:
        index.close()
    return index


def now_ns(yard: Path) -> int:
    """Give the time as the yard's file system keeps it, to hold files' times against; 0 where nothing can be written.

    It is that of our own lock, touched.
    """
    path = yard / HIDDEN / LOCK
    try:
        path.parent.mkdir(exist_ok=True)
        path.touch()
        return path.stat().st_mtime_ns
    except OSError:
        return 0


def _version() -> str:
    """Name all that an entry depends on besides its own files: program, tables, catalogue, kind of search."""
    home = Path(soundmetal.__file__).resolve().parent / "data" / "car"  # `soundmetal.data` would load what reads it
    files = sorted(home.rglob("*.yaml"))
    car = [(str(path.relative_to(home)), path.stat().st_mtime_ns, path.stat().st_size) for path in files]
    return f"{__version__} {LAYOUT} {'fts5' if _has_five() else 'plain'} {car}"


def _has_five() -> bool:
    with contextlib.closing(sqlite3.connect(":memory:")) as tried:
        try:
            tried.execute(_FIVE)
        except sqlite3.Error:
            return False
    return True


def _opened(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, timeout=_WAIT_S, isolation_level=None)


def _is_ours(opened: sqlite3.Connection, version: str) -> bool:
    if opened.execute("PRAGMA application_id").fetchone() != (_OURS,):
        return False
    return bool(opened.execute("SELECT text FROM version").fetchall() == [(version,)])


def _rows(opened: sqlite3.Connection) -> Iterator[tuple[str, Kept]]:
    for path, signature, seen, digest, fault, *row in opened.execute(f"SELECT {_COLUMNS} FROM car"):  # noqa: S608
        if (type(path), type(signature), type(seen), type(digest), type(fault)) != _KINDS:
            raise TypeError(path)
        folder = os.fsdecode(path)
        yield folder, Kept(folder, signature, seen, digest, fault, row)


def _five_in(version: str) -> bool:
    return " fts5 " in version


@contextlib.contextmanager
def _only_writer(yard: Path) -> Iterator[bool]:
    """Hold the yard's index for one writer; False where another has it: what that one writes will do as well."""
    from filelock import FileLock, Timeout  # here: who finds nothing new need not wait for it to load

    lock = FileLock(yard / HIDDEN / LOCK, timeout=0)
    try:
        lock.acquire()
    except Timeout:
        yield False
        return
    try:
        yield True
    finally:
        lock.release()


def _update(index: Index, rows: Sequence[Row], gone: Iterable[str]) -> bool:
    """Change rows in the file as it is; False where it is no longer ours or is spoilt, and has to be made anew."""
    try:
        with contextlib.closing(_opened(index.yard / HIDDEN / FILE)) as opened:
            if not _is_ours(opened, index.version):
                return False
            opened.execute("BEGIN IMMEDIATE")
            for folder in (*gone, *(row.kept.folder for row in rows)):
                _forget(opened, folder)
            _fill(opened, rows)
            opened.execute("COMMIT")
    except sqlite3.OperationalError:
        return True  # in use, full or not ours to write to: what it says stays right, there is only less of it
    except sqlite3.DatabaseError:
        return False
    return True


def _make(index: Index, rows: Sequence[Row]) -> None:
    """Make the file anew beside its place, and put it there in one step."""
    path = index.yard / HIDDEN / FILE
    part = path.with_name(f".{FILE}.{secrets.token_hex(8)}.part")
    try:
        with contextlib.closing(sqlite3.connect(part, isolation_level=None)) as opened:
            opened.execute("BEGIN IMMEDIATE")
            opened.execute(f"PRAGMA application_id = {_OURS}")
            opened.execute("CREATE TABLE version (text TEXT)")
            opened.execute("INSERT INTO version VALUES (?)", (index.version,))
            opened.execute(_TABLE)
            opened.execute(_FIVE if _five_in(index.version) else _PLAIN)
            _fill(opened, rows)
            opened.execute("COMMIT")
        for rest in ("-journal", "-wal", "-shm"):  # what a killed writer of the old file left
            path.with_name(FILE + rest).unlink(missing_ok=True)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
        part.with_name(f"{part.name}-journal").unlink(missing_ok=True)


def _forget(opened: sqlite3.Connection, folder: str) -> None:
    for (number,) in opened.execute("SELECT number FROM car WHERE path = ?", (os.fsencode(folder),)).fetchall():
        opened.execute("DELETE FROM word WHERE rowid = ?", (number,))
        opened.execute("DELETE FROM car WHERE number = ?", (number,))


def _fill(opened: sqlite3.Connection, rows: Sequence[Row]) -> None:
    places = ", ".join("?" * (_COLUMNS.count(",") + 1))
    for kept, words in rows:
        facts = (os.fsencode(kept.folder), kept.signature, kept.seen_ns, kept.digest, kept.fault)
        values = (*facts, *(kept.row or _NOTHING))
        put = opened.execute(f"INSERT INTO car ({_COLUMNS}) VALUES ({places})", values)  # noqa: S608 - our own names
        opened.execute("INSERT INTO word (rowid, words) VALUES (?, ?)", (put.lastrowid, words))
