"""Urgency: what to do by when, from level and role."""

from __future__ import annotations

from soundmetal.car.models import Role
from soundmetal.grade.models import Level
from soundmetal.grade.rules import rules


def urgency(level: Level, role: Role, suspect: bool) -> str:
    """Give the sentence that says by when (a translatable English sentence)."""
    told = rules().urgency
    by_role = told.follows["suspect"] if suspect else told.follows[level]
    return told.by_id[by_role[role]]


def urgency_rank(text: str) -> int:
    """Rank of an urgency's sentence, 0 the most urgent, in the order of the data."""
    return [one.text for one in rules().urgency.texts].index(text)
