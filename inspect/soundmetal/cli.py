"""The command line: what each command takes, does and prints. How a command ends is told in `running.py`."""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from soundmetal import __version__, letters, photographing, starting, yarding
from soundmetal.errors import UsageError
from soundmetal.examples import examples
from soundmetal.options import HERE, Folder, Json, end, named, tell_refused
from soundmetal.running import run
from soundmetal.terminal import Watch, grouped, prepare, print_json, say, table, warn

if TYPE_CHECKING:
    from pydantic import BaseModel


app = typer.Typer(
    name="soundmetal",
    no_args_is_help=True,
    rich_markup_mode="markdown",
    pretty_exceptions_enable=False,
    add_completion=False,
    help="From photographs and a checklist to a graded rust inspection, a customer's PDF and a shop scope.\n\n"
    "Begin: `soundmetal start cars/drover --body pickup`, fill in `inspection.yaml`, put photographs into `photos`, "
    "then `soundmetal check`, `report` and `scope`.",
    epilog="Exit codes: 0 done; 20 done, but something is missing and was named; not done: 2 usage, 3 folder, "
    "4 record, 5 photograph, 6 settings, 7 writing, 8 rendering, 9 unknown name, 10 changed meanwhile, "
    "11 answer, 130 stopped, 1 else.",
)

Language = Annotated[
    str, typer.Option("--language", "-l", help="Language of the page: en or es. Default: the record's.")
]
UnitsOption = Annotated[str, typer.Option("--units", help="us or metric. Default: the record's.")]
Html = Annotated[bool, typer.Option("--html", help="Write a web page (one file) as well as the PDF.")]
Output = Annotated[Path | None, typer.Option("--output", "-o", help="Where to write the PDF.")]
Csv = Annotated[Path | None, typer.Option("--csv", help="File for operations and blanks as CSV.")]
Cut = Annotated[Path | None, typer.Option("--cut", help="Folder for DXF drawings, nested sheets and the cut list.")]

Closing = Annotated[
    bool,
    typer.Option(
        "--closing", help="Write closing.pdf instead, for the owner to keep: what was done, what stays, the history."
    ),
]
Carried = Annotated[
    str,
    typer.Option(
        "--carry",
        help="What the PDF carries of the inspection as data: neutral (what the pages tell), whole (all that is "
        "written, names and comments too: for the shop itself), nothing.",
    ),
]


@dataclass(frozen=True)
class _Asked:
    """What a command that writes pages was asked for."""

    folder: Path
    output: Path | None
    html: bool
    language: str
    units: str
    json: bool
    cut: Path | None = None
    csv: Path | None = None
    carry: str = "neutral"


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"soundmetal {__version__}")
        raise typer.Exit


@app.callback()
def _common(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and end.")
    ] = False,
) -> None:
    del version


app.command(epilog=examples("start"))(starting.start)
app.command(epilog=examples("add"))(photographing.add)
app.command(epilog=examples("check"))(photographing.check)
app.command(epilog=examples("place"))(photographing.place)


@app.command(epilog=examples("report"))
def report(
    folder: Folder = HERE,
    output: Output = None,
    html: Html = False,
    language: Language = "",
    units: UnitsOption = "",
    carry: Carried = "neutral",
    closing: Closing = False,
    json: Json = False,
) -> None:
    """Write the customer's PDF: report.pdf in the inspection folder.

    It carries the inspection as data, so that `start --from-pdf` can make the folder again. Once the owner has
    answered, a report of more that was found opens with what changed. A closing report carries no data.
    """
    if closing and carry != "neutral":
        raise UsageError("a closing report carries nothing", todo="Leave --carry out.")
    _pages("closing" if closing else "report", _Asked(folder, output, html, language, units, json, carry=carry))


@app.command(epilog=examples("scope"))
def scope(
    folder: Folder = HERE,
    output: Output = None,
    html: Html = False,
    language: Language = "",
    units: UnitsOption = "",
    cut: Cut = None,
    csv: Csv = None,
    json: Json = False,
) -> None:
    """Write the shop's scope: scope.pdf with operations, hours, seams, blanks, order and cautions.

    With --json the whole scope is printed as well, for other programs.
    """
    _pages("scope", _Asked(folder, output, html, language, units, json, cut, csv))


app.command(epilog=examples("send"))(letters.send)
app.command(epilog=examples("answers"))(letters.answers)
app.command(epilog=examples("compare"))(letters.compare)
app.command(epilog=examples("yard"))(yarding.yard)
app.command(epilog=examples("progress"))(yarding.progress)


