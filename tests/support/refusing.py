"""`start --from-pdf` refusing a file: in one line, in good time, with nothing written."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from soundmetal.cli import main

LIMIT_S = 5.0


def refused(data: bytes, home: Path, why: str, capsys: pytest.CaptureFixture[str]) -> None:
    path, folder = home / "in.pdf", home / "made"
    path.write_bytes(data)
    began = time.process_time()
    with pytest.raises(SystemExit) as ended:
        main(["start", str(folder), "--from-pdf", str(path)])
    assert time.process_time() - began < LIMIT_S
    said = capsys.readouterr()
    assert ended.value.code in (3, 4)
    assert said.out == ""
    assert said.err.count("\n") == 1, said.err
    assert "in.pdf" in said.err
    assert why in said.err
    assert "fault of this program" not in said.err
    assert not folder.exists()
