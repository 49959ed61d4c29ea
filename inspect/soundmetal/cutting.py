"""What a finished job gives the cutting table: drawings of blanks and of nested sheets, and the cut list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from soundmetal.report.job import Job
from soundmetal.scope.cut_folder import cut_folder_ready, write_cut_files


@dataclass(frozen=True)
class Cut:
    """What goes to the cutting table and where; `no_sheet` tells of blanks whose steel the shop has no sheet of."""

    folder: Path | None = None
    files: Mapping[str, bytes] = field(default_factory=dict)
    no_sheet: tuple[str, ...] = ()

    def write(self) -> list[Path]:
        """Write the files in place of an earlier cut, and give their paths; WriteError leaves the old ones."""
        return write_cut_files(self.folder, self.files) if self.folder is not None else []


def cut_folder_known(folder: Path | None) -> None:
    """Raise FolderError where the folder for cut files (or none) holds anything but an earlier cut."""
    if folder is not None:
        cut_folder_ready(folder)


def for_cutting(job: Job, folder: Path | None) -> Cut:
    """Work out the files for the cutting table, for the owner's aim; nothing where no folder is asked for.

    SettingsError names blanks larger than any sheet, RecordError one whose outline cannot be cut.
    """
    if folder is None:
        return Cut()
    from soundmetal.report.shop_cut_list import cut_notes, cut_pictures
    from soundmetal.scope.cut_files import cut_files, no_sheet

    made = cut_files(job.scope.blanks, job.shop, cut_notes(job), cut_pictures(job))
    return Cut(folder, made.files, no_sheet(made.nesting))
