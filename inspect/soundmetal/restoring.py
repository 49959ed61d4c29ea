"""`start --from-pdf`: the folder made again, then worked out and held against what the pages of the PDF told."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from soundmetal import pipeline
from soundmetal.errors import Place, RecordError, SettingsError
from soundmetal.folder.carried import Range, Told, open_report
from soundmetal.folder.restore import restore
from soundmetal.pipeline import Loaded
from soundmetal.report.carried import told_by


@dataclass(frozen=True)
class Brought:
    """What was written, what could not be brought back, and what is not as the pages told it."""

    written: tuple[Path, ...]
    lost: tuple[str, ...]
    differs: tuple[str, ...]


def bring_back(folder: Path, pdf: Path) -> Brought:
    """Make a folder again from a customer's PDF. RecordError says why a PDF is refused; then nothing is written."""
    opened = open_report(pdf)
    restored = restore(folder, opened)
    try:
        loaded = pipeline.load(folder)
    except (RecordError, SettingsError) as error:
        restored.take_back()
        todo = "Nothing was written."
        raise RecordError(f"carries a record that cannot be used: {error}", place=Place(pdf), todo=todo) from error
    return Brought(restored.written, restored.lost, _differences(loaded, opened.carried.told))


def _differences(loaded: Loaded, told: Told) -> tuple[str, ...]:
    job = pipeline.work_out(loaded, pipeline.album_of(loaded))
    now = Told.model_validate(told_by(job))
    lines = [
        f'{finding}: the PDF says "{level}", worked out now it is "{now.levels.get(finding, "not there")}".'
        for finding, level in told.levels.items()
        if now.levels.get(finding) != level
    ]
    if now.currency == told.currency:
        lines += [
            f"Price for the aim {aim.value}: the PDF says {_range(told, price)}, with the shop book here it is "
            f"{_range(now, now.prices[aim])}."
            for aim, price in told.prices.items()
            if aim in now.prices and now.prices[aim] != price
        ]
    else:
        lines.append(f"The PDF counts in {told.currency}, the shop book here in {now.currency}.")
    return tuple(lines)


def _range(told: Told, price: Range) -> str:
    low, _, high = price
    return f"{low:f} to {high:f} {told.currency}"
