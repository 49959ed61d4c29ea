"""How the catalogue's data files are laid out, and how they are checked: every error names the file and the key."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, TypeVar

from pydantic import AfterValidator, BaseModel, Field, ValidationError, model_validator

from soundmetal.car.models import Construction, Frozen, Outline, Point, Role, Shape, Thickness, UsualProfile
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.record.terms import Check, Mounting, Structure

#: Gives a data file by its name below `data/`, as plain dicts and lists.
Reader = Callable[[str], Any]

SHARED = "car/zones.yaml"
BODIES = "car/bodies.yaml"
KINDS = ("car/zones/outside.yaml", "car/zones/inside.yaml", "car/zones/under.yaml")

#: Languages that every text of the catalogue must have.
LANGUAGES = ("en", "es")


def _in_all_languages(words: dict[str, str]) -> dict[str, str]:
    """Refuse a text that lacks one of the languages."""
    for language in LANGUAGES:
        if not words.get(language):
            raise ValueError(f'no text in language "{language}"')
    return words


Words = Annotated[dict[str, str], AfterValidator(_in_all_languages)]
Hours = Annotated[tuple[float, float, float], Field(description="low, likely, high")]
M = TypeVar("M", bound=BaseModel)


class Access(Frozen):
    """What comes off first to reach the zones of one group, and the hours that takes."""

    hours: Hours
    work: Words

    @model_validator(mode="after")
    def _hours_rise(self) -> Access:
        low, likely, high = self.hours
        if not 0 <= low <= likely <= high:
            raise ValueError("hours must rise from low to likely to high")
        return self


class Shared(Frozen):
    """What all zones share: words that change with the side, steels, access groups, sets of checks."""

    mirror: dict[str, dict[str, str]]
    steels: dict[str, Thickness]
    access: dict[str, Access]
    checks: dict[str, tuple[Check, ...]]


class Kind(Frozen):
    """One zone before it has a place on a body: the left one stands for both sides."""

    names: Words
    plain: Words
    role: Role
    construction: Construction
    shape: Shape
    steel: str
    size_mm: tuple[Annotated[float, Field(gt=0)], Annotated[float, Field(gt=0)]]
    edges: Annotated[int, Field(ge=0, le=4)]
    separable: bool = False
    visible: bool = False
    frame_part: bool = False
    mountings: tuple[Mounting, ...] = ()
    access: str
    checks: str
    profile: UsualProfile | None = None


class Placed(Frozen):
    """One zone's place on a sheet of the plan, as a box (x, y, x, y) or a polygon; `change` overrides its kind."""

    id: Annotated[str, Field(pattern=r"^[a-z_]+(\.[a-z0-9_]+)*$")]
    box: tuple[float, float, float, float] | None = None
    polygon: tuple[Point, ...] = ()
    label: Point | None = None
    strip: str = "body"
    change: dict[str, Any] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _has_one_shape(self) -> Placed:
        if (self.box is None) == (not self.polygon):
            raise ValueError("give a box or a polygon, and not both")
        return self

    @property
    def points(self) -> tuple[Point, ...]:
        """The shape's corners."""
        if self.box is None:
            return self.polygon
        x0, y0, x1, y1 = self.box
        return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


class Sheet(Frozen):
    """A part of a plan: its zones by the stages of a walk round the car, the left side only; the right mirrors it."""

    front: tuple[Placed, ...] = ()
    side: tuple[Placed, ...] = ()
    rear: tuple[Placed, ...] = ()
    inside: tuple[Placed, ...] = ()
    under: tuple[Placed, ...] = ()
    outlines: tuple[Outline, ...] = ()


class BodyEntry(Frozen):
    """A body: its names and, for each structure, the sheets that make up its plan."""

    names: Words
    sheets: dict[Structure, tuple[str, ...]]


def settings_error(file: str, key: str, what: str) -> SettingsError:
    """Say what is wrong in a data file, and at which key."""
    return SettingsError(what, place=Place(DATA / file, key=key), todo="Correct the catalogue or install again.")


def checked(model: type[M], raw: Any, file: str, key: str) -> M:
    """Validate what a file holds at `key`; SettingsError names the file and the innermost key."""
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = ".".join([key, *(str(part) for part in first["loc"])]).strip(".")
        raise settings_error(file, where, first["msg"]) from error


def mapping(raw: Any, file: str, key: str = "") -> dict[str, Any]:
    """Make sure that a file, or a key in it, holds named entries."""
    if not isinstance(raw, dict):
        raise settings_error(file, key, "must hold named entries")
    return raw


def shared(read: Reader = read_yaml) -> Shared:
    """Read what all zones share."""
    return checked(Shared, read(SHARED), SHARED, "")


def entries(read: Reader = read_yaml) -> dict[str, BodyEntry]:
    """Read the list of bodies, in its own order."""
    raw = mapping(read(BODIES), BODIES)
    return {name: checked(BodyEntry, entry, BODIES, name) for name, entry in raw.items()}


def sheet(name: str, read: Reader = read_yaml) -> Sheet:
    """Read one sheet of the plan, such as `pickup`."""
    file = sheet_file(name)
    return checked(Sheet, read(file), file, "")


def sheet_file(name: str) -> str:
    """Name of the data file that holds a sheet."""
    return f"car/plans/{name}.yaml"


def kinds(read: Reader = read_yaml) -> dict[str, tuple[str, dict[str, Any]]]:
    """Read all zone kinds, not yet checked: id -> (file, entry)."""
    found: dict[str, tuple[str, dict[str, Any]]] = {}
    for file in KINDS:
        for name, entry in mapping(read(file), file).items():
            if name in found:
                raise settings_error(file, name, f"this zone stands in {found[name][0]} as well")
            found[name] = file, mapping(entry, file, name)
    return found
