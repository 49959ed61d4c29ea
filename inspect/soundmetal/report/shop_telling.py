"""One telling of a job to the people at the bench: jobs numbered in the order of work, what each waits for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING, Literal

from markupsafe import Markup
from pydantic import BaseModel, ConfigDict, ValidationError

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.record.terms import Reply
from soundmetal.repair.models import Cutout, Method
from soundmetal.report.language import Language
from soundmetal.report.shop_sizes import Sizes
from soundmetal.report.telling import Telling, telling
from soundmetal.scope.models import Blank, PanelWork

if TYPE_CHECKING:
    from soundmetal.report.job import Job

FILE = "shop_packet.yaml"
When = Literal[
    "always", "cut", "blank", "seam", "plugs", "brace", "cavity", "treat", "grows", "inner", "held", "bought"
]


class Reminder(BaseModel):
    """One line that belongs on a job's page when the job has what `when` names."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: str
    when: When
    text: str
    source: str
    confidence: Literal["read", "second-hand", "from memory"]


class _File(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    reminders: tuple[Reminder, ...]
    terms: dict[str, tuple[str, ...]]
    lying_flat: tuple[str, ...]


def reminders() -> tuple[Reminder, ...]:
    """Give all reminders."""
    return _packet().reminders


def terms() -> tuple[str, ...]:
    """Give the single words that the packet shows, such as units, sides and drivers: what a translation must have."""
    return tuple(word for group in _packet().terms.values() for word in group)


def lying_flat() -> tuple[str, ...]:
    """Give the families of zones that lie flat, so that they are drawn from above."""
    return _packet().lying_flat


@cache
def _packet() -> _File:
    """Read and check the data file once. SettingsError names the key that is wrong in the data file."""
    try:
        return _File.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Install again.") from error


@dataclass(frozen=True)
class Numbered:
    """One job with its number in the packet."""

    number: int
    work: PanelWork

    @property
    def anchor(self) -> str:
        """The place in the packet that links go to."""
        return f"job-{self.number}"

    @property
    def method(self) -> Method:
        """The method taken."""
        return self.work.choice.taken.method

    @property
    def findings(self) -> tuple[str, ...]:
        """The findings that the job puts right."""
        return self.work.choice.taken.findings

    @property
    def finding_list(self) -> str:
        """The findings' ids in one line."""
        return ", ".join(self.findings)

    @property
    def small(self) -> bool:
        """Whether nothing is cut out, made or welded, so that the job needs no page of its own."""
        return not (self.pieces or self.work.blanks or self.work.seams)

    @property
    def pieces(self) -> tuple[tuple[str, Cutout, Blank | None], ...]:
        """Every opening with its number and the blank that fills it; None where nothing is made."""
        blanks = self.work.blanks
        cuts = self.work.choice.taken.geometry.cutouts
        return tuple(
            (f"{self.number}.{place + 1}", cut, blanks[place] if place < len(blanks) else None)
            for place, cut in enumerate(cuts)
        )


@dataclass(frozen=True)
class ShopTelling:
    """A job, its telling, and the sizes in both units."""

    told: Telling
    sizes: Sizes

    @property
    def job(self) -> Job:
        """The inspection worked out."""
        return self.told.job

    @property
    def lang(self) -> Language:
        """The reader's language."""
        return self.told.lang

    def both(self, mm: float) -> tuple[str, str]:
        """Give a length in the reader's unit and in the other one."""
        return self.sizes.main(mm), self.sizes.other(mm)

    @cached_property
    def jobs(self) -> tuple[Numbered, ...]:
        """All jobs but those that leave things alone, in the order of work."""
        starts: dict[str, float] = {}
        for task in self.job.scope.order:
            starts[task.panel] = min(task.start_h, starts.get(task.panel, task.start_h))
        works = [work for work in self.job.scope.panels if work.choice.taken.method is not Method.LEAVE]
        ordered = sorted(works, key=lambda work: starts.get(work.panel, float("inf")))
        return tuple(Numbered(number, work) for number, work in enumerate(ordered, start=1))

    @cached_property
    def by_panel(self) -> dict[str, Numbered]:
        """Jobs by their panel."""
        return {job.work.panel: job for job in self.jobs}

    def panel_name(self, panel: str) -> str:
        """The panel's trade name as a heading."""
        return self.told.zone_name(panel)

    def method_word(self, method: Method) -> str:
        """The method in the shop's word."""
        return self.lang.word(method.value, "method")

    def steel(self, thickness_mm: float, gauge: int | None) -> str:
        """Name a sheet: thickness in both units, and its gauge."""
        size = self.sizes.thickness(thickness_mm)
        return f"{gauge} {self.lang.word('ga', 'unit')}, {size}" if gauge else size

    def replies(self, job: Numbered) -> set[Reply | None]:
        """Give the owner's answers for a job's findings, as the record has them; None where there is none yet."""
        answers = self.job.inspection.answers
        return {answers[f].reply if f in answers else None for f in job.findings}

    def waits(self, job: Numbered) -> str:
        """Name in a word or two the weightiest thing a job waits for; empty where nothing."""
        replies = self.replies(job)
        if job.method is Method.REFER:
            return self.lang.translated("structural repairer")
        if Reply.NO in replies:
            return self.lang.translated("owner said no")
        if Reply.TALK in replies:
            return self.lang.translated("owner wants to talk")
        return self.lang.translated("no answer yet") if None in replies else ""

    def stops(self, job: Numbered) -> bool:
        """Say whether a job waits for more than an answer that is still to come."""
        return job.method is Method.REFER or bool(self.replies(job) & {Reply.NO, Reply.TALK})

    def held(self, job: Numbered) -> tuple[Markup, ...]:
        """Say what a job waits for: a qualified repairer, then the owner's answers, as the record has them today."""
        said = []
        if job.method is Method.REFER:
            said.append(
                self.lang.text("A qualified structural repairer decides here. Cut and weld nothing before that.")
            )
        answers = self.job.inspection.answers
        texts = {
            None: "The owner has not answered yet: {findings}.",
            Reply.NO: "The owner has said no: {findings}. Do not begin.",
            Reply.TALK: "The owner wants to talk first: {findings}.",
        }
        for reply, text in texts.items():
            ids = [f for f in job.findings if (answers[f].reply if f in answers else None) is reply]
            if ids:
                said.append(self.lang.text(text, findings=", ".join(ids)))
        return tuple(said)


def shop_telling(job: Job, code: str | None = None) -> ShopTelling:
    """Make the shop's telling of a job in a language; the record's own where none is named."""
    told = telling(job, code)
    return ShopTelling(told, Sizes(told.lang))
