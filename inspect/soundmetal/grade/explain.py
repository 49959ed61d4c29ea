"""How a level came about, sentence by sentence, and what a rule says: for the command `explain` and for the pages."""

from __future__ import annotations

from soundmetal.errors import UnknownName
from soundmetal.grade.books import RuleBook
from soundmetal.grade.models import Graded, Level, Step
from soundmetal.grade.rules import LevelRule, rules
from soundmetal.words import did_you_mean

_LOSS = "{points} of {most_count} points: {loss_share} of the metal is gone, and this part may lose {limit_share}."
_SHARE = "{points} of {most_count} points: {rusted_pct} of the part has rusted."
_ROLE = "{points} of {most_count} points: what the part does for the car."
_NEAR = "{points} of {most_count} points: a mounting is near."


def _score_steps(graded: Graded) -> tuple[Step, ...]:
    """The score's parts, each with its numbers, and their sum."""
    if graded.level is Level.SOUND:
        return (Step("What is sound has no score.", {}, "G9"),)
    weight = rules().score
    told: dict[str, tuple[str, float, dict[str, object]]] = {
        weight.loss.id: (_LOSS, weight.loss.points, {"loss_share": graded.loss, "limit_share": graded.limit}),
        weight.share.id: (_SHARE, weight.share.points, {"rusted_pct": graded.area.percent if graded.area else 0.0}),
        weight.role.id: (_NEAR if graded.near_mounting else _ROLE, weight.role.near, {}),
    }
    steps = []
    for part in graded.parts:
        text, most, values = told[part.rule]
        steps.append(Step(text, {"points": f"{part.points:.1f}", "most_count": round(most), **values}, part.rule))
    total = Step("Score {points} of 100, only to rank findings.", {"points": f"{graded.score:.1f}"}, "")
    return (*steps, total)


def explain_finding(graded: Graded, book: RuleBook | None = None) -> tuple[Step, ...]:
    """Tell how one finding's level, urgency and score came about, with the numbers put in.

    With the rule book its own sentences for this finding follow.
    """
    head = Step(
        "This place is {level_word}, by rule {rule}.", {"level_word": graded.level.value, "rule": graded.rule}, ""
    )
    notes = tuple(book.note(note_id).step() for note_id in graded.book_notes) if book else ()
    return (head, *graded.why, *_score_steps(graded), Step(graded.urgency, {}, graded.rule), *notes)


def _rule_steps(rule_id: str) -> tuple[Step, ...]:
    rule = rules().by_id[rule_id]
    steps = [Step(rule.reason, {}, rule.id)]
    if isinstance(rule, LevelRule):
        steps.append(Step("It makes a place {level_word}.", {"level_word": rule.level.value}, rule.id))
    values: dict[str, object] = {"kind": rule.source_kind, "source": rule.source, "confidence": rule.confidence}
    return (*steps, Step("Source ({kind}, {confidence}): {source}", values, rule.id))


def explain_rule(rule_id: str, book: RuleBook | None = None) -> tuple[Step, ...]:
    """Tell what a rule says, why, and where it comes from; with a rule book its sentences can be asked for as well.

    Raises UnknownName with the nearest right id.

    >>> [step.source for step in explain_rule("G4")]
    ['G4', 'G4', 'G4']
    """
    if rule_id in rules().by_id:
        return _rule_steps(rule_id)
    if book and rule_id in book.by_id:
        note = book.note(rule_id)
        values: dict[str, object] = {"source": note.source, "confidence": note.confidence}
        return (note.step(), Step("Source ({confidence}): {source}", values, note.id))
    known = (*rules().by_id, *(book.by_id if book else ()))
    hint = did_you_mean(rule_id, known) or f"There are: {', '.join(rules().by_id)}."
    raise UnknownName(f'there is no rule "{rule_id}"', todo=hint)
