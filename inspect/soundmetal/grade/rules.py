"""The grading rules of `data/rules.yaml`: validated once, then only read. No number of a rule lives in code."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal, Self

from pydantic import Field, ValidationError, model_validator

from soundmetal.car.models import Role
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.grade.models import SEVERITY, Level, Spread
from soundmetal.grade.when import Known, Share, When
from soundmetal.record.terms import Check, Gauge, Mounting, NotSeenWhy, Seen, Surface

Text = Annotated[str, Field(min_length=1)]
Points = Annotated[float, Field(ge=0, le=100)]
Thickness = Annotated[float, Field(ge=0, lt=100)]
RoleShares = dict[Role, Annotated[float, Field(gt=0, le=1)]]


class Rule(Known):
    """What every rule carries: its id, why it is so, and where that comes from."""

    id: Text
    reason: Text
    source_kind: Literal["published", "precedent", "common practice"]
    source: Text
    confidence: Literal["read", "second-hand", "from memory"]


class SeenShare(Known):
    """Metal left judged by eye: low, likely, high. `readings_beside`: readings there tell of the rim only."""

    share: tuple[Share, Share, Share]
    readings_beside: bool = False

    @property
    def spread(self) -> Spread:
        """The range as low, likely, high."""
        return Spread(*self.share)

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if list(self.share) != sorted(self.share):
            raise ValueError("write low, likely, high in that order")
        return self


class ByEye(Rule):
    """M1: metal left without a reading, and which end of the range is held against the limit."""

    seen: dict[Seen, SeenShare]
    past_limit: dict[Literal["measured", "judged by eye"], Literal["low", "likely", "high"]]


class Readings(Rule):
    """M2: readings that can show thin steel and never sound steel. Thicknesses in mm."""

    one_sided_methods: tuple[Gauge, ...]
    one_sided_surfaces: tuple[Surface, ...]
    thick_from_mm: Thickness
    thick_methods: tuple[Gauge, ...]
    thick_surfaces: tuple[Surface, ...]
    over_rust_reads_high_mm: Thickness


class Mill(Rule):
    """M3: what the mill's own tolerance makes unprovable, and what it makes impossible. Shares of the thickness."""

    provable_loss: Share
    too_thick: Share
    explained_by: tuple[str, ...]
    reference_off: Share


class Filler(Rule):
    """M4: the coating above which the steel was not seen, in um."""

    coating_over_um: Annotated[float, Field(gt=0)]


class Limits(Rule):
    """M5: the loss at which a part is spent, by its role."""

    loss: RoleShares


class Suspect(Rule):
    """M6: from which share of the limit a loss is suspect."""

    share_of_limit: Share


class NearRule(Rule):
    """M7: which mountings and roles the rule book's distance is about."""

    mountings: tuple[Mounting, ...]
    roles: tuple[Role, ...]
    carrying_roles: tuple[Role, ...]
    assumed_roles: tuple[Role, ...]


class Said(When):
    """One case of a level rule, with the sentence told when it holds."""

    says: Text


class LevelRule(Rule):
    """G1 to G9: a level and the cases in which it holds."""

    level: Level
    cases: Annotated[tuple[Said, ...], Field(min_length=1)]


class ZoneSays(Known):
    """A sentence for a zone without findings, and the rule it stands on."""

    rule: Text
    text: Text


class ZoneRules(Known):
    """When a zone without findings is sound."""

    sound_needs: tuple[Check, ...]
    closed_box_needs_one_of: tuple[Check, ...]
    says: dict[str, ZoneSays]

    @model_validator(mode="after")
    def _every_reason_has_words(self) -> Self:
        wanted = {"clear", "unchecked", "not looked", "inside", "filled", "photos", "noted"} | {
            w.value for w in NotSeenWhy
        }
        if missing := sorted(wanted - set(self.says)):
            raise ValueError(f"no sentence for: {', '.join(missing)}")
        return self


class LossScore(Rule):
    """S1: points for metal lost."""

    points: Points


class ShareScore(Rule):
    """S2: points for the rusted share, full from `full_share` on."""

    points: Points
    full_share: Annotated[float, Field(gt=0, le=1)]


class RoleScore(Rule):
    """S3: points for what the part does, and for a mounting that is near."""

    points: dict[Role, Points]
    near: Points


class Score(Known):
    """The parts of the score."""

    loss: LossScore
    share: ShareScore
    role: RoleScore


class UrgencyText(Known):
    """One urgency, as it is told."""

    id: Text
    text: Text


class Urgency(Known):
    """What to do by when. `follows` is by level (or "suspect") and role."""

    texts: tuple[UrgencyText, ...]
    follows: dict[Level | Literal["suspect"], dict[Role, str]]

    @property
    def by_id(self) -> dict[str, str]:
        """Sentences by id."""
        return {t.id: t.text for t in self.texts}


class Waiting(Rule):
    """W1: after which years the loss by waiting is told."""

    years: tuple[Annotated[float, Field(gt=0)], ...]


class Rules(Known):
    """All grading rules."""

    metal_left: ByEye
    readings: Readings
    mill: Mill
    filler: Filler
    limits: Limits
    suspect: Suspect
    nearness: NearRule
    levels: tuple[LevelRule, ...]
    zones: ZoneRules
    score: Score
    urgency: Urgency
    waiting: Waiting

    @property
    def by_id(self) -> dict[str, Rule]:
        """Every rule that has an id, in the order of the file."""
        single = (self.metal_left, self.readings, self.mill, self.filler, self.limits, self.suspect, self.nearness)
        scores = (self.score.loss, self.score.share, self.score.role)
        return {rule.id: rule for rule in (*single, *self.levels, *scores, self.waiting)}

    @model_validator(mode="after")
    def _is_complete(self) -> Self:
        _all_there("seen", set(Seen), set(self.metal_left.seen))
        _all_there("limits", set(Role), set(self.limits.loss))
        _all_there("role points", set(Role), set(self.score.role.points))
        _all_there("urgency", {*Level, "suspect"}, set(self.urgency.follows))
        for level, by_role in self.urgency.follows.items():
            _all_there(f"urgency, {level}", set(Role), set(by_role))
            _all_there("urgency texts", set(by_role.values()), set(self.urgency.by_id))
        levels = {rule.id for rule in self.levels}
        _all_there("levels", {name for r in self.levels for case in r.cases for name in case.rules}, levels)
        _all_there("levels", {says.rule for says in self.zones.says.values()}, levels)
        return self


def _all_there(where: str, wanted: set[str], given: set[str]) -> None:
    if missing := sorted(wanted - given):
        raise ValueError(f"{where}: missing {', '.join(missing)}")


def first_problem(error: ValidationError) -> tuple[str, str]:
    """Give the key and the words of the first thing wrong, for a message of one line."""
    first = error.errors()[0]
    return ".".join(str(part) for part in first["loc"]), first["msg"]


def read_rules(data: object) -> Rules:
    """Check grading rules that were read from a file. Raises SettingsError that names the key."""
    try:
        return Rules.model_validate(data)
    except ValidationError as error:
        key, words = first_problem(error)
        raise SettingsError(words, place=Place(DATA / "rules.yaml", key=key), todo="Correct the rules.") from error


@cache
def rules() -> Rules:
    """Give the grading rules, read and checked once. Raises SettingsError."""
    return read_rules(read_yaml("rules.yaml"))


def worst_first() -> tuple[LevelRule, ...]:
    """Give the level rules, the most severe level first, in the order of the file within one level."""
    return tuple(sorted(rules().levels, key=lambda rule: -SEVERITY[rule.level]))
