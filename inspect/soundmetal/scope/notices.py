"""Cautions, holds and what is left undone: sentences of `data/cautions.yaml` that belong to the work at hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from soundmetal.car.models import Construction, Zone
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.grade.books import RuleBook
from soundmetal.grade.models import Grades, Level, Step
from soundmetal.record.models import Inspection
from soundmetal.record.terms import Aim, Mounting, RepairKind, Reply
from soundmetal.repair.models import Choice, Method
from soundmetal.repair.practice import practice

FILE = "cautions.yaml"
_FAMILIES_END = "."


class Known(BaseModel):
    """Base of the models of this file."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Caution(Known):
    """One caution; it applies when all words of one of its cases are true of the work."""

    id: str
    text: str
    when: tuple[tuple[str, ...], ...]
    source: str
    confidence: Literal["read", "second-hand", "from memory"]


class Hold(Known):
    """Why work waits: the sentence for the list, and the short one beside a task."""

    short: str
    text: str


class Notices(Known):
    """All of `cautions.yaml`."""

    cautions: tuple[Caution, ...]
    holds: dict[str, Hold]
    undone: dict[str, str]


@cache
def notices() -> Notices:
    """Read and check the file once. SettingsError names the key that is wrong.

    >>> notices().cautions[0].id
    'C1'
    """
    try:
        return Notices.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct the file.") from error


def cautions(choices: Sequence[Choice], zones: dict[str, Zone], book: RuleBook, *, zinc: bool) -> tuple[Step, ...]:
    """Give the cautions that the work asks for, then the rule book's own. The first: nothing is certified."""
    facts = {"always"} | ({"zinc"} if zinc else set())
    for choice in choices:
        facts |= set(_facts(choice, zones[choice.panel]))
    chosen = [c for c in notices().cautions if any(set(case) <= facts for case in c.when)]
    return (*(Step(c.text, {}, c.source) for c in chosen), *(note.step() for note in book.cautions))


def panel_holds(choices: Sequence[Choice], inspection: Inspection, safety: frozenset[str]) -> dict[str, str]:
    """Name what each panel waits for, by the owner's answers: a key of `holds`. What is left alone never waits.

    `safety` are the zones where the owner refused what touches safety.
    """
    worked = [choice for choice in choices if choice.taken.method is not Method.LEAVE]
    found = {choice.panel: _answer(choice, inspection, safety) for choice in worked}
    return {panel: key for panel, key in found.items() if key}


def short_holds(waiting: dict[str, str], referred: Sequence[str]) -> tuple[dict[str, str], dict[str, str]]:
    """Give the few words beside a task, by panel: of those that wait for an answer, and of those referred."""
    words = {key: hold.short for key, hold in notices().holds.items()}
    return {panel: words[key] for panel, key in waiting.items()}, dict.fromkeys(referred, words["referred"])


def hold_steps(waiting: dict[str, str], referred: Sequence[str], inspection: Inspection) -> tuple[Step, ...]:
    """Give the list of holds; one sentence stands for all panels as long as the owner has answered nothing."""
    if waiting and not inspection.answers:
        first = [Step(notices().holds["nothing_answered"].text, {}, FILE)]
    else:
        first = [Step(notices().holds[key].text, {"panel_zone": panel}, FILE) for panel, key in waiting.items()]
    then = [Step(notices().holds["referred"].text, {"panel_zone": panel}, FILE) for panel in referred]
    return (*first, *then)


def undone(choices: Sequence[Choice], grades: Grades, aim: Aim, *, painted: bool) -> tuple[Step, ...]:
    """Tell what the work of one aim does not do."""
    found = [step for choice in choices for step in _undone_of(choice, aim)]
    worked = any(choice.taken.geometry.blanks for choice in choices)
    if worked and not painted:
        found.append(_left("paint"))
    unseen = sum(zone.level is Level.NOT_SEEN for zone in grades.zones)
    if unseen:
        found.append(_left("unseen", unseen_count=unseen))
    return tuple(found)


def _left(key: str, **values: object) -> Step:
    return Step(notices().undone[key], values, FILE)


def _undone_of(choice: Choice, aim: Aim) -> Iterator[Step]:
    taken = choice.taken
    kept_thin = {g.finding.id for g in choice.graded if g.level is Level.THINNED}
    cut = {finding for opening in taken.geometry.cutouts for finding in opening.findings}
    if taken.method is Method.REFER:
        yield _left("referred", panel_zone=choice.panel)
    elif kept_thin - cut and taken.method is not Method.FULL_PANEL:
        yield _left("thinned", panel_zone=choice.panel)
    plain = practice().aims[aim].dress_visible == practice().aims[aim].dress_hidden
    if plain and taken.geometry.visible and taken.geometry.seam_mm:
        yield _left("seam", panel_zone=choice.panel)


def _answer(choice: Choice, inspection: Inspection, safety: frozenset[str]) -> str:
    replies = [inspection.answers[f].reply if f in inspection.answers else None for f in choice.taken.findings]
    if Reply.NO in replies:
        return "no_safety" if choice.panel in safety else "no"
    if Reply.TALK in replies:
        return "talk"
    return "unanswered" if None in replies else ""


def _facts(choice: Choice, zone: Zone) -> Iterator[str]:
    plan, method = choice.taken.geometry, choice.taken.method
    if method is Method.LEAVE:
        return
    yield from ("strip", f"family:{zone.id.split(_FAMILIES_END)[0]}", f"role:{zone.role.value}")
    if plan.blanks:
        yield from ("hot", "weld", "grind")
    if plan.braces:
        yield "brace"
    if plan.cavities:
        yield "wax"
    if zone.frame_part:
        yield "frame"
    if method is Method.REFER:
        yield "referred"
    if zone.construction is Construction.CLOSED_BOX:
        yield "box"
    yield from _found_facts(choice, zone)


def _found_facts(choice: Choice, zone: Zone) -> Iterator[str]:
    near: set[Mounting] = set(zone.mountings)
    near |= {g.finding.mounting.kind for g in choice.graded if g.finding.mounting}
    yield from (f"near:{kind.value}" for kind in near)
    if any(g.finding.repair and g.finding.repair.kind is RepairKind.FOAM for g in choice.graded):
        yield "foam"
