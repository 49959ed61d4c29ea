"""The shop's packet as HTML: holds and cautions first, what the price rests on, one job a page, the order of work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from soundmetal.paths import template_dir
from soundmetal.record.terms import Paper
from soundmetal.report.html import Pages, css_string
from soundmetal.report.language import Language
from soundmetal.report.shop_contexts import Packet
from soundmetal.report.shop_front import front
from soundmetal.report.shop_job import job_page
from soundmetal.report.shop_office import office
from soundmetal.report.shop_order import order, others, wall
from soundmetal.report.shop_sheets import sheets
from soundmetal.report.shop_telling import ShopTelling, shop_telling
from soundmetal.report.telling import car_name

if TYPE_CHECKING:
    from soundmetal.report.job import Job

STYLES = ("base.css", "shop/packet.css")
SCREEN = "shop/screen.css"
SHEETS = {Paper.LETTER: "letter", Paper.A4: "A4"}
#: The wall page is twice as large and lies on its side.
WALLS = {Paper.LETTER: "ledger landscape", Paper.A4: "A3 landscape"}


def shop_html(job: Job, language: str | None = None) -> str:
    """Set the shop's packet in a language (the record's own where none is named); pictures by file address.

    Render with `template_dir()` as the base, or take `html.embedded` for one file that holds everything.
    SettingsError for an unknown language, RenderError where a page cannot be made.
    """
    shop = shop_telling(job, language)
    pages = Pages(shop.lang)
    packet = Packet(
        lang=shop.lang.code,
        paper=job.inspection.paper.value,
        title=_title(shop),
        author=job.shop.shop.name,
        subject=str(shop.lang.text("Scope of metal work: what to cut, make, weld and protect").unescape()),
        created=job.inspection.date.isoformat(),
        css=_styles(*STYLES),
        screen_css=_styles(SCREEN),
        page_css=page_css(shop),
        front=pages.set("shop/front.html", front(shop)),
        office=pages.set("shop/office.html", office(shop)),
        jobs=tuple(pages.set("shop/job.html", job_page(shop, one)) for one in shop.jobs),
        sheets=pages.set("shop/sheets.html", sheets(shop)),
        others=pages.set("shop/others.html", others(shop)),
        order=pages.set("shop/order.html", order(shop)),
        wall=pages.set("shop/wall.html", wall(shop)),
    )
    return str(pages.set("shop/packet.html", packet))


def page_css(shop: ShopTelling) -> Markup:
    """The part of the style that depends on the reader: paper, running head, page numbers in the reader's words."""
    lang = shop.lang
    car = css_string(f"{car_name(shop.job.inspection.vehicle, lang)} · {shop.job.shop.shop.name}")
    size = f"size: {SHEETS[shop.job.inspection.paper]};"
    feet = f"@bottom-left {{ content: {car} }} @bottom-right {{ content: {_counted(lang)} }}"
    wall = f"@page wall {{ size: {WALLS[shop.job.inspection.paper]} }}"
    more = css_string(f" ({lang.translated('continued')})")
    heads = f"h2 {{ string-set: section content(), goes-on content() {more} }}"
    return Markup(f"@page {{ {size} {feet} }} {wall} {heads}")  # noqa: S704 - only quoted strings


def _counted(lang: Language) -> str:
    """Page numbers as a style sheet's content: the translated words with both counters in their places."""
    text = lang.translated("page {page} of {pages}").replace("{page}", "\0page\0").replace("{pages}", "\0pages\0")
    parts = (part for part in text.split("\0") if part)
    return " ".join(f"counter({part})" if part in ("page", "pages") else css_string(part) for part in parts)


def _styles(*names: str) -> Markup:
    text = "\n".join((template_dir() / name).read_text(encoding="utf-8") for name in names)
    return Markup(text)  # noqa: S704 - our own files


def _title(shop: ShopTelling) -> str:
    inspection = shop.job.inspection
    car = car_name(inspection.vehicle, shop.lang)
    return shop.lang.text("Shop scope, {car}, {day_date}", car=car, day_date=inspection.date).unescape()
