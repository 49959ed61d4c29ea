"""The commands about photographs: take them in, say what is missing, put them where they belong."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from soundmetal.options import HERE, Folder, FolderFirst, Json, end, tell_refused
from soundmetal.terminal import Watch, grouped, print_json, say, warn


def add(
    folder: FolderFirst,
    sources: Annotated[list[Path], typer.Argument(help="Photographs, folders of them, ZIPs, saved mails (.eml).")],
    zone: Annotated[str, typer.Option(help="Write down that all of them show this zone.")] = "",
    from_owner: Annotated[
        bool, typer.Option("--from-owner", help="The owner sent them: the car is judged by photographs alone.")
    ] = False,
    json: Json = False,
) -> None:
    """Take photographs into the inspection; what is there already is left alone, originals are never touched.

    Each is kept once, byte for byte, in photos/arrived, where arrivals.csv says what came, when, and out of what.
    A folder's own name is kept, as it may say which zone its photographs show. What cannot be used is named.
    """
    from soundmetal import pipeline, placing

    sender = placing.OWNER if from_owner else ""
    now = dt.datetime.now().astimezone()
    with Watch("Taking photographs in") as watch:
        done = pipeline.take_photographs(folder, sources, zone, watch.step, arrived=now, sender=sender)
    if json:
        print_json(done.as_dict())
    else:
        say(_counted(len(done.added), len(done.already)))
    if from_owner and done.names and (changed := placing.seen_in_photographs(folder)):
        warn(changed)
    tell_refused(done.refused)
    nothing = not done.names and not done.refused
    if nothing:
        where = ", ".join(map(str, sources))
        warn(
            f"no photograph was found in {where}. Name a file, or a folder with JPEG, PNG, TIFF, WebP or HEIC files."
        )
    end(incomplete=nothing or bool(done.refused))


def check(
    folder: Folder = HERE,
    shots: Annotated[
        bool, typer.Option("--shots", help="Write the owner's list of missing photographs: shots.pdf and shots.txt.")
    ] = False,
    rust: Annotated[
        bool, typer.Option("--rust", help="Suggest rusted shares from the outlines on photographs; you decide.")
    ] = False,
    language: Annotated[
        str, typer.Option("--language", "-l", help="Language of the advice on photographs: en or es.")
    ] = "en",
    json: Json = False,
) -> None:
    """Say what is missing or contradicts itself, and what to do about it. Exit code 20 if anything is.

    What is only worth knowing (a zone without a photograph, a place judged by eye) is told as well and costs nothing.
    """
    from soundmetal import pipeline
    from soundmetal.photo_review import retakes
    from soundmetal.review import folded, review

    pipeline.reader_known(language)
    loaded = pipeline.load(folder)
    with Watch("Reading photographs") as watch:
        pictures = pipeline.album_of(loaded, watch.step)
    remarks = review(loaded, pictures, rust=rust, advice=language)
    missing = sum(not remark.note for remark in remarks)
    if json:
        print_json([remark.as_dict() for remark in remarks])
    else:
        grouped((remark.about, str(remark)) for remark in folded(remarks))
        say(f"To look at: {missing}." if missing else "Nothing is missing.")
    if shots:
        from soundmetal.report.publish import write_shots

        again = retakes(loaded, pictures)
        for path in write_shots(loaded.inspection, loaded.body, loaded.shop, pictures, folder, again):
            (warn if json else say)(f"wrote {path}")
    end(incomplete=bool(missing))


def place(
    folder: Folder = HERE,
    agree: Annotated[bool, typer.Option("--agree", help="Write every suggestion into inspection.yaml.")] = False,
    json: Json = False,
) -> None:
    """List photographs without a zone that were taken between two of one zone; `--agree` puts them there.

    Nothing is written without `--agree`. To agree to some only, write their lines under photos as check shows them.
    """
    from soundmetal import pipeline, placing

    loaded = pipeline.load(folder)
    with Watch("Reading photographs") as watch:
        offers = pipeline.album_of(loaded, watch.step).offers
    if agree and offers:
        placing.agree(folder, offers)
    if json:
        print_json([offer.as_dict() | {"agreed": agree} for offer in offers])
        return
    for offer in offers:
        say(offer)
    if agree or not offers:
        say(
            f"Placed: {len(offers)}. Take it back with: soundmetal undo {folder}"
            if offers
            else "Nothing is suggested."
        )
    else:
        say(f"If all of this is right: soundmetal place {folder} --agree")


def _counted(added: int, already: int) -> str:
    here = f", {already} {'was' if already == 1 else 'were'} here already" if already else ""
    return f"{added} photograph{'' if added == 1 else 's'} added{here}."
