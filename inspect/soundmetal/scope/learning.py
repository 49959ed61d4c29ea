"""What hours really spent teach: a factor for each operation of the shop book, before and after, with its reasons."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from soundmetal.calc.learning import log_shrunk_factor, log_weight
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.grade.models import Step
from soundmetal.record.shopbook import ShopBook
from soundmetal.scope.models import Operation, Scope

FILE = "learning.yaml"
SOURCE = "learning.yaml; credibility theory, from memory"
Deviation = Annotated[float, Field(gt=0, le=3)]
_LEARNED = (
    "{work_word}: {spent_h} spent where {expected_h} were expected, in {jobs_count} jobs; they weigh {weight_share} "
    "against the book, so its hours are multiplied by {factor}."
)
_ONE = (
    "{work_word}: {spent_h} spent where {expected_h} were expected, in one job; it weighs {weight_share} against the "
    "book, so its hours are multiplied by {factor}."
)
_STRANGE = (
    "{findings}, {work_word}: {spent_h} spent, but the scope has no such work there; nothing is learned from it."
)


class Settings(BaseModel):
    """All of `learning.yaml`."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    within_sd: Deviation
    prior_sd: Deviation
    least_change: Annotated[float, Field(ge=0, lt=1)]


@dataclass(frozen=True)
class Spent:
    """One operation done once: hours expected for it (growth and lean included) and hours really spent."""

    car: str
    operation: str
    kind: str
    expected_h: float
    spent_h: float


@dataclass(frozen=True)
class Learned:
    """One operation of the shop book after the jobs seen. `fixed_h` and `per_h` are the new figures."""

    kind: str
    jobs: tuple[Spent, ...]
    weight: float
    factor: float
    before: tuple[float, float]
    fixed_h: float
    per_h: float
    moved: bool
    text: Step


@cache
def settings() -> Settings:
    """Read and check the file once. SettingsError names the key that is wrong.

    >>> settings().prior_sd
    0.2
    """
    try:
        return Settings.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct the file.") from error


def spent_on(car: str, spent: Mapping[str, Mapping[str, float]], scope: Scope) -> tuple[list[Spent], list[Step]]:
    """Hold the hours of one car against its scope: jobs to learn from, and what belongs to no work of the scope.

    Hours are written by finding; findings that share an operation (one access, one seam) are added up.
    """
    found: dict[str, float] = {}
    strange: list[Step] = []
    operations = [operation for work in scope.panels for operation in work.operations]
    for finding, hours in spent.items():
        for kind, value in hours.items():
            operation = next((o for o in operations if o.kind == kind and finding in o.findings), None)
            if operation is None or operation.expected_h <= 0:
                values: dict[str, object] = {"findings": finding, "work_word": kind, "spent_h": value}
                strange.append(Step(_STRANGE, values, SOURCE))
            else:
                found[operation.id] = found.get(operation.id, 0.0) + value
    return [_spent(car, one, found[one.id]) for one in operations if one.id in found], strange


def learned(jobs: Iterable[Spent], shop: ShopBook) -> tuple[Learned, ...]:
    """Give what is learned for every operation that was done, in the order of the shop book."""
    by_kind: dict[str, list[Spent]] = {}
    for job in jobs:
        by_kind.setdefault(job.kind, []).append(job)
    return tuple(_learned(kind, by_kind[kind], shop) for kind in shop.operations if kind in by_kind)


def book_lines(found: Sequence[Learned]) -> tuple[str, ...]:
    """Give the new figures in the form of the shop book, for a person to look at and take over.

    >>> book_lines(())
    ('operations: {}',)
    """
    moved = [one for one in found if one.moved]
    if not moved:
        return ("operations: {}",)
    return ("operations:", *(f"  {one.kind}: {{{_figures(one)}}}  # jobs: {len(one.jobs)}" for one in moved))


def _figures(one: Learned) -> str:
    pairs = (("fixed_h", one.before[0], one.fixed_h), ("per_h", one.before[1], one.per_h))
    return ", ".join(f"{name}: {after:.4g}" for name, before, after in pairs if before)


def _spent(car: str, operation: Operation, hours: float) -> Spent:
    return Spent(car, operation.id, operation.kind, operation.expected_h, hours)


def _learned(kind: str, jobs: Sequence[Spent], shop: ShopBook) -> Learned:
    told, book = settings(), shop.operations[kind]
    ratios = [job.spent_h / job.expected_h for job in jobs]
    factor = log_shrunk_factor(ratios, told.within_sd, told.prior_sd)
    weight = log_weight(len(jobs), told.within_sd, told.prior_sd)
    values: dict[str, object] = {
        "work_word": book.name["en"],
        "spent_h": sum(job.spent_h for job in jobs),
        "expected_h": sum(job.expected_h for job in jobs),
        "weight_share": weight,
        "factor": f"{factor:.2f}",
    }
    text = (
        Step(_ONE, values, SOURCE) if len(jobs) == 1 else Step(_LEARNED, {**values, "jobs_count": len(jobs)}, SOURCE)
    )
    moved = abs(factor - 1) >= told.least_change
    before = (book.fixed_h, book.per_h)
    return Learned(kind, tuple(jobs), weight, factor, before, before[0] * factor, before[1] * factor, moved, text)
