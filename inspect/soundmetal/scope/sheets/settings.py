"""The cutting table's settings: `data/cutting.yaml`, validated once, with what the shop book says laid over it."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.record.shopbook import ShopBook

FILE = "cutting.yaml"
Length = Annotated[float, Field(ge=0, le=200, allow_inf_nan=False)]
Positive = Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)]
Unit = Literal["mm", "inch"]


class _Data(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class LeastHole(_Data):
    """From which size on an opening is cut: the largest of three."""

    kerfs: Positive
    thicknesses: Positive
    mm: Length

    def least_mm(self, kerf_mm: float, thickness_mm: float) -> float:
        """Give the least opening [mm] for a kerf and a thickness [mm]."""
        return max(self.kerfs * kerf_mm, self.thicknesses * thickness_mm, self.mm)


class Layer(_Data):
    """A layer of the drawings: its name, as R2000 allows it, and its colour in the DXF colour index."""

    name: Annotated[str, Field(pattern=r"^[A-Za-z0-9_\-$]{1,31}$")]
    colour: Annotated[int, Field(ge=1, le=255)]


class Layers(_Data):
    """The layers."""

    cut: Layer
    inside: Layer
    bend: Layer
    bead: Layer
    mark: Layer
    text: Layer
    sheet: Layer

    def all(self) -> tuple[Layer, ...]:
        """Give them in the order of the file."""
        return self.cut, self.inside, self.bend, self.bead, self.mark, self.text, self.sheet

    @model_validator(mode="after")
    def _apart(self) -> Layers:
        if len({layer.name.casefold() for layer in self.all()}) < len(self.all()):
            raise ValueError("two layers have one name: a bend would be cut")
        return self


class Cutting(_Data):
    """All of `cutting.yaml`; lengths in mm."""

    kerf_mm: Annotated[float, Field(gt=0, le=10)]
    spacing_mm: Length
    edge_mm: Length
    compensate: bool
    drawing_unit: Unit
    keep_grain: tuple[Literal["flat", "single curve", "compound"], ...]
    least_hole: LeastHole
    offcut_mm: tuple[Positive, Positive]
    effort: Annotated[int, Field(ge=0, le=10_000_000)]
    starts: Annotated[int, Field(ge=1, le=50)]
    layers: Layers
    mark_mm: Positive
    text_mm: Positive

    @property
    def gap_mm(self) -> float:
        """Distance between two finished pieces: the steel left between the paths, and half a kerf on either side."""
        return self.spacing_mm + self.kerf_mm

    @property
    def border_mm(self) -> float:
        """Distance of a finished piece from the sheet's edge."""
        return self.edge_mm + self.kerf_mm / 2


@cache
def cutting() -> Cutting:
    """Read and check the file once. SettingsError names the key that is wrong.

    >>> cutting().gap_mm, cutting().least_hole.least_mm(1.5, 0.9)
    (6.5, 4.0)
    """
    try:
        return Cutting.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct the file.") from error


def cutting_of(shop: ShopBook) -> Cutting:
    """Give the settings of one shop: what its book says about its table, the defaults for the rest."""
    said = shop.cutting
    wishes = {
        "kerf_mm": said.kerf,
        "spacing_mm": said.spacing,
        "edge_mm": said.edge,
        "compensate": said.compensate,
        "drawing_unit": said.drawing_unit,
        "keep_grain": said.keep_grain,
    }
    return cutting().model_copy(update={key: value for key, value in wishes.items() if value is not None})
