"""The owner's list of photographs that are still missing: one page to print and plain text for a message.

Which zones: those without a photograph that one could have. What carries comes first, whole families at a time, until
the page is full; the rest is counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.car.models import Body, Zone
from soundmetal.paths import template_dir
from soundmetal.photos.album import Album
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook, ShopContact
from soundmetal.record.terms import NotSeenWhy, Paper, Units
from soundmetal.report.html import Pages
from soundmetal.report.language import Language, language
from soundmetal.report.pdf import paged
from soundmetal.report.shot_book import ShotBook, shot_book
from soundmetal.report.telling import car_name
from soundmetal.steps import Step

STYLES = ("base.css", "customer/shots.css")
#: Sheet of paper: its name in a style sheet, and the side margins in mm.
SHEETS = {Paper.LETTER: ("letter", 20), Paper.A4: ("A4", 17)}


@dataclass(frozen=True)
class ShotGroup:
    """Places that are photographed alike: their names, then how."""

    places: tuple[str, ...]
    how: Markup


@dataclass(frozen=True)
class ShotSide:
    """One side of the car: its name and what is missing there."""

    name: Markup
    groups: tuple[ShotGroup, ...]


@dataclass(frozen=True)
class Retake:
    """A zone whose photographs all have a fault, and the advice for the next one."""

    zone_id: str
    advice: Step


@dataclass(frozen=True)
class ShotAgain:
    """A place to photograph once more: its name, and what to do better."""

    place: str
    how: Markup


@dataclass(frozen=True)
class ShotPage:
    """The whole page. `sides` stand beside each other, `across` under them; `rest` counts what can wait.

    `again` are places whose photographs show too little, under `again_head`. `title` names the car; `hello`, `ask`,
    `how` and `caution` open the letter, `thanks` and `shop` close it. `enough` stands alone where nothing is missing.
    The others are for the document's head.
    """

    lang: str
    paper: str
    title: str
    author: str
    created: str
    css: Markup
    page_css: Markup
    shop: str
    shop_lines: tuple[str, ...]
    hello: Markup
    ask: Markup
    how: tuple[Markup, ...]
    caution: Markup
    sides: tuple[ShotSide, ...]
    across: tuple[ShotSide, ...]
    again_head: Markup
    again: tuple[ShotAgain, ...]
    again_more: Markup
    rest: Markup
    enough: Markup
    thanks: Markup


def missing(inspection: Inspection, body: Body, pictures: Album) -> tuple[Zone, ...]:
    """Give the zones without a photograph, in the order of the walk; what cannot be seen at all is left out."""
    asked = {one.zone for one in inspection.not_seen if one.why is NotSeenWhy.NO_PHOTOGRAPH}
    shown = {photo.placed.zone for photo in pictures.photos}
    wanted = set(pictures.zones_without_photo) | (asked - shown)
    return tuple(zone for zone in body.zones if zone.id in wanted)


def first_ones(zones: Sequence[Zone], book: ShotBook, most_families: int | None = None) -> tuple[Zone, ...]:
    """Choose what comes on the page: families in the book's order, each whole or not at all, at most so many."""
    families: dict[str, list[Zone]] = {family: [] for family in book.order}
    for zone in zones:
        families.setdefault(family_of(zone), []).append(zone)
    chosen: list[Zone] = []
    taken = 0
    for family in families.values():
        if family and len(chosen) + len(family) <= book.most and taken != most_families:
            chosen += family
            taken += 1
    return tuple(chosen)


def family_of(zone: Zone) -> str:
    """Give the first part of a zone's id."""
    return zone.id.split(".", 1)[0]


def fitted(
    inspection: Inspection, body: Body, shop: ShopBook, pictures: Album, again: Sequence[Retake] = ()
) -> tuple[ShotPage, bytes]:
    """Make the page with as many families as fit on one sheet, and its PDF. SettingsError, RenderError, WriteError.

    How long the sentences are depends on the language and on what is missing: it is set, and set again with one
    family less where it runs over. Of the very first family nothing is left out.
    """
    families = len({family_of(zone) for zone in first_ones(missing(inspection, body, pictures), shot_book())})
    while True:
        page = shot_page(inspection, body, shop, pictures, families, again)
        data, pages = paged(shots_html(page), allowed=(template_dir(),), base=template_dir())
        if families <= 1 or pages == 1:
            return page, data
        families -= 1


