from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from soundmetal.errors import FolderError, WriteError
from soundmetal.folder.atomic import write_bytes, write_text


def test_writes_and_replaces(tmp_path: Path) -> None:
    target = tmp_path / "a.txt"
    write_text(target, "one\n")
    write_text(target, "two\n")
    assert target.read_bytes() == b"two\n"
    assert list(tmp_path.iterdir()) == [target]


def test_keeps_permissions(tmp_path: Path) -> None:
    target = tmp_path / "a.txt"
    target.write_text("x")
    target.chmod(0o640)
    write_text(target, "y")
    assert target.stat().st_mode & 0o777 == 0o640


def test_a_new_file_gets_what_the_mask_leaves(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_text(tmp_path / "a.txt", "x")
    finally:
        os.umask(before)
    assert (tmp_path / "a.txt").stat().st_mode & 0o777 == 0o640


def test_a_name_too_long_for_the_disk_is_told(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="File name too long"):
        write_text(tmp_path / ("n" * 300), "x")


def test_a_folder_is_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "out.pdf").mkdir()
    with pytest.raises(FolderError, match="is a folder"):
        write_bytes(tmp_path / "out.pdf", b"x")


def test_full_disk_leaves_the_old_file_and_no_crumbs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "a.txt"
    target.write_text("old")

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(WriteError, match=r"a.txt: cannot write: No space left on device\. Nothing was changed"):
        write_text(target, "new")
    monkeypatch.undo()
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def test_full_disk_for_real(tmp_path: Path) -> None:
    """The kernel itself refuses to write more, through the limit on the size of a file."""
    code = (
        "import resource, signal, sys, pathlib\n"
        "from soundmetal.folder.atomic import write_bytes\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (65536, 65536))\n"
        "write_bytes(pathlib.Path(sys.argv[1]), b'n' * 200000)\n"
    )
    target = tmp_path / "big.bin"
    target.write_bytes(b"old")
    run = subprocess.run(
        [sys.executable, "-c", code, str(target)], capture_output=True, text=True, check=False, env=_env()
    )
    assert "WriteError: big.bin: cannot write: File too large" in run.stderr
    assert target.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [target]


def test_killed_while_writing_leaves_old_or_new_whole(tmp_path: Path) -> None:
    """SIGKILL at many moments: the file is always one of the two texts, never a part."""
    target = tmp_path / "record.yaml"
    old, new = b"o" * 3_000_000, b"n" * 3_000_000
    code = (
        "import sys, pathlib\n"
        "from soundmetal.folder.atomic import write_bytes\n"
        "path = pathlib.Path(sys.argv[1])\n"
        "print('go', flush=True)\n"
        "while True:\n"
        "    write_bytes(path, b'n' * 3_000_000)\n"
        "    write_bytes(path, b'o' * 3_000_000)\n"
    )
    for delay in (0.0, 0.004, 0.011, 0.017, 0.029):
        target.write_bytes(old)
        process = subprocess.Popen([sys.executable, "-c", code, str(target)], stdout=subprocess.PIPE, env=_env())
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(delay)
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        assert target.read_bytes() in (old, new)


def _env() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
