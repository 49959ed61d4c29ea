from __future__ import annotations

import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from yards import write_car

import soundmetal
from soundmetal.folder.yard import index as kept_index
from soundmetal.folder.yard import reading
from soundmetal.folder.yard.look import look
from soundmetal.folder.yard.models import Yard

FILE = Path(".soundmetal", "yard.sqlite")


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """List the folders that are really read."""
    told: list[str] = []
    plain = reading.read_spot
    monkeypatch.setattr(reading, "read_spot", lambda spot: told.append(spot.folder) or plain(spot))
    return told


def test_what_has_not_changed_is_not_read_again(yard: Path, reads: list[str]) -> None:
    first = look(yard)
    assert sorted(reads) == ["2026/drover", "2026/packhorse", "heron"]
    reads.clear()
    assert look(yard) == first
    assert look(yard, "packhorse").cars == (first.cars[2],)
    assert reads == []
    write_car(yard / "heron", "Larkfield")
    assert [car.car for car in look(yard).cars] == ["1967 Tollgate Larkfield", *(car.car for car in first.cars[1:])]
    assert reads == ["heron"]


def test_nothing_is_written_where_no_inspection_lies(tmp_path: Path) -> None:
    assert look(tmp_path) == Yard((), ())
    assert list(tmp_path.iterdir()) == []


def rubbish(path: Path) -> None:
    path.write_bytes(b"no database at all" * 500)


def empty(path: Path) -> None:
    path.write_bytes(b"")


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])


def scrambled(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[4096:] = bytes((byte + 77) % 256 for byte in data[4096:])
    path.write_bytes(data)


def a_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def gone(path: Path) -> None:
    path.unlink()


def statement(*lines: str) -> Callable[[Path], None]:
    def run(path: Path) -> None:
        with sqlite3.connect(path) as opened:
            for line in lines:
                opened.execute(line)
        opened.close()

    return run


def somebody_elses(path: Path) -> None:
    path.unlink()
    statement("CREATE TABLE car (a)", "INSERT INTO car VALUES (1)")(path)


SPOILT: dict[str, Callable[[Path], None]] = {
    "rubbish": rubbish,
    "empty": empty,
    "cut": cut,
    "scrambled": scrambled,
    "a folder": a_folder,
    "gone": gone,
    "somebody else's": somebody_elses,
    "another version": statement("UPDATE version SET text = '0.0 0 fts5'"),
    "no table": statement("DROP TABLE car"),
    "no words": statement("DROP TABLE word"),
    "a stand that there is not": statement("UPDATE car SET stand = 'stolen'"),
    "a day that there is not": statement("UPDATE car SET date = '2026-99-99'"),
    "money that is none": statement("UPDATE car SET answered = 'much'"),
    "nothing told": statement("UPDATE car SET stand = NULL, date = NULL"),
    "paths that are numbers": statement("UPDATE car SET path = number"),
    "signatures that are numbers": statement("UPDATE car SET signature = 7"),
    "a signature of nothing": statement("UPDATE car SET signature = x'31'"),
    "a signature of no files": statement("UPDATE car SET signature = x'310000'"),
    "a signature of other files": statement("UPDATE car SET signature = x'31002f6465762f6e756c6c0000'"),
    "times that are text": statement("UPDATE car SET seen = 'x'"),
}


@pytest.mark.parametrize("spoil", SPOILT.values(), ids=SPOILT)
def test_a_spoilt_index_changes_no_answer(yard: Path, spoil: Callable[[Path], None]) -> None:
    whole, found = look(yard), look(yard, "estribo packhorse")
    spoil(yard / FILE)
    assert look(yard, "estribo packhorse") == found
    spoil(yard / FILE) if (yard / FILE).is_file() and spoil not in (gone, a_folder) else None
    assert look(yard) == whole
    assert look(yard) == whole


def test_a_spoilt_index_is_made_anew(yard: Path, reads: list[str]) -> None:
    look(yard)
    rubbish(yard / FILE)
    look(yard)
    reads.clear()
    look(yard)
    assert reads == []
    assert not list((yard / ".soundmetal").glob("*.part*"))


def test_another_program_version_makes_it_anew(yard: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    whole = look(yard)
    monkeypatch.setattr(kept_index, "__version__", "99.0")
    reads.clear()
    assert look(yard) == whole
    assert len(reads) == 3


def test_without_the_search_of_sqlite_words_are_found_all_the_same(
    yard: Path, monkeypatch: pytest.MonkeyPatch, reads: list[str]
) -> None:
    asked = ("pack", "estribo 20418", "quirog", "cowl", "ROCKER ines", "ñandú")
    with_it = [look(yard, words) for words in asked]
    monkeypatch.setattr(kept_index, "_has_five", lambda: False)
    assert [look(yard, words) for words in asked] == with_it
    reads.clear()
    assert [look(yard, words) for words in asked] == with_it
    assert reads == []
    assert [len(found.cars) for found in with_it] == [1, 1, 1, 0, 1, 0]


@pytest.mark.parametrize("fault", [PermissionError(13, "no"), OSError(28, "full"), sqlite3.OperationalError("full")])
def test_where_nothing_can_be_written_it_works_without(
    yard: Path, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(kept_index, "_make", refuse)
    whole = look(yard)
    assert len(whole.cars) == 3
    assert look(yard, "packhorse").cars == whole.cars[2:]
    assert not (yard / FILE).exists()


def test_a_hidden_folder_that_is_a_file_is_worked_without(yard: Path) -> None:
    (yard / ".soundmetal").write_text("mine")
    assert len(look(yard).cars) == 3
    assert (yard / ".soundmetal").read_text() == "mine"


def test_one_that_is_locked_is_read_all_the_same(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_index, "_WAIT_S", 0.05)
    whole = look(yard)
    holder = sqlite3.connect(yard / FILE, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    write_car(yard / "new", "Causeway")
    try:
        assert len(look(yard).cars) == len(whole.cars) + 1
    finally:
        holder.close()
    assert len(look(yard).cars) == len(whole.cars) + 1


def test_several_processes_at_once_tell_the_same(yard: Path) -> None:
    """Each lists the yard again and again while one keeps spoiling the index."""
    for number in range(12):
        write_car(yard / f"car {number}", "Causeway")
    home = str(Path(soundmetal.__file__).resolve().parents[1])
    program = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from pathlib import Path\n"
        "from soundmetal.folder.yard.look import look\n"
        "for turn in range(8):\n"
        "    if sys.argv[3] == 'spoils' and turn % 3 == 1:\n"
        "        Path(sys.argv[2], '.soundmetal', 'yard.sqlite').write_bytes(b'x' * 3000)\n"
        "    found = look(Path(sys.argv[2]), 'causeway' if turn % 2 else None)\n"
        "    assert len([car for car in found.cars if car.folder.startswith('car ')]) == 12, found\n"
        "    assert not found.broken\n"
    )
    started = [
        subprocess.Popen([sys.executable, "-c", program, home, str(yard), kind], stderr=subprocess.PIPE, text=True)
        for kind in ("looks", "spoils", "looks")
    ]
    told = [each.communicate(timeout=100)[1] for each in started]
    assert [each.returncode for each in started] == [0, 0, 0], told
    assert len(look(yard).cars) == 15
