"""What an owner was asked: the snapshot of one state, the only computed thing that is ever kept.

It holds what an answer can be held against later, finding by finding and panel by panel, for each aim. Its digest
names the state: a form that carries another digest was made for something else.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from soundmetal.record.models import FindingId, Identity
from soundmetal.record.terms import Aim, Basis
from soundmetal.record.written import Name, Written

Number = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Digest = Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


class Ends(Written):
    """A range of hours or days: P10, expected, P90."""

    low: Number
    likely: Number
    high: Number


class MoneyEnds(Written):
    """A range of prices in the offer's currency, tax as the owner sees it."""

    low: Decimal
    likely: Decimal
    high: Decimal


class OfferedFinding(Written):
    """One finding as the owner was told of it; `mark` changes when what was found there changes."""

    zone: Name
    level: Name
    safety: bool
    mark: Annotated[str, Field(pattern="^[0-9a-f]{16}$")]


class OfferedPanel(Written):
    """The work on one panel: findings on it are one job with one price."""

    findings: tuple[FindingId, ...]
    method: Name
    hours: Ends
    price: MoneyEnds


class OfferedAim(Written):
    """What one aim would take in all."""

    hours: Ends
    price: MoneyEnds
    days: Ends
    panels: dict[str, OfferedPanel]


class Offer(Written):
    """One state of an inspection as an owner is asked about it."""

    layout: Literal[1] = 1
    inspection: Identity
    date: dt.date
    basis: Basis
    aim: Aim
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")]
    findings: dict[FindingId, OfferedFinding]
    aims: dict[Aim, OfferedAim]

    @property
    def text(self) -> str:
        """The offer as JSON, the same for the same offer."""
        return json.dumps(self.model_dump(mode="json"), sort_keys=True, ensure_ascii=False, indent=1) + "\n"

    @property
    def digest(self) -> str:
        """SHA-256 of the offer's text."""
        return hashlib.sha256(self.text.encode()).hexdigest()

    @property
    def asked(self) -> tuple[FindingId, ...]:
        """Findings that the owner is asked about: those that some aim would do something for."""
        worked = {
            finding
            for aim in self.aims.values()
            for panel in aim.panels.values()
            if panel.method != "leave"
            for finding in panel.findings
        }
        return tuple(finding for finding in self.findings if finding in worked)

    def panel_of(self, finding: str, aim: Aim | None = None) -> str:
        """Name the panel of a finding under an aim (the offer's own where None); empty where nothing is done."""
        panels = self.aims[aim or self.aim].panels
        return next((name for name, panel in panels.items() if finding in panel.findings), "")