def shot_page(
    inspection: Inspection,
    body: Body,
    shop: ShopBook,
    pictures: Album,
    most_families: int | None = None,
    again: Sequence[Retake] = (),
) -> ShotPage:
    """Make the page in the owner's language, of at most so many families. SettingsError where the data is wrong."""
    lang = language(inspection.language, inspection.units, inspection.currency)
    lang = lang.with_zones({zone.id: lang.own(zone.names) for zone in body.zones})
    book = shot_book()
    letter = book.letter
    zones = missing(inspection, body, pictures)
    chosen = first_ones(zones, book, most_families)
    owner, contact = inspection.owner.name, shop.shop
    waiting = len(zones) - len(chosen)
    worst = _worst_first(again, book)
    return ShotPage(
        lang=lang.code,
        paper=inspection.paper.value,
        title=lang.text(letter.title, car=car_name(inspection.vehicle, lang)).unescape(),
        author=contact.name,
        created=inspection.date.isoformat(),
        css=Markup("\n".join(_style(name) for name in STYLES)),  # noqa: S704 - our own files
        page_css=_page_css(inspection.paper),
        shop=contact.name,
        shop_lines=_lines(contact),
        hello=lang.text(letter.hello, owner=owner) if owner else lang.text(letter.hello_nobody),
        ask=lang.text(letter.ask) if chosen else Markup(),
        how=tuple(lang.text(line) for line in letter.how) if chosen else (),
        caution=lang.text(letter.caution) if chosen else Markup(),
        sides=_sides(lang, book, chosen, ("left", "right")),
        across=_sides(lang, book, chosen, ("middle",)),
        again_head=lang.text(letter.again),
        again=tuple(ShotAgain(lang.zone(one.zone_id), lang.sentence(one.advice)) for one in worst),
        again_more=lang.text(letter.again_more) if len(worst) < len(again) else Markup(),
        rest=lang.plural(letter.rest_one, letter.rest_many, waiting) if waiting else Markup(),
        enough=Markup() if zones or again else lang.text(letter.enough),
        thanks=lang.text(letter.thanks),
    )


def _lines(contact: ShopContact) -> tuple[str, ...]:
    return tuple(line for line in (contact.street, contact.town, contact.phone, contact.email) if line)


def _sides(lang: Language, book: ShotBook, zones: Iterable[Zone], names: Sequence[str]) -> tuple[ShotSide, ...]:
    """Give the sides that miss anything; how a family is photographed is told once."""
    found: list[ShotSide] = []
    told: set[str] = set()
    for side in names:
        families: dict[str, list[str]] = {}
        for zone in zones:
            if _side_of(zone) == side:
                families.setdefault(family_of(zone), []).append(lang.zone(zone.id))
        groups = tuple(
            ShotGroup(tuple(places), lang.text(book.letter.same) if family in told else _how(lang, book, family))
            for family, places in families.items()
        )
        told |= families.keys()
        if groups:
            found.append(ShotSide(lang.text(getattr(book.letter, side)), groups))
    return tuple(found)


def _worst_first(again: Sequence[Retake], book: ShotBook) -> tuple[Retake, ...]:
    """Choose what is asked for once more: families in the book's order, at most so many places."""
    place = {family: n for n, family in enumerate(book.order)}
    ordered = sorted(again, key=lambda one: place.get(one.zone_id.split(".", 1)[0], len(place)))
    return tuple(ordered[: book.most_again])


def _side_of(zone: Zone) -> str:
    return next((part for part in zone.id.split(".") if part in ("left", "right")), "middle")


def _how(lang: Language, book: ShotBook, family: str) -> Markup:
    shot = book.shots[family]
    said = (shot.view, book.distances[shot.distance], book.hints[shot.hint])
    return Markup(" ").join(lang.text(sentence) for sentence in said)


def shots_html(page: ShotPage) -> str:
    """Set the page as HTML; fonts by address, `template_dir()` is the base. RenderError where it cannot be set."""
    return str(Pages(language(page.lang, Units.METRIC, "USD")).set("customer/shots.html", page))


def shots_text(page: ShotPage) -> str:
    """Write the same list as plain text for a message."""
    lines = [page.title, "", _plain(page.hello), ""]
    lines += [_plain(text) for text in (page.ask, page.enough, *page.how, page.caution) if text]
    for side in (*page.sides, *page.across):
        lines += ["", f"{_plain(side.name)}:"]
        for group in side.groups:
            lines += [*(f"- {place}" for place in group.places), f"  {_plain(group.how)}"]
    if page.again:
        lines += ["", f"{_plain(page.again_head)}:"]
        lines += [f"- {one.place}: {_plain(one.how)}" for one in page.again]
        lines += [_plain(page.again_more)] if page.again_more else []
    lines += ["", *([_plain(page.rest), ""] if page.rest else []), _plain(page.thanks), page.shop, *page.shop_lines]
    return "\n".join(lines).rstrip() + "\n"


def _plain(text: Markup) -> str:
    return str(text.unescape())


def _style(name: str) -> str:
    return (template_dir() / name).read_text(encoding="utf-8")


def _page_css(paper: Paper) -> Markup:
    size, side = SHEETS[paper]
    return Markup(f"@page {{ size: {size}; margin: 14mm {side}mm 12mm }}")  # noqa: S704 - figures and our own words
