"""What every model of the record is built on: frozen, no unknown keys, blanks round the text dropped."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Text = Annotated[str, Field(max_length=4000)]
Name = Annotated[str, Field(max_length=200)]


class Written(BaseModel):
    """Base of all that people write: frozen, no unknown keys, blanks round the text dropped."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)
