"""The customer's report as HTML: one text for the PDF writer, or one file with everything in it for a phone."""

from __future__ import annotations

import base64
import re
from collections.abc import Sequence
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit
from urllib.request import url2pathname

from jinja2 import Environment, FileSystemLoader, StrictUndefined, TemplateError
from markupsafe import Markup

from soundmetal.errors import RenderError
from soundmetal.paths import template_dir
from soundmetal.record.terms import Paper
from soundmetal.report.contexts import Whole
from soundmetal.report.language import Language
from soundmetal.report.pages.changed import as_before, changed
from soundmetal.report.pages.course import course
from soundmetal.report.pages.findings import finding_pages, introduction
from soundmetal.report.pages.practice import practice, shop_lines
from soundmetal.report.pages.rest import rest
from soundmetal.report.pages.short import short
from soundmetal.report.telling import Telling, car_name, telling

if TYPE_CHECKING:
    from soundmetal.report.job import Job

#: Sheet of paper: its name in a style sheet, and the side margins in mm that leave a measure of 170 mm on either.
SHEETS = {Paper.LETTER: ("letter", 22.9), Paper.A4: ("A4", 20.0)}
STYLES = ("base.css", "customer/report.css")
#: What an amendment, a comparison and a closing report need besides.
STYLES_AFTER = (*STYLES, "customer/changed.css")
SCREEN = "customer/screen.css"
SCREENS_AFTER = (SCREEN, "customer/changed_screen.css")
#: Told on a screen only, where ticking a box would send nothing.
ANSWERING = (
    "The boxes on this page are only for reading. To answer, tick them in the PDF that came with it, "
    "or simply tell us."
)
_KINDS = {".jpg": "image/jpeg", ".png": "image/png", ".woff2": "font/woff2"}
_SOURCE = re.compile(r'(?<=src=")file:[^"]+(?=")')
_STYLE_URL = re.compile(r'url\("?(fonts/[^")]+)"?\)')
_RADIO, _INPUT = re.compile(r'<input type="radio"[^>]*>'), re.compile(r"<input\b[^>]*>")
#: How a button of the form is shown on a page that nothing can be sent from.
_BOX = '<span class="box"></span>'


def customer_html(job: Job, language: str | None = None, *, carries: bool = False) -> str:
    """Set the customer's report in a language (the record's own where none is named); pictures by file address.

    Fonts and pictures are named by address: render with `template_dir()` as the base, or take `embedded` for one text
    that holds everything. `carries` where the file will hold the inspection as data, so that it says so.
    SettingsError for an unknown language, RenderError where a page cannot be made.
    """
    told = telling(job, language)
    pages = Pages(told.lang)
    whole = Whole(
        lang=told.lang.code,
        paper=job.inspection.paper.value,
        title=_title(told),
        author=job.shop.shop.name,
        subject=str(told.lang.text("Rust inspection with repair methods, hours and price").unescape()),
        created=job.inspection.date.isoformat(),
        css=styles(STYLES if job.amended is None else STYLES_AFTER),
        screen_css=styles((SCREEN,) if job.amended is None else SCREENS_AFTER),
        page_css=page_css(told, job.inspection.paper),
        shop=job.shop.shop.name,
        shop_lines=shop_lines(told),
        changed=pages.where("customer/changed.html", changed(told)),
        short=pages.set("customer/short.html", short(told)),
        findings=tuple(pages.set("customer/finding.html", page) for page in finding_pages(told)),
        findings_intro=introduction(told),
        as_before=pages.where("customer/as_before.html", as_before(told)),
        rest=pages.set("customer/rest.html", rest(told)),
        course=pages.set("customer/course.html", course(told)),
        practice=pages.set("customer/practice.html", practice(told, carries=carries)),
        answering=told.lang.text(ANSWERING),
    )
    return str(pages.set("customer/report.html", whole))


