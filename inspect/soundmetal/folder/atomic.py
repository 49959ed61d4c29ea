"""Files written whole or not at all: a temporary neighbour, flushed to the disk, then moved over the old file."""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

from soundmetal.errors import FolderError, Place, WriteError


def write_bytes(path: Path, data: bytes) -> None:
    """Replace the file at `path` by `data`, or leave the old one untouched.

    Raises FolderError where `path` is a folder, WriteError (disk full, no permission, no such folder) with why.
    """
    if os.path.isdir(path):  # noqa: PTH112 - Path.is_dir raises where a name is too long
        raise FolderError(f'"{path.name}" is a folder, not a file', todo="Name a file to write to.")
    temporary = path.with_name(f".{path.name[:40]}.{secrets.token_hex(8)}.part")
    try:
        # Made with 666 the file gets what the user's mask leaves of it; asking for the mask is not safe in threads.
        with os.fdopen(os.open(temporary, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666), "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        with contextlib.suppress(FileNotFoundError):
            temporary.chmod(path.stat().st_mode & 0o777)
        temporary.replace(path)
    except OSError as error:
        raise _write_error(path, error) from error
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def write_text(path: Path, text: str) -> None:
    """Replace a text file (UTF-8, line ends as they are) or leave the old one untouched."""
    write_bytes(path, text.encode("utf-8"))


def _write_error(path: Path, error: OSError) -> WriteError:
    reason = error.strerror or str(error)
    return WriteError(
        f"cannot write: {reason}",
        place=Place(path),
        todo="Nothing was changed. Make room or choose another place, and do it again.",
    )
