"""The commands about the owner: what is sent, and what comes back."""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from soundmetal.errors import UsageError
from soundmetal.options import HERE, Day, Folder, FolderFirst, Json, today
from soundmetal.record.terms import Aim, Reply
from soundmetal.terminal import Watch, print_json, say, table, warn

if TYPE_CHECKING:
    from soundmetal.answering import Taken

#: Enough that no two cars of a shop ever share one.
_ID_BYTES = 5


def send(
    folder: Folder = HERE,
    output: Annotated[Path | None, typer.Option(help="Where the PDF goes.", show_default="report.pdf there")] = None,
    date: Day = None,
    json: Json = False,
) -> None:
    """Write the report for the owner, with its form, and keep what was asked as a numbered state under states/.

    The same inspection sent again is the same state. When more was found since the owner answered, the report asks
    only about that; other answers stay.
    """
    from soundmetal import answering

    with Watch("Working it out and setting the pages", counted=False):
        sent = answering.send(folder, date or today(), secrets.token_hex(_ID_BYTES), output)
    if json:
        print_json(
            {"state": sent.state.number, "written": str(sent.pdf), "again": sent.again, "dropped": list(sent.dropped)}
        )
        return
    say(f"wrote {sent.pdf}")
    day = sent.state.mark.sent
    say(f"state {sent.state.number}, as sent on {day}" if sent.again else f"state {sent.state.number}, sent {day}")
    if sent.dropped:
        say(f"asked again, because more was found: {', '.join(sent.dropped)}")


def answers(
    folder: FolderFirst,
    form: Annotated[Path | None, typer.Argument(help="The PDF that the owner filled in and sent back.")] = None,
    yes: Annotated[list[str] | None, typer.Option("--yes", help="A finding that the owner said yes to.")] = None,
    no: Annotated[list[str] | None, typer.Option("--no", help="A finding that the owner said no to.")] = None,
    talk: Annotated[list[str] | None, typer.Option("--talk", help="A finding to talk about first.")] = None,
    aim: Annotated[Aim | None, typer.Option("--aim", help="How far the owner wants to go.")] = None,
    date: Day = None,
    json: Json = False,
) -> None:
    """Write down what the owner answered: from the filled form of the report, or as told by word of mouth.

    A form is checked first: it must be of this inspection and of what was sent last. Prices in it are never read. It
    is kept with its state, and the scope and the calendar follow. Take it back in the record with undo.
    """
    from soundmetal import answering

    told = _told(yes or [], no or [], talk or [])
    if form is not None and (told or aim):
        raise UsageError("a form and answers by word of mouth", todo="Give one after the other.")
    day = date or today()
    taken = answering.take_form(folder, form, day) if form else answering.take_words(folder, told, aim, day)
    if json:
        print_json(taken.as_dict())
        return
    _tell(taken)
    if form and not taken.signed:
        warn("nobody put a name to it: ask the owner who filled it in.")


def compare(
    folder: Folder = HERE,
    before: Annotated[
        str, typer.Argument(help="Number of a state.", show_default="the newest that was answered")
    ] = "",
    after: Annotated[str, typer.Argument(help="Number of a state, or now.")] = "now",
    history: Annotated[
        bool, typer.Option("--list", help="Only list the states, with their days and hashes.")
    ] = False,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write it as a PDF of a page or two as well.")
    ] = None,
    json: Json = False,
) -> None:
    """Show two states side by side: what the owner was asked then, what is so now, and what it adds."""
    from soundmetal import comparing, pipeline

    if history and output:
        raise UsageError("a list of states is no PDF", todo="Leave --output out, or --list.")
    if history:
        _history(folder, json=json)
        return
    target = pipeline.targets(folder, "compared", output, html=False)[0] if output else None
    with Watch("Working it out", counted=False):
        found = comparing.compare(folder, before, after)
        written = comparing.write_compared(folder, found, target) if target else None
    if json:
        print_json(found.as_dict() | ({"written": str(written)} if written else {}))
        return
    heads = ("finding", "zone", found.before.title, found.after.title, "change")
    table(heads, [(row.finding, row.zone, row.before, row.after, row.why) for row in found.rows])
    added = found.changes.added[found.aim]
    if written:
        say(f"wrote {written}")
    say(f"aim {found.aim.value}: {added.price[1]:+} {found.after.offer.currency}, {added.hours[1]:+.1f} hours")


def _history(folder: Path, *, json: bool) -> None:
    from soundmetal.folder.states import states

    found = states(folder)
    if json:
        print_json([state.mark.model_dump(mode="json") for state in found])
        return
    heads = ("state", "sent", "answered", "offer", "report")
    rows = [
        (
            str(state.number),
            str(state.mark.sent),
            ", ".join(str(one.date) for one in state.mark.returned),
            state.mark.offer[:12],
            state.mark.report[:12],
        )
        for state in found
    ]
    table(heads, rows) if rows else say("Nothing was sent yet.")


def _tell(taken: Taken) -> None:
    if taken.again:
        say("This form was taken already; nothing was changed.")
    for reply in Reply:
        if names := [name for name, one in taken.replies.items() if one is reply]:
            say(f"{reply.value}: {', '.join(names)}")
    if taken.aim:
        say(f"aim: {taken.aim.value}")
    for zone in taken.refused_safety:
        warn(f"refused, and it carries the car: {zone}. It stays unsafe, and what depends on it is held.")
    if taken.gone:
        warn(f"answered, but no finding any more: {', '.join(taken.gone)}")
    if taken.open:
        say(f"not answered yet: {', '.join(taken.open)}")


def _told(yes: list[str], no: list[str], talk: list[str]) -> dict[str, Reply]:
    said = [(name, Reply.YES) for name in yes] + [(name, Reply.NO) for name in no]
    said += [(name, Reply.TALK) for name in talk]
    told = dict(said)
    twice = next((name for name, reply in said if told[name] is not reply), None)
    if twice is not None:
        raise UsageError(f'"{twice}" is answered in two ways', todo="Say one.")
    return told
