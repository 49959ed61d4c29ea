"""The report's own sentences, read from `data/report.yaml` and validated once."""

from __future__ import annotations

from functools import cache

from pydantic import BaseModel, ConfigDict, ValidationError

from soundmetal.car.models import Role
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.record.terms import Aim, Basis, Corrosivity, Probe, RepairState, Seen
from soundmetal.repair.models import Method


class Section(BaseModel):
    """Base of the sections: frozen, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class AimWords(Section):
    """The name an owner reads for an aim, and what it means in one or two sentences."""

    name: str
    plain: str


class Extent(Section):
    """How large a place is."""

    size: str
    area: str
    edge: str


class ReadingWords(Section):
    """What the gauge said."""

    with_original: str
    without_original: str
    unproven: str


class Counted(Section):
    """A sentence for one and for many."""

    one: str
    many: str


class Beyond(Section):
    """What the report rests on beside the numbered rules, and where that comes from."""

    says: str
    rests_on: str


class Change(Section):
    """What could still change once the place is open."""

    nothing: str
    whole: str
    little: str
    grows: str
    inner: str
    referred: str
    unpriced: str


class Sentences(Section):
    """All sentences of the customer's report; each is English and is translated whole."""

    aims: dict[Aim, AimWords]
    basis: dict[Basis, str]
    methods: dict[Method, str]
    seen: dict[Seen, str]
    extent: Extent
    probe: dict[Probe, str]
    cracked: str
    readings: ReadingWords
    mounting: str
    mounting_at_it: str
    repair: dict[RepairState, str]
    over_hole: str
    matters: dict[Role, str]
    near_mounting: str
    earlier_stays: str
    would: dict[Method, str]
    no_work: str
    refer_also: str
    bought: str
    seam: str
    seam_and_plugs: Counted
    plugs: Counted
    gauge: str
    change: Change
    steps: tuple[str, ...]
    how: tuple[str, ...]
    owner_cautions: tuple[str, ...]
    waiting: str
    air: dict[Corrosivity, str]
    waiting_caution: str
    ranges: str
    taxed: str
    refused_too: str
    findings_intro: str
    by_gauge: Counted
    by_gauge_all: str
    by_gauge_none: str
    other_language: str
    days: str
    days_dated: str
    work: str
    certify: str
    unseen_not_sound: str
    trust: tuple[str, ...]
    rules_beyond: dict[str, Beyond]
    words: dict[str, str]


@cache
def sentences() -> Sentences:
    """Give the sentences. SettingsError names the key that is wrong in the data file."""
    try:
        return Sentences.model_validate(read_yaml("report.yaml"))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(
            f"{key}: {first['msg']}", place=Place(DATA / "report.yaml"), todo="Install again."
        ) from error