def embedded(html: str) -> str:
    """Make a document one file for a screen: pictures and fonts in it, its form's buttons as printed boxes.

    >>> embedded('<span class="tick"><input type="radio" name="sm-1" value="yes">yes</span>')
    '<span class="tick"><span class="box"></span>yes</span>'
    """
    html = _INPUT.sub("", _RADIO.sub(_BOX, html))
    html = _SOURCE.sub(lambda match: _data_url(Path(url2pathname(unquote(urlsplit(match[0]).path)))), html)
    return _STYLE_URL.sub(lambda match: f'url("{_data_url(_small(template_dir() / match[1]))}")', html)


def _small(font: Path) -> Path:
    """Give a font's compressed twin: half the size for a browser. The PDF takes the other, which opens faster."""
    return font.with_suffix(".woff2")


def _data_url(path: Path) -> str:
    try:
        data = base64.b64encode(path.read_bytes()).decode("ascii")
    except OSError as error:
        raise RenderError(f'cannot read "{path.name}": {error.strerror}', todo="Make the report again.") from error
    return f"data:{_KINDS[path.suffix]};base64,{data}"


class Pages:
    """The templates in one language."""

    def __init__(self, lang: Language) -> None:
        """Open the templates; `_` and `ngettext`-like help speak the reader's language."""
        self.environment = Environment(
            loader=FileSystemLoader(template_dir()),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
        )
        self.environment.globals["_"] = lang.text

    def set(self, template: str, context: Any) -> Markup:
        """Set one page: the template sees the fields of its context and nothing else."""
        values = {field.name: getattr(context, field.name) for field in fields(context)}
        try:
            return Markup(self.environment.get_template(template).render(values))  # noqa: S704 - autoescaped
        except TemplateError as error:
            raise RenderError(
                f"cannot set {template}: {error}", todo="Report this; it is not your mistake."
            ) from error

    def where(self, template: str, context: Any) -> Markup:
        """Set one page, or nothing where there is no context for it."""
        return Markup() if context is None else self.set(template, context)


def styles(names: Sequence[str]) -> Markup:
    """Join style sheets into one."""
    return Markup("\n".join(style(name) for name in names))  # noqa: S704 - our own files


@cache
def style(name: str) -> str:
    """Give a style sheet by its path among the templates."""
    return (template_dir() / name).read_text(encoding="utf-8")


def page_css(told: Telling, paper: Paper) -> Markup:
    """The part of the style that differs: sheet and margins, and the words of running heads and page numbers."""
    parts = re.split(r"\{(page|pages)\}", told.lang.translated("page {page} of {pages}"))
    counted = " ".join(f"counter({p})" if p in ("page", "pages") else css_string(p) for p in parts if p)
    size, side = SHEETS[paper]
    shop, car = css_string(told.job.shop.shop.name), css_string(car_name(told.job.inspection.vehicle, told.lang))
    return Markup(  # noqa: S704 - only quoted strings
        f"@page {{ size: {size}; margin: 20mm {side}mm 18mm; "
        f"@top-left {{ content: {car} }} @top-right {{ content: string(section) }} "
        f"@bottom-left {{ content: {shop} }} @bottom-right {{ content: {counted} }} }}\n"
        "@page :first { margin-top: 14mm; @top-left { content: none } @top-right { content: none } }"
    )


def css_string(text: str) -> str:
    r"""Quote text for a style sheet; anything but plain letters and figures is written by its code.

    >>> css_string('Ana "A" <b>')
    '"Ana \\22 A\\22  \\3c b\\3e "'
    """
    safe = "".join(c if c.isalnum() or c in " .,-" else f"\\{ord(c):x} " for c in text if c.isprintable())
    return f'"{safe}"'


def _title(told: Telling) -> str:
    car = car_name(told.job.inspection.vehicle, told.lang)
    words = told.lang.text("Rust inspection, {car}, {day_date}", car=car, day_date=told.job.inspection.date)
    return words.unescape()
