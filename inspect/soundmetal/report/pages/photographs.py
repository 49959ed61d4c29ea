"""The photographs of one finding as they are set: a large one alone, two side by side, more in rows of two."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup, escape

from soundmetal.car.models import Zone
from soundmetal.photos.album import Photo
from soundmetal.photos.callouts import overlay_svg
from soundmetal.photos.scan import key
from soundmetal.record.models import CallOut, Finding, PhotoUse
from soundmetal.record.terms import TakenWhen
from soundmetal.report.contexts import MarkLine, PhotoView
from soundmetal.report.drawings.svg import FONT
from soundmetal.report.language import Language
from soundmetal.report.telling import Telling

#: The text column, the space between two photographs side by side, and the tallest that one may be, in mm.
COLUMN_MM = 112.0
GAP_MM = 3.0
MARGIN_MM = 46.0
COLUMN_OF_THREE_MM, TALLEST_COLUMN_MM = 53.0, 34.0
TALLEST_ALONE_MM = 50.0
#: Words stand beside a photograph alone, this far off, where they have this much room; else under it.
BESIDE_GAP_MM = 4.0
NARROWEST_WORDS_MM = 18.0
TALLEST_PAIR_MM = 46.0
TALLEST_MARGIN_MM = 30.0
#: A photograph of few pixels is set smaller rather than coarser than this (common practice in print).
LEAST_DPI = 200.0
MM_PER_IN = 25.4


@dataclass(frozen=True)
class _Slot:
    """A photograph with its place in the finding: where its numbers begin and how large it may be."""

    photo: Photo
    use: PhotoUse
    first_mark: int
    place: str

    @property
    def room_mm(self) -> tuple[float, float]:
        """The widest and tallest it may be."""
        if self.place == "alone":
            return COLUMN_MM, TALLEST_ALONE_MM
        if self.place == "column":
            return COLUMN_OF_THREE_MM, TALLEST_COLUMN_MM
        if self.place == "margin":
            return MARGIN_MM, TALLEST_MARGIN_MM
        return (COLUMN_MM - GAP_MM) / 2 - 0.05, TALLEST_PAIR_MM


def photographs(telling: Telling, finding: Finding, zone: Zone, *, in_margin: bool = False) -> tuple[PhotoView, ...]:
    """Give the photographs of a finding that can be shown; numbers of call-outs go on from one to the next."""
    shown = _shown(telling, finding)
    views, first = [], 1
    for position, (photo, use) in enumerate(shown):
        slot = _Slot(photo, use, first, "margin" if in_margin else _place(position, len(shown)))
        views.append(_view(telling.lang, slot, zone, position + 1))
        first += len(use.call_outs)
    return tuple(views)


def newest_photograph(telling: Telling, finding: Finding, zone: Zone) -> PhotoView | None:
    """Give the newest photograph of a finding, for the margin: of those from during the work, where there are any.

    By the camera's clock where every one of them has it; else the last that was written down.
    """
    shown = [(number, *one) for number, one in enumerate(_shown(telling, finding), 1)]
    shown = [one for one in shown if one[2].when is TakenWhen.DURING] or shown
    if not shown:
        return None
    times = [photo.facts.taken for _number, photo, _use in shown]
    known = [time for time in times if time is not None]
    at = times.index(max(known)) if len(known) == len(times) else -1
    number, photo, use = shown[at]
    return _view(telling.lang, _Slot(photo, use, 1, "margin"), zone, number)


def photographs_from(telling: Telling, finding: Finding, zone: Zone, when: TakenWhen) -> tuple[PhotoView, ...]:
    """Give the photographs of a finding from one time of the work, each with numbers of its own."""
    shown = [(number, *one) for number, one in enumerate(_shown(telling, finding), 1)]
    return tuple(
        _view(telling.lang, _Slot(photo, use, 1, "column"), zone, number)
        for number, photo, use in shown
        if use.when is when
    )


def _shown(telling: Telling, finding: Finding) -> list[tuple[Photo, PhotoUse]]:
    """The photographs of a finding that can be shown, in the order of the record."""
    by_name = telling.job.album.by_name
    return [(by_name[key(use.file)], use) for use in finding.photos if key(use.file) in by_name]


def _place(position: int, count: int) -> str:
    """An odd first photograph stands alone; the others pair up."""
    if count % 2 and position == 0:
        return "alone"
    return "first-in-row" if (position - count % 2) % 2 == 0 else "last-in-row"


def _view(lang: Language, slot: _Slot, zone: Zone, number: int) -> PhotoView:
    copy, marks = slot.photo.copy, slot.use.call_outs
    scale = min(slot.room_mm[0] / copy.width, slot.room_mm[1] / copy.height, MM_PER_IN / LEAST_DPI)
    wide, tall = copy.width * scale, copy.height * scale
    beside = COLUMN_MM - wide - BESIDE_GAP_MM
    lines = tuple(MarkLine(str(label), _words(lang, mark)) for label, mark in enumerate(marks, start=slot.first_mark))
    alternative = lang.text("Photograph {number} of this place: {zone}.", number=number, zone=lang.zone(zone.id))
    if slot.use.caption:
        alternative += " " + slot.use.caption
    return PhotoView(
        url=copy.path.resolve().as_uri(),
        alternative=alternative.unescape(),
        place=slot.place if slot.place != "alone" or beside >= NARROWEST_WORDS_MM else "wide",
        beside_mm=f"{wide + BESIDE_GAP_MM:.2f}",
        width_mm=f"{wide:.2f}",
        height_mm=f"{tall:.2f}",
        overlay=_overlay(lang, slot, lines, max(wide, tall)),
        caption=slot.use.caption,
        marks=tuple(line for line in lines if line.words),
    )


def _words(lang: Language, mark: CallOut) -> str:
    length = lang.look.length(mark.length) if mark.length else ""
    return ", ".join(part for part in (mark.text, length) if part)


def _overlay(lang: Language, slot: _Slot, lines: tuple[MarkLine, ...], longer_mm: float) -> Markup:
    """The call-outs over the photograph; their words stand under it, so the picture carries numbers only.

    Lines and figures are as large on every photograph, however long its longer side is set.
    """
    copy = slot.photo.copy
    svg = overlay_svg(
        slot.use.call_outs,
        copy.width,
        copy.height,
        slot.first_mark,
        text_of=lambda mark: "",
        pen=COLUMN_MM / longer_mm,
    )
    if not svg:
        return Markup()
    words = "; ".join(f"{line.label} {line.words}".strip() for line in lines)
    title = f"<title>{escape(lang.text('Call-outs on the photograph: {words}', words=words))}</title>"
    named = svg.replace(' aria-hidden="true"', f' font-family="{FONT}"', 1)
    return Markup(named.replace(">", f">{title}", 1))  # noqa: S704 - escaped there
