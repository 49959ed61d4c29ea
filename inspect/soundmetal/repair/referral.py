"""When a place is no longer the shop's to decide: unsafe, a frame part that is spent, or the rule book says so."""

from __future__ import annotations

from soundmetal.car.models import Role, Zone
from soundmetal.grade.books import RuleBook
from soundmetal.grade.models import Graded, Level

_RUSTED = (Level.SURFACE, Level.THINNED, Level.SPENT, Level.UNSAFE)


def referral_rule(graded: Graded, zone: Zone, book: RuleBook) -> str:
    """Name the rule that sends a finding to a qualified structural repairer; empty when none does.

    Unsafe always does, a spent frame part always does (R9), and so does everything the rule book refers.
    """
    if graded.level is Level.UNSAFE:
        return graded.rule
    if graded.level not in _RUSTED:
        return ""
    if zone.frame_part and graded.level is Level.SPENT:
        return "R9"
    return _of_book(graded, zone, book)


def _of_book(graded: Graded, zone: Zone, book: RuleBook) -> str:
    """The rule book's own sentence that refers this finding, by its id."""
    named = [note.id for note in book.refer if note.id in graded.book_notes]
    if named:
        return named[0]
    structural = zone.frame_part or zone.role is Role.LOAD_BEARING
    return book.id if structural and book.refer_structural == "any corrosion" else ""
