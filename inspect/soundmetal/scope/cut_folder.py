"""The folder that the cutting table reads: ours alone, replaced as a whole, so that no old drawing is cut."""

from __future__ import annotations

import contextlib
import csv
import os
import secrets
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

from soundmetal.errors import FolderError, WriteError
from soundmetal.folder.atomic import write_bytes
from soundmetal.scope.cut_names import COLUMNS, CUT_LIST, OFFCUTS, picture_name


def cut_folder_ready(folder: Path) -> None:
    """Raise FolderError where the folder is a file or holds what is not of an earlier cut; nothing is changed."""
    if not os.path.lexists(folder):
        return
    if not folder.is_dir():
        raise FolderError(f'"{folder}" is a file', todo="Name a folder for the cut files.")
    ours = set(_written_before(folder / CUT_LIST))
    if strange := sorted(path.name for path in folder.iterdir() if path.name not in ours):
        raise FolderError(
            f'"{folder}" holds "{strange[0]}", which is not of an earlier cut',
            todo="Name a new folder, or one that only --cut has written to.",
        )


def write_cut_files(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Put the files into the folder in place of an earlier cut: all of them, or the old ones stay.

    FolderError as of `cut_folder_ready`; WriteError (disk full, no permission).
    """
    cut_folder_ready(folder)
    home = folder.resolve()
    fresh, old = (home.with_name(f".{home.name[:40]}.{secrets.token_hex(8)}.{what}") for what in ("part", "old"))
    try:
        fresh.mkdir(parents=True)
        for name, data in files.items():
            write_bytes(fresh / name, data)
        _swap(home, fresh, old)
    except OSError as error:
        raise WriteError(
            f'cannot write to "{folder}": {error.strerror}',
            todo="Nothing was changed. Check permissions and space, and do it again.",
        ) from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    return [folder / name for name in files]


def _swap(home: Path, fresh: Path, old: Path) -> None:
    """Put one folder in another's place; where that fails half-way, the old one comes back."""
    if not home.exists():
        fresh.rename(home)
        return
    home.rename(old)
    try:
        fresh.rename(home)
    except OSError:
        old.rename(home)
        raise
    shutil.rmtree(old, ignore_errors=True)


def _written_before(cut_list: Path) -> Iterator[str]:
    """Names of the files that a cut list tells of, itself among them; nothing where it is none of ours."""
    with contextlib.suppress(OSError, UnicodeDecodeError, csv.Error):
        rows = list(csv.DictReader(cut_list.read_text(encoding="utf-8").splitlines()))
        head = cut_list.read_text(encoding="utf-8").partition("\n")[0]
        if head == ",".join(COLUMNS):
            yield from (CUT_LIST, OFFCUTS)
            for row in rows:
                for name in (row["drawing"], row["sheet_drawing"]):
                    yield from (name, picture_name(name))
