"""Photographs on a job's page: small, with large numbered call-outs, the words beside them."""

from __future__ import annotations

from markupsafe import Markup, escape

from soundmetal.photos.album import Photo
from soundmetal.photos.callouts import overlay_svg
from soundmetal.photos.scan import key
from soundmetal.record.models import CallOut, PhotoUse
from soundmetal.report.shop_contexts import ShopPhoto
from soundmetal.report.shop_telling import Numbered, ShopTelling

#: Room for one photograph, in mm; how many stand on a page.
ROOM_MM = (46.0, 28.0)
MOST = 2
#: The same room where several jobs share a page, or one fills it.
SMALL_ROOM_MM = (36.0, 21.0)
#: How long a photograph's longer side would be, in mm, if its call-outs were drawn as usual: figures of 2 mm. A very
#: small photograph gets smaller ones, so that they do not hide the rust.
LONG_SIDE_MM, LARGEST_PEN = 100.0, 4.0
#: The words under a photograph are never set narrower than this, in mm.
NARROWEST_MM = 30.0


def shop_photos(shop: ShopTelling, job: Numbered, room_mm: tuple[float, float] = ROOM_MM) -> tuple[ShopPhoto, ...]:
    """Give a job's first photographs, in the room for each: every finding's first before any finding's second."""
    by_name, by_id = shop.job.album.by_name, shop.job.grades.by_id
    per_finding = [
        [(finding, use) for use in by_id[finding].finding.photos if key(use.file) in by_name]
        for finding in job.findings
        if finding in by_id
    ]
    deepest = max((len(uses) for uses in per_finding), default=0)
    in_turn = [uses[depth] for depth in range(deepest) for uses in per_finding if depth < len(uses)]
    return tuple(_photo(shop, finding, use, by_name[key(use.file)], room_mm) for finding, use in in_turn[:MOST])


def _photo(shop: ShopTelling, finding: str, use: PhotoUse, photo: Photo, room_mm: tuple[float, float]) -> ShopPhoto:
    copy, lang = photo.copy, shop.lang
    scale = min(room_mm[0] / copy.width, room_mm[1] / copy.height)
    marks = tuple(
        f"{n} {_words(shop, mark)}".strip() for n, mark in enumerate(use.call_outs, start=1) if _words(shop, mark)
    )
    alternative = lang.text("Photograph of {finding}.", finding=finding)
    return ShopPhoto(
        url=copy.path.resolve().as_uri(),
        alternative=(alternative + (f" {use.caption}" if use.caption else "")).unescape(),
        width_mm=f"{copy.width * scale:.2f}",
        height_mm=f"{copy.height * scale:.2f}",
        room_mm=f"{max(copy.width * scale, NARROWEST_MM):.2f}",
        overlay=_overlay(
            shop, use, photo, marks, min(LARGEST_PEN, LONG_SIDE_MM / (scale * max(copy.width, copy.height)))
        ),
        reference=finding,
        caption=use.caption,
        marks=marks,
    )


def _words(shop: ShopTelling, mark: CallOut) -> str:
    return ", ".join(part for part in (mark.text, shop.sizes.main(mark.length) if mark.length else "") if part)


def _overlay(shop: ShopTelling, use: PhotoUse, photo: Photo, marks: tuple[str, ...], pen: float) -> Markup:
    """The call-outs as vectors over the photograph; their words stand under it."""
    svg = overlay_svg(use.call_outs, photo.copy.width, photo.copy.height, text_of=lambda _: "", pen=pen)
    if not svg:
        return Markup()
    title = escape(shop.lang.text("Call-outs on the photograph: {words}", words="; ".join(marks)))
    # The text of a call-out is escaped where it is drawn, the title just above.
    return Markup(svg.replace(' aria-hidden="true"', "", 1).replace(">", f"><title>{title}</title>", 1))  # noqa: S704
