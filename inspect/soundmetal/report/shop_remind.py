"""What stands at the foot of a job: reminders that its work calls for, and what the rule book wants of the joint."""

from __future__ import annotations

from collections import Counter

from markupsafe import Markup

from soundmetal.car.models import Role
from soundmetal.repair.models import Method
from soundmetal.report.shop_telling import Numbered, ShopTelling, reminders

#: From so many jobs on, a sentence of the rule book is told once at the front (chosen, no source).
MANY = 3


def reminded(shop: ShopTelling, job: Numbered) -> tuple[Markup, ...]:
    """Give the reminders of a job, each with its source's standing."""
    has, work = _has(job), job.work
    values = {"times": shop.lang.look.number(work.growth.high, 1), "chance_share": work.inner_chance}
    return tuple(shop.lang.text(one.text, **values) for one in reminders() if one.when in has)


def _has(job: Numbered) -> set[str]:
    work, plan = job.work, job.work.choice.taken.geometry
    said = {
        "cut": plan.cut_mm > 0 or bool(plan.cutouts),
        "blank": bool(work.blanks),
        "seam": any(not seam.plugs for seam in work.seams),
        "plugs": any(seam.plugs for seam in work.seams),
        "brace": plan.braces > 0,
        "cavity": plan.cavities > 0,
        "treat": job.method is Method.TREAT,
        "grows": bool(plan.cutouts) and work.growth.high > 1.0,
        "inner": bool(plan.cutouts) and work.inner_chance >= 0.005,
        "bought": work.choice.taken.bought,
    }
    return {name for name, holds in said.items() if holds}


def book_lines(shop: ShopTelling, job: Numbered) -> tuple[Markup, ...]:
    """Give the rule book's sentences for the findings of a job with their ids, and how structure is to be joined."""
    lang, book = shop.lang, shop.job.book
    lines = [_note(shop, note) for note in _notes(shop, job) if note not in common_notes(shop)]
    structure = shop.told.zone(job.work.panel).role is Role.LOAD_BEARING
    if structure and job.work.seams and book.patch_seam == "continuous":
        text = "This part carries load: weld the seam without a gap along every edge ({book})."
        lines.insert(0, lang.text(text, book=lang.own(book.names)))
    return tuple(lines)


def common_lines(shop: ShopTelling) -> tuple[Markup, ...]:
    """Give the rule book's sentences that belong to many jobs: they are told once, at the front."""
    return tuple(_note(shop, note) for note in common_notes(shop))


def common_notes(shop: ShopTelling) -> tuple[str, ...]:
    """Name the rule book's sentences that belong to `MANY` jobs or more, in the order in which they come up."""
    counted = Counter(note for job in shop.jobs for note in _notes(shop, job))
    return tuple(note for note, count in counted.items() if count >= MANY)


def _notes(shop: ShopTelling, job: Numbered) -> tuple[str, ...]:
    by_id = shop.job.grades.by_id
    notes = (note for finding in job.findings if finding in by_id for note in by_id[finding].book_notes)
    return tuple(dict.fromkeys(notes))


def _note(shop: ShopTelling, note: str) -> Markup:
    return shop.lang.text("{words} (rule {id})", words=shop.lang.text(shop.job.book.note(note).text), id=note)
