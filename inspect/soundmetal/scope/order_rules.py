"""The order of work as it stands in `data/order.yaml`: stages, and what comes before what with its reason."""

from __future__ import annotations

from functools import cache, cached_property
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from soundmetal.calc.network import in_order
from soundmetal.car.models import Role
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError

FILE = "order.yaml"
CAR, PANEL, AWAY = "car", "panel", "away"
SAME, ALL = "same", "all"


class Known(BaseModel):
    """Base of the models of this file."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Stage(Known):
    """One stage of the work: for the car, for each panel, or away from the shop.

    `measured` are its words where four marks can be laid round the cut; see `marks`.
    """

    level: Literal["car", "panel", "away"]
    text: str
    measured: str = ""
    operations: dict[str, Annotated[float, Field(gt=0, le=1)]]
    source: str
    when: Literal["before metal", "after metal"] | None = None
    only_after: str = ""


class Rule(Known):
    """One precedence: `before` comes before `then`. With `within` both are steps inside that one stage."""

    id: str
    before: str
    then: str
    kind: Literal["hard", "soft"]
    why: str
    source: str
    confidence: Literal["read", "from memory"]
    of: Literal["same", "all", "bay", "side", "sides"] | None = None
    before_roles: tuple[Role, ...] = tuple(Role)
    then_roles: tuple[Role, ...] = tuple(Role)
    within: str = ""
    say: str = ""

    @model_validator(mode="after")
    def _is_whole(self) -> Rule:
        if bool(self.within) == bool(self.of):
            raise ValueError(f"rule {self.id} needs either `of` or `within`")
        if self.kind == "soft" and not self.say:
            raise ValueError(f"rule {self.id} is soft and has nothing to say")
        return self


class Order(Known):
    """All of `order.yaml`."""

    stages: dict[str, Stage]
    rules: tuple[Rule, ...]

    @model_validator(mode="after")
    def _known_and_without_a_circle(self) -> Order:
        named = [
            name for rule in self.rules for name in ((rule.within,) if rule.within else (rule.before, rule.then))
        ]
        named += [stage.only_after for stage in self.stages.values() if stage.only_after]
        for name in named:
            if name not in self.stages:
                raise ValueError(f'there is no stage "{name}"')
        after = {name: tuple(rule.before for rule in rules) for name, rules in self.waits.items()}
        in_order(dict.fromkeys(self.stages, 1.0), after)
        return self

    @cached_property
    def waits(self) -> dict[str, tuple[Rule, ...]]:
        """What every stage waits for, of its own panel or of all; rules between two panels stand in `between`."""
        own = [rule for rule in self.rules if rule.of in (SAME, ALL)]
        return {name: tuple(rule for rule in own if rule.then == name) for name in self.stages}

    @cached_property
    def between(self) -> tuple[Rule, ...]:
        """Rules between two panels: of one bay, of one side, or of the car's two sides."""
        return tuple(rule for rule in self.rules if rule.of not in (None, SAME, ALL))


@cache
def order_rules() -> Order:
    """Read and check the file once. SettingsError names the key that is wrong, or the stages that go in a circle.

    >>> list(order_rules().stages)[:4]
    ['record', 'support', 'make_safe', 'access']
    """
    return checked(read_yaml(FILE))


def checked(data: object) -> Order:
    """Check what was read. SettingsError as of `order_rules`."""
    try:
        return Order.model_validate(data)
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        text = first["msg"].removeprefix("Value error, ")
        raise SettingsError(text, place=Place(DATA / FILE, key=key), todo="Correct the file.") from error
