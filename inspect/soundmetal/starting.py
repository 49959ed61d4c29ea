"""How an inspection folder begins: `start` for a car that comes in, or from the PDF that its owner was sent."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from soundmetal.options import end
from soundmetal.terminal import Watch, say, warn

if TYPE_CHECKING:
    from soundmetal.car.models import Body


def start(
    folder: Annotated[Path, typer.Argument(help="The folder to make for this car.")],
    body: Annotated[str, typer.Option(help="pickup, sedan, coupe, wagon or convertible.")] = "",
    structure: Annotated[str, typer.Option(help="frame or unibody. Default: the first that the body comes on.")] = "",
    language: Annotated[str, typer.Option("--language", "-l", help="Language of the owner: en or es.")] = "en",
    from_pdf: Annotated[Path | None, typer.Option(help="A customer's report.pdf to make the folder from.")] = None,
) -> None:
    """Make a folder for one car: a record with comments that teach, listing every zone.

    With --from-pdf the folder is made again from the PDF that a customer was sent; what that could not give is said.
    """
    from soundmetal.errors import UsageError

    if from_pdf is not None:
        if body or structure:
            raise UsageError("the PDF knows body and structure", todo="Leave --body and --structure out.")
        _bring_back(folder, from_pdf)
    elif body:
        _begin(folder, body, structure, language)
    else:
        raise UsageError("no body is named", todo="Say --body pickup, sedan, coupe, wagon or convertible.")


def chosen_body(body: str, structure: str) -> Body:
    """Give a body of the catalogue, on its first structure unless one is said."""
    from soundmetal.car import catalogue

    first = next((kinds[0].value for name, kinds in catalogue.bodies() if name == body), "frame")
    return catalogue.body(body, structure or first)


def _begin(folder: Path, body: str, structure: str, language: str) -> None:
    from soundmetal.folder.start import start as make
    from soundmetal.pipeline import language_known

    wanted = chosen_body(body, structure)
    written = make(folder, wanted, dt.datetime.now().astimezone().date(), language_known(language))
    for path in written:
        say(f"wrote {path}")
    say(f"Now put photographs into {folder / 'photos'} and fill in {folder / 'inspection.yaml'}.")
    say(f"What is still missing tells: soundmetal check {folder}")


def _bring_back(folder: Path, pdf: Path) -> None:
    """Make the folder from a customer's PDF; exit code 20 where it now tells something else than the PDF."""
    from soundmetal.restoring import bring_back

    with Watch("Reading the PDF and working it out", counted=False):
        brought = bring_back(folder, pdf)
    copies = [path for path in brought.written if path.parent != folder]
    for path in brought.written:
        if path not in copies:
            say(f"wrote {path}")
    say(f"wrote {len(copies)} copies of photographs into {folder / 'photos'}")
    for line in brought.lost:
        warn(f"not brought back: {line}")
    for line in brought.differs:
        warn(f"not as in the PDF: {line}")
    end(incomplete=bool(brought.differs))
