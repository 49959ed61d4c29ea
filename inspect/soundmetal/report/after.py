"""What is told after the first answer, read from `data/after.yaml` and validated once."""

from __future__ import annotations

from functools import cache
from typing import Literal

from pydantic import ValidationError

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.record.terms import TakenWhen
from soundmetal.repair.models import Method
from soundmetal.report.sentences import Counted, Section

FILE = "after.yaml"


class WhyWords(Section):
    """Why an owner is asked again."""

    new: str
    worse: str
    better: str
    known: str
    larger: str
    method: str
    dearer: str


class AskedWords(Section):
    """What is asked in an amendment, and that the rest stands."""

    only: str
    and_open: str
    nothing: str


class StaysWords(Section):
    """Why a place is as it was."""

    no: str
    no_undated: str
    talk: str
    open: str


class Look(Section):
    """What to look at and when; `wanted` says by which car: one worked on, one where rust stays, any."""

    id: str
    when: str
    what: str
    wanted: Literal["worked", "any", "stays", "unseen"]


class After(Section):
    """All sentences of the amendment and of the closing report."""

    why: WhyWords
    changed: Counted
    gone: Counted
    asked: AskedWords
    kept: str
    rest: str
    aim: str
    done: dict[Method, str]
    not_in_aim: str
    stays: StaysWords
    stays_safety: str
    no_photograph: dict[TakenWhen, str]
    as_agreed: str
    keep: str
    look: tuple[Look, ...]


@cache
def after() -> After:
    """Give the sentences. SettingsError names the key that is wrong in the data file.

    >>> after().why.worse
    'It is worse than we told you.'
    """
    try:
        return After.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(f"{key}: {first['msg']}", place=Place(DATA / FILE), todo="Install again.") from error
