"""Files written whole or not at all: a temporary neighbour, flushed to the disk, then moved over the old file."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from soundmetal.errors import FolderError, Place, WriteError


def write_bytes(path: Path, data: bytes) -> None:
    """Replace the file at `path` by `data`, or leave the old one untouched.

    Raises FolderError where `path` is a folder, WriteError (disk full, no permission, no such folder) with why.
    """
    if path.is_dir():
        raise FolderError(f'"{path.name}" is a folder, not a file', todo="Name a file to write to.")
    temporary: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", suffix=".part", dir=path.parent)
        temporary = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.chmod(_mode(path))
        temporary.replace(path)
    except OSError as error:
        raise _write_error(path, error) from error
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                temporary.unlink(missing_ok=True)


def write_text(path: Path, text: str) -> None:
    """Replace a text file (UTF-8, line ends as they are) or leave the old one untouched."""
    write_bytes(path, text.encode("utf-8"))


def _mode(path: Path) -> int:
    """Keep the old file's permissions; a new one gets what the user's mask leaves of 666."""
    with contextlib.suppress(OSError):
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _write_error(path: Path, error: OSError) -> WriteError:
    reason = error.strerror or str(error)
    return WriteError(
        f"cannot write: {reason}",
        place=Place(path),
        todo="Nothing was changed. Make room or choose another place, and do it again.",
    )