@app.command(epilog=examples("zones"))
def zones(
    body: Annotated[str, typer.Argument(help="pickup, sedan, coupe, wagon or convertible; empty lists them.")] = "",
    structure: Annotated[str, typer.Option(help="frame or unibody.")] = "",
    language: Annotated[str, typer.Option("--language", "-l", help="en or es.")] = "en",
    json: Json = False,
) -> None:
    """List the zones of a body: id, trade name, what it does, steel, checks to make."""
    from soundmetal.car import catalogue
    from soundmetal.pipeline import language_known

    language_known(language)
    if not body:
        rows = [(name, " ".join(kind.value for kind in kinds)) for name, kinds in catalogue.bodies()]
        if json:
            print_json({name: kinds.split() for name, kinds in rows})
        else:
            table(("body", "on"), rows)
        return
    wanted = starting.chosen_body(body, structure)
    if json:
        print_json([zone.model_dump(mode="json") for zone in wanted.zones])
        return
    heads = ("zone", "name", "role", "construction", "mm", "checks")
    table(heads, [zone.as_row(language) for zone in wanted.zones])


@app.command(epilog=examples("explain"))
def explain(
    name: Annotated[
        str, typer.Argument(help="A finding's id, a rule's id (G1, R1 ...), a rule book, shop, price or learning.")
    ],
    folder: Folder = HERE,
    language: Annotated[str, typer.Option("--language", "-l", help="en or es.")] = "",
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="With learning: write the new figures to this file.")
    ] = None,
    json: Json = False,
) -> None:
    """Explain a rule, or how the level, the method, the hours and the price of a finding came about.

    `price` tells what drives the range of the whole price. `learning` tells what hours really spent (`spent` in the
    record) teach, of one inspection or of every one in a folder, and the shop book's figures before and after.
    """
    from soundmetal.explaining import explain as explained

    sections = explained(name, folder, language, output)
    if json:
        print_json([section.as_dict() for section in sections])
    else:
        grouped((section.title, line) for section in sections for line in section.lines or ("",))


@app.command(epilog=examples("schema"))
def schema(
    what: Annotated[str, typer.Argument(help="record (inspection.yaml) or shop (shop.yaml).")] = "record",
) -> None:
    """Print the JSON Schema of a file that people write, for an editor that completes and checks while typing."""
    from soundmetal.errors import UnknownName
    from soundmetal.record.models import Inspection
    from soundmetal.record.shopbook import ShopBook
    from soundmetal.words import did_you_mean

    models: dict[str, type[BaseModel]] = {"record": Inspection, "shop": ShopBook}
    if what not in models:
        raise UnknownName(f'no schema "{what}"', todo=did_you_mean(what, models) or "There are: record, shop.")
    print_json(models[what].model_json_schema(by_alias=True))


@app.command(epilog=examples("undo"))
def undo(folder: Folder = HERE) -> None:
    """Take back the last change that a command made to inspection.yaml. What an editor saved is not kept."""
    from soundmetal.folder import store

    stored = store.undo(folder)
    say(f"{stored.path.name} is back at version {stored.inspection.version}.")


def _pages(kind: str, asked: _Asked) -> None:
    """Work out the inspection and write its pages; the PDFs and pages lie in the inspection folder by default."""
    from soundmetal import cutting, pipeline
    from soundmetal.report import publish

    named(asked.output, asked.cut, asked.csv)
    target, page = pipeline.targets(asked.folder, kind, asked.output, html=asked.html)
    pipeline.reader_known(asked.language, asked.units)
    carry = publish.carry_known(asked.carry)
    cutting.cut_folder_known(asked.cut)
    if asked.csv:
        pipeline.replaceable(asked.csv, publish.TABLE_HEAD)
    loaded = pipeline.load(asked.folder)
    with Watch("Reading photographs") as watch:
        pictures = pipeline.album_of(loaded, watch.step)
    with Watch("Working it out and setting the pages", counted=False):
        worked = pipeline.work_out(loaded, pictures, publish.make_ready, heed=kind != "report")
        job = pipeline.for_reader(worked, language=asked.language, units=asked.units)
        cut = cutting.for_cutting(job, asked.cut)
        written = [publish.write_pdf_of(kind, job, target, carry)]
        if page:
            written.append(publish.write_page_of(kind, job, page))
        written += cut.write()
        written += [publish.write_table_of(job, asked.csv)] if asked.csv else []
    lacking = publish.lacking(kind, job)
    if asked.json:
        refused = [{"photograph": r.name, "why": r.why, "todo": r.todo} for r in pictures.refused]
        told: dict[str, object] = {"written": [str(path) for path in written], "refused": refused}
        told |= ({"no_sheet": cut.no_sheet} if asked.cut else {}) | ({"lacking": lacking} if lacking else {})
        print_json(told | ({"scope": publish.data_of(job)} if kind == "scope" else {}))
    else:
        for path in written:
            say(f"wrote {path}")
    tell_refused(pictures.refused)
    for line in (*lacking, *(f"on no sheet: {line}" for line in cut.no_sheet)):
        warn(line)
    end(incomplete=bool(pictures.refused or cut.no_sheet or lacking))


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line (that of the process where `arguments` is None) and end with its exit code."""
    alone = arguments is None
    if (
        alone
    ):  # a process of our own ends before looking for unreachable circles pays; a giant one still gets its look
        gc.set_threshold(1_000_000, 20, 20)
    prepare()
    code = run(app, arguments)
    if alone:
        gc.freeze()  # nor is it worth it on the way out
    sys.exit(code)
