"""What the customer's PDF carries of its inspection, so that nothing is lost when only the PDF survives.

The owner gets this file and may hand it on, so by default (`neutral`) it holds what the pages tell and what is needed
to work them out again, and no more: no rates, hours spent or path of the shop's, no comment, no note of the walk
round the car, no telephone or mail of the owner's, no name of a photograph's file. `whole` is for the shop's own
keeping.
"""

from __future__ import annotations

import copy
import datetime as dt
import hashlib
import json
import re
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import yaml

from soundmetal import __version__
from soundmetal.errors import UsageError
from soundmetal.folder.carried import FILE as FILE
from soundmetal.folder.carried import LAYOUT, photograph_names, with_names
from soundmetal.folder.carried import Carried as Carried
from soundmetal.folder.carried import Carry as Carry
from soundmetal.folder.carried import read_carried as read_carried
from soundmetal.photos.scan import key
from soundmetal.report.job import Job
from soundmetal.report.language import language
from soundmetal.scope.models import MoneyRange
from soundmetal.words import did_you_mean

#: What is left out, for those who open the file.
ALWAYS = (
    "The shop book: rates, hours, prices and stock.",
    "The photographs themselves: copies of those on the pages are in this PDF as pictures.",
)
NEUTRAL = (
    "Names of photographs; they are numbered here.",
    "Comments in the record, notes on zones, captions of photographs that stand on no page.",
    "Telephone and mail of the owner; hours really spent; where the shop keeps its shop book.",
)
_PRIVATE = ("spent", "shop")
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_.-]*")
_NOT_TEXT = frozenset(("y", "n", "yes", "no", "true", "false", "on", "off", "null"))
_CENT = Decimal("0.01")


def carried_bytes(job: Job, how: Carry = Carry.NEUTRAL) -> bytes:
    """Give the JSON that the PDF of a job carries; the same job gives the same bytes.

    The record is taken as it was written (`job.stored`); where the job tells of something else, or was made without a
    folder, it is written down anew.
    """
    tree, text = _record(job)
    names = sorted(photograph_names(tree) | {photo.name for photo in job.album.photos})
    called = {name: name for name in names}
    if how is Carry.NEUTRAL:
        called = {name: f"photograph-{number:03d}" for number, name in enumerate(names, 1)}
        tree, text = _neutral(tree, called), ""
    text = text or _yaml(tree)
    data = {
        "soundmetal_carried": LAYOUT,
        "how": how.value,
        "program": f"soundmetal {__version__}",
        "shop": job.shop.shop.name,
        "left_out": _left_out(job, how),
        "text": text,
        "record": _as_json(tree),
        "photographs": _photographs(job, called),
        "told": told_by(job),
    }
    return json.dumps(data, ensure_ascii=False, indent=1).encode()


def _left_out(job: Job, how: Carry) -> list[str]:
    """Say in the reader's language what is not carried."""
    record = job.inspection
    reader = language(record.language, record.units, record.currency)
    return [reader.translated(line) for line in (*ALWAYS, *(NEUTRAL if how is Carry.NEUTRAL else ()))]


def _record(job: Job) -> tuple[dict[str, Any], str]:
    """Give the record as plain data, and its text where that is what the job tells of."""
    stored = job.stored
    if stored is not None:
        reader = {"language": job.inspection.language, "units": job.inspection.units}
        answers = {"answers": job.inspection.answers}  # those that no longer stand are left out of a job
        if stored.inspection.model_copy(update=reader | answers) == job.inspection:
            return _plain(stored.tree), stored.text
    return job.inspection.model_dump(mode="json", by_alias=True, exclude_unset=True), ""


def _plain(value: Any) -> Any:
    """Take the places and comments off what was read from a file."""
    if isinstance(value, Mapping):
        return {_plain(name): _plain(one) for name, one in value.items()}
    if isinstance(value, list):
        return [_plain(one) for one in value]
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, dt.datetime):
        return value.isoformat()
    if isinstance(value, dt.date):
        return dt.date(value.year, value.month, value.day)
    return next((kind(value) for kind in (int, float, str) if isinstance(value, kind)), str(value))


def _neutral(tree: dict[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    """Leave out what no page tells and nothing is worked out from."""
    kept = {name: value for name, value in tree.items() if name not in _PRIVATE}
    if kept.get("owner"):
        kept["owner"] = {name: value for name, value in kept["owner"].items() if name == "name"}
    kept["zones"] = {zone: _without(checks, "note") for zone, checks in (kept.get("zones") or {}).items()}
    kept["photos"] = {name: _without(note, "caption") for name, note in (kept.get("photos") or {}).items()}
    if kept.get("progress"):
        kept["progress"] = [_without(step, "note") for step in kept["progress"]]
    renamed: dict[str, Any] = with_names(copy.deepcopy(kept), names)
    return renamed


def _without(entry: Any, part: str) -> Any:
    return {name: value for name, value in (entry or {}).items() if name != part}


def _as_json(tree: dict[str, Any]) -> Any:
    return json.loads(json.dumps(tree, default=dt.date.isoformat))


def _photographs(job: Job, names: Mapping[str, str]) -> list[dict[str, str]]:
    """List the photographs under the names they are carried by; those on the pages with the hash of their copy."""
    shown = {key(use.file) for finding in job.inspection.findings for use in finding.photos}
    listed = []
    for name, called in names.items():
        told, photo = {"name": called}, job.album.by_name.get(key(name))
        if photo is not None:
            told["sha256"] = photo.sha256
            told |= {"zone": photo.placed.zone} if photo.placed.zone else {}
        if photo is not None and photo.name in shown:
            told["copy_sha256"] = hashlib.sha256(photo.copy.path.read_bytes()).hexdigest()
        listed.append(told)
    return listed


def told_by(job: Job) -> dict[str, Any]:
    """Give what the pages of a job tell: levels by finding, prices by aim (low, expected, high) as they are shown."""
    return {
        "levels": {graded.finding.id: graded.level.value for graded in job.grades.findings},
        "prices": {aim.value: _printed(job, scope.total.price) for aim, scope in job.scopes.items()},
        "currency": job.shop.currency,
    }


def _printed(job: Job, price: MoneyRange) -> list[str]:
    step = job.shop.policies.round_to or _CENT
    ends = (price.low, price.likely, price.high)
    return [f"{((end / step).quantize(Decimal(1), ROUND_HALF_UP) * step).normalize():f}" for end in ends]


def carry_known(word: str) -> Carry:
    """Give how much is to be carried; UsageError names what there is."""
    known = [one.value for one in Carry]
    if word not in known:
        todo = f"{did_you_mean(word, known)} There are: {', '.join(known)}.".strip()
        raise UsageError(f'nothing is carried "{word}"', todo=todo)
    return Carry(word)


class _Writer(yaml.CSafeDumper):
    """Writes text in quotes wherever another reader of YAML might take it for something else."""


def _text(writer: Any, text: str) -> Any:
    plain = _PLAIN.fullmatch(text) and text.lower() not in _NOT_TEXT
    return writer.represent_scalar("tag:yaml.org,2002:str", text, style=None if plain else '"')


_Writer.add_representer(str, _text)


def _yaml(tree: dict[str, Any]) -> str:
    return yaml.dump(tree, Dumper=_Writer, sort_keys=False, allow_unicode=True, width=10_000)
