"""What the cut list says of every blank, in words: the packet's own notes, so that table and page tell the same."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from soundmetal.report.job import Job
from soundmetal.report.shop_blank_notes import blank_lines
from soundmetal.report.shop_pieces import piece_of
from soundmetal.report.shop_telling import ShopTelling, shop_telling
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.settings import cutting_of


def cut_notes(job: Job) -> dict[str, str]:
    """Give by blank, in the record's language: template first, allowances, lines to scribe, holes to drill, grain."""
    shop = shop_telling(job)
    return {made.id: " ".join(str(line.unescape()) for line in _lines(shop, made)) for made in job.scope.blanks}


def _lines(shop: ShopTelling, made: Blank) -> Iterator[Markup]:
    yield from (shop.lang.text(f"{part.rstrip('.')}.") for part in made.grain_note.split(". ") if part)
    yield from blank_lines(shop, piece_of(shop, made))
    if made.form in cutting_of(shop.job.shop).keep_grain:
        yield shop.lang.text("Keep the grain: its length lies along the sheet's length.")
