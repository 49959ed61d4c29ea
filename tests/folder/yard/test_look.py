"""Whatever happens to the folders, the index tells what they tell."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from offers import an_offer
from yards import answer_car, send_car, write_car

from soundmetal.errors import FolderError, SoundmetalError, UsageError
from soundmetal.folder import states, store
from soundmetal.folder.yard.look import look
from soundmetal.folder.yard.models import Car, Stand, Yard
from soundmetal.folder.yard.reading import car_of

MODELS = ("Packhorse 10", "Drover", "Heron", "Causeway")
OWNERS = ("Ana Quiroga", "Inés Corvalán", "R. Vane")


def of_the_folders(yard: Path) -> tuple[dict[str, Car], set[str]]:
    """Read every record with the readers of the other commands: what stands there, and what is broken."""
    cars, broken = {}, set()
    for path in yard.rglob("inspection.yaml"):
        name = path.parent.relative_to(yard).as_posix()
        if "states/" in name or "/states" in name:
            continue
        try:
            cars[name] = car_of(name, store.read(path.parent).inspection, states.states(path.parent))
        except SoundmetalError:
            broken.add(name)
    return cars, broken


def by_folder(found: Yard) -> tuple[dict[str, Car], set[str]]:
    return {car.folder: car for car in found.cars}, {one.folder for one in found.broken}


def write(yard: Path, rng: random.Random) -> None:
    write_car(
        yard / rng.choice(("", "a", "b")) / f"car {rng.randrange(8)}", rng.choice(MODELS), owner=rng.choice(OWNERS)
    )


def some_car(yard: Path, rng: random.Random) -> Path | None:
    here = sorted({path.parent for path in yard.rglob("inspection.yaml") if "states" not in path.parts})
    return rng.choice(here) if here else None


def send(yard: Path, rng: random.Random) -> None:
    if folder := some_car(yard, rng):
        send_car(folder, an_offer(price=rng.randrange(1000, 1010)))


def answer(yard: Path, rng: random.Random) -> None:
    folder = some_car(yard, rng)
    if folder and (found := states.states(folder)):
        answer_car(folder, found[-1], F1=rng.choice(("yes", "no", "talk to me")))


def edit_in_place(yard: Path, rng: random.Random) -> None:
    """Change letters without changing the size, and put the time of the file back as well."""
    if folder := some_car(yard, rng):
        path = folder / "inspection.yaml"
        before, text = path.stat(), path.read_text(encoding="utf-8")
        for old, new in (("1967", "1958"), ("1958", "1967")):
            if old in text:
                text = text.replace(old, new, 1)
                break
        with path.open("r+", encoding="utf-8") as stream:
            stream.write(text)
        os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


def break_record(yard: Path, rng: random.Random) -> None:
    if folder := some_car(yard, rng):
        (folder / "inspection.yaml").write_text("findings: [", encoding="utf-8")


def rename(yard: Path, rng: random.Random) -> None:
    if folder := some_car(yard, rng):
        target = yard / f"moved {rng.randrange(3)}"
        if not target.exists():
            folder.rename(target)


def swap(yard: Path, rng: random.Random) -> None:
    one, other = some_car(yard, rng), some_car(yard, rng)
    if one and other and one != other:
        one.rename(yard / "held")
        other.rename(one)
        (yard / "held").rename(other)


def copy(yard: Path, rng: random.Random) -> None:
    if folder := some_car(yard, rng):
        target = yard / f"copy {rng.randrange(3)}"
        shutil.rmtree(target, ignore_errors=True) if target != folder else None
        shutil.copytree(folder, target) if target != folder else None


def delete(yard: Path, rng: random.Random) -> None:
    if folder := some_car(yard, rng):
        shutil.rmtree(folder)


def drop_states(yard: Path, rng: random.Random) -> None:
    if folder := some_car(yard, rng):
        shutil.rmtree(folder / "states", ignore_errors=True)


THINGS: tuple[Callable[[Path, random.Random], None], ...] = (
    write, write, write, send, send, answer, edit_in_place, break_record, rename, swap, copy, delete, drop_states,
)  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_the_index_tells_what_the_folders_tell(tmp_path: Path, seed: int) -> None:
    """The index lives through it all; what it tells is held against every folder, read as other commands read it."""
    rng = random.Random(seed)
    for _ in range(25):
        for thing in rng.choices(THINGS, k=rng.randint(1, 3)):
            thing_that_can_fail(thing, tmp_path, rng)
        now = look(tmp_path)
        assert by_folder(now) == of_the_folders(tmp_path)
        asked = rng.choice(("packhorse", "dro", "corvalan estribo", "ana", "heron f2", "zz"))
        found = look(tmp_path, asked)
        if rng.random() < 0.1:
            shutil.rmtree(tmp_path / ".soundmetal", ignore_errors=True)
        assert found.broken == now.broken
        assert list(found.cars) == [car for car in now.cars if says(tmp_path / car.folder, asked)]


def thing_that_can_fail(thing: Callable[[Path, random.Random], None], yard: Path, rng: random.Random) -> None:
    try:
        thing(yard, rng)
    except SoundmetalError:
        assert thing in (send, answer), "only what reads a broken record may fail"


def says(folder: Path, asked: str) -> bool:
    """Look for each beginning of a word in the record itself, with what its zones are called in Spanish."""
    text = (folder / "inspection.yaml").read_text(encoding="utf-8").casefold().replace("á", "a").replace("é", "e")
    text += " estribo " if "rocker.left.outer" in text else ""
    words = "".join(char if char.isalnum() else " " for char in f"{text} {folder.name}").split()
    return all(any(word.startswith(one) for word in words) for one in asked.split())


def test_order_is_where_they_stand_then_who_waits_longest(yard: Path) -> None:
    write_car(yard / "zz", "Causeway")
    record = yard / "zz" / "inspection.yaml"
    record.write_text(record.read_text(encoding="utf-8").replace("2026-11-01", "2026-10-01"), encoding="utf-8")
    assert [car.folder for car in look(yard).cars] == ["zz", "heron", "2026/drover", "2026/packhorse"]
    away = look(yard).at((Stand.METAL, Stand.SENT))
    assert [car.folder for car in away.cars] == ["2026/drover", "2026/packhorse"]


def test_broken_ones_are_told_whatever_is_looked_for(yard: Path) -> None:
    (yard / "heron" / "inspection.yaml").write_text("x: [", encoding="utf-8")
    for _ in range(2):
        found = look(yard, "quiroga")
        assert [car.folder for car in found.cars] == ["2026/drover"]
        assert [one.folder for one in found.broken] == ["heron"]
        assert found.at((Stand.CLOSED,)).broken == found.broken


def test_copies_of_one_inspection_are_named(yard: Path) -> None:
    store.change(yard / "heron", [store.Change(("id",), "q7w8e9r0")])
    assert look(yard).twice == ()
    shutil.copytree(yard / "heron", yard / "heron copy")
    assert look(yard).twice == (("heron", "heron copy"),)


def test_a_yard_has_to_be_a_folder_and_a_search_a_word(yard: Path, tmp_path: Path) -> None:
    with pytest.raises(FolderError, match="no folder"):
        look(tmp_path / "nowhere")
    with pytest.raises(FolderError, match="is a file"):
        look(yard / "heron" / "inspection.yaml")
    with pytest.raises(UsageError, match="no word"):
        look(yard, " -- ")


def test_how_far_it_is_is_told(yard: Path) -> None:
    steps: list[tuple[int, int]] = []
    look(yard, step=lambda done, total: steps.append((done, total)))
    assert steps == [(1, 3), (2, 3), (3, 3)]
