"""What goes to the cutting table in words and pictures: the packet's own notes and drawings, which tell alike."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from soundmetal.report.drawings.blank import blank, scale_of
from soundmetal.report.job import Job
from soundmetal.report.shop_blank_notes import blank_lines, to_a_tenth
from soundmetal.report.shop_pieces import piece_of, view
from soundmetal.report.shop_telling import ShopTelling, shop_telling
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.settings import cutting_of


def cut_notes(job: Job) -> dict[str, str]:
    """Give by blank, in the record's language: template first, allowances, lines to scribe, holes to drill, grain."""
    shop = shop_telling(job)
    return {made.id: " ".join(str(line.unescape()) for line in _lines(shop, made)) for made in job.scope.blanks}


def cut_pictures(job: Job) -> dict[str, bytes]:
    """Give by blank its dimensioned drawing, flat and bent, as SVG that stands alone, numbered as in the packet."""
    shop = shop_telling(job)
    found = {}
    for one in shop.jobs:
        for name, _, made in one.pieces:
            if made is not None:
                piece = piece_of(shop, made)
                scale, seen = scale_of([piece.flat]), view(shop, one)
                drawn = blank(piece, shop.lang, to_a_tenth(shop), name=name, scale=scale, view=seen)
                found[made.id] = f"{drawn}\n".encode()
    return found


def _lines(shop: ShopTelling, made: Blank) -> Iterator[Markup]:
    yield from (shop.lang.text(f"{part.rstrip('.')}.") for part in made.grain_note.split(". ") if part)
    yield from blank_lines(shop, piece_of(shop, made))
    if made.form in cutting_of(shop.job.shop).keep_grain:
        yield shop.lang.text("Keep the grain: its length lies along the sheet's length.")
