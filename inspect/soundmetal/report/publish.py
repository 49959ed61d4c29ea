"""The papers of an inspection, written whole or not at all.

`report` and `closing` are for the customer, `scope` is for the shop. And, while the car was seen in photographs only,
the list of those that the owner is still asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from soundmetal.car.models import Body
from soundmetal.errors import UnknownName
from soundmetal.folder.atomic import write_bytes, write_text
from soundmetal.paths import template_dir
from soundmetal.photos.album import Album
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook
from soundmetal.report.carried import FILE, Carry, carried_bytes
from soundmetal.report.carried import carry_known as carry_known
from soundmetal.report.exchange import TABLE_HEAD as TABLE_HEAD
from soundmetal.report.exchange import scope_csv, scope_data
from soundmetal.report.html import customer_html, embedded
from soundmetal.report.job import Job
from soundmetal.report.language import language
from soundmetal.report.pdf import Inside, pdf_bytes
from soundmetal.report.shots import Retake, fitted, shots_text
from soundmetal.words import did_you_mean

if TYPE_CHECKING:
    from soundmetal.report.compared import Pair


def make_ready() -> None:
    """Load what sets the pages, a third of a second, while something else is waited for."""
    import weasyprint  # noqa: F401


def write_pdf_of(kind: str, job: Job, target: Path, carry: Carry = Carry.NEUTRAL) -> Path:
    """Write the PDF of one kind and give its path. UnknownName, RenderError or WriteError."""
    write_bytes(target, pdf_of(kind, job, carry))
    return target


def pdf_of(kind: str, job: Job, carry: Carry = Carry.NEUTRAL) -> bytes:
    """Make the PDF of one kind; the customer's carries the inspection as `carry` says. UnknownName or RenderError."""
    copies = [photo.copy.path for photo in job.album.photos]
    inside = _carried(job, carry) if kind == "report" else ()
    html = customer_html(job, carries=True) if inside else _html(kind, job)
    return pdf_bytes(html, allowed=(template_dir(), *copies), base=template_dir(), inside=inside)


def lacking(kind: str, job: Job) -> tuple[str, ...]:
    """Say what is missing for a paper of one kind, a line each, that is written all the same."""
    if kind != "closing":
        return ()
    from soundmetal.report import closing

    return closing.lacking(job)


def pdf_of_pair(job: Job, pair: Pair) -> bytes:
    """Make the PDF of two states side by side; the job gives the language, the paper and the shop. RenderError."""
    from soundmetal.report.compared import compared_html

    return pdf_bytes(compared_html(job, pair), allowed=(template_dir(),), base=template_dir())


def _carried(job: Job, carry: Carry) -> tuple[Inside, ...]:
    if carry is Carry.NOTHING:
        return ()
    record = job.inspection
    reader = language(record.language, record.units, record.currency)
    told = reader.translated("The inspection as data, for a program to read")
    return (Inside(FILE, told, carried_bytes(job, carry), record.date),)


def write_page_of(kind: str, job: Job, target: Path) -> Path:
    """Write one kind as a web page, a single file with pictures and fonts in it, and give its path."""
    write_text(target, embedded(_html(kind, job)))
    return target


def write_table_of(job: Job, target: Path) -> Path:
    """Write operations and blanks as CSV and give the path. WriteError."""
    write_text(target, scope_csv(job))
    return target


def data_of(job: Job) -> dict[str, Any]:
    """Give the whole scope as plain data for other programs."""
    return scope_data(job)


def write_shots(
    inspection: Inspection, body: Body, shop: ShopBook, pictures: Album, folder: Path, again: Sequence[Retake] = ()
) -> tuple[Path, Path]:
    """Write the owner's list of photographs still wanted, shots.pdf and shots.txt, and give their paths.

    `again` are places whose photographs show too little.
    """
    page, data = fitted(inspection, body, shop, pictures, again)
    pdf, text = folder / "shots.pdf", folder / "shots.txt"
    write_bytes(pdf, data)
    write_text(text, shots_text(page))
    return pdf, text


def _shop_html(job: Job) -> str:
    from soundmetal.report.shop import shop_html  # an owner's report need not wait for the shop's pages

    return shop_html(job)


def _closing_html(job: Job) -> str:
    from soundmetal.report.closing import closing_html

    return closing_html(job)


#: What can be written, and who sets it.
KINDS: Mapping[str, Callable[[Job], str]] = {
    "report": customer_html,
    "scope": _shop_html,
    "closing": _closing_html,
}


def _html(kind: str, job: Job) -> str:
    if kind not in KINDS:
        known = ", ".join(KINDS)
        raise UnknownName(f'there is no "{kind}" to write', todo=did_you_mean(kind, KINDS) or f"There are: {known}.")
    return KINDS[kind](job)
