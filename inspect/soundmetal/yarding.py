"""The commands about the yard: which cars are there, where each stands, and where one goes next."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from soundmetal.options import HERE, Day, FolderFirst, Json, end, today
from soundmetal.record.terms import Stage
from soundmetal.terminal import Watch, print_json, say, table, warn

if TYPE_CHECKING:
    from soundmetal.folder.yard.models import Car


class Where(StrEnum):
    """Where an inspection stands, as it is typed; the last four can be written down."""

    LOOKED = "looked"
    SENT = "sent"
    ANSWERED = "answered"
    METAL = "metal"
    AWAY = "away"
    BACK = "back"
    CLOSED = "closed"


class Next(StrEnum):
    """Where a car goes in the shop, as it is typed."""

    METAL = "metal"
    AWAY = "away"
    BACK = "back"
    CLOSED = "closed"


_HEADS = ("stands", "last event", "hours left", "answered", "waiting", "car", "owner", "folder")


def yard(
    folder: Annotated[
        Path, typer.Argument(help="The yard: a folder with inspections at any depth.", show_default="here")
    ] = HERE,
    find: Annotated[
        str | None,
        typer.Option("--find", help="Words that must all occur: car, owner, identification, notes, zones, findings."),
    ] = None,
    stage: Annotated[
        list[Where] | None, typer.Option("--stage", help="Only cars that stand there; say it again for another.")
    ] = None,
    json: Json = False,
) -> None:
    """List the inspections under a folder: where each stands, hours left, money answered and waiting.

    Looked at, sent, answered, at the metal, away (for coating or paint), back or closed; a later state that nobody
    has answered is told beside it. Sorted by where they stand, what has waited longest first. A word's beginning is
    enough to find it, accents and case do not count, zones are found by their name in any language. Inspections that
    cannot be read are named with their fault, whatever was asked for.
    """
    from soundmetal.folder.yard.look import look
    from soundmetal.folder.yard.models import Stand

    stands = [tuple(Stand)[tuple(Where).index(one)] for one in stage or ()]
    with Watch("Reading inspections") as watch:
        everything = look(folder, find, watch.step)
    found = everything.at(stands)
    if json:
        print_json(found.as_dict())
    elif found.cars:
        table(_HEADS, [_row(car) for car in found.cars])
        say(_sums(found.cars))
    else:
        say("No inspection is like that." if find or stands else "No inspection lies here.")
    for same in everything.twice:
        warn(f"the same inspection in several folders, so it counts more than once: {', '.join(same)}")
    for one in found.broken:
        warn(f"cannot be read: {one.folder}: {one.fault}")
    end(incomplete=bool(found.broken))


def progress(
    folder: FolderFirst,
    where: Annotated[
        Next,
        typer.Argument(help="metal (work began), away (for coating or paint), back, or closed.", metavar="WHERE"),
    ],
    date: Day = None,
    note: Annotated[str, typer.Option("--note", help="A word about it: who coats it, what is still missing.")] = "",
    again: Annotated[bool, typer.Option("--again", help="Open an inspection again that was closed.")] = False,
    json: Json = False,
) -> None:
    """Write down where the car stands in the shop from a day on. Take it back with undo.

    An order that cannot be is refused: a day before the last one, anything after closed unless it is opened again.
    """
    from soundmetal.folder.yard.stages import move

    moved = move(folder, Stage[where.name], date or today(), note, again=again)
    if json:
        print_json({**moved.entry.model_dump(mode="json"), "odd": list(moved.odd)})
    else:
        say(f"{moved.entry.stage.value} since {moved.entry.date}")
    for line in moved.odd:
        warn(f"written down all the same, but {line}")


def _row(car: Car) -> tuple[str, ...]:
    hours = "" if car.hours_left_h is None else f"{car.hours_left_h:.1f}"
    values = ["" if value is None else f"{value} {car.currency}" for value in (car.answered, car.waiting)]
    return (car.standing, car.date.isoformat(), hours, *values, car.car, car.owner, car.folder)


def _sums(cars: Sequence[Car]) -> str:
    """Add up what is listed, each currency by itself."""
    parts = [f"{len(cars)} inspection{'' if len(cars) == 1 else 's'}"]
    parts.append(f"{sum(car.hours_left_h or 0 for car in cars):.1f} hours left")
    for currency in sorted({car.currency for car in cars if car.answered is not None}):
        own = [car for car in cars if car.currency == currency]
        answered, waiting = sum(car.answered or 0 for car in own), sum(car.waiting or 0 for car in own)
        parts.append(f"{answered} {currency} answered, {waiting} {currency} waiting")
    return "; ".join(parts)
