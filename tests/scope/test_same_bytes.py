"""The same record gives the same scope, whatever order Python's hashes put sets in."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import soundmetal

PROGRAM = """
import hashlib, runpy, sys
tools = runpy.run_path(sys.argv[1])
bench = tools["Bench"]()
body, found = bench.body(*tools["zones"](bench)), bench.inspection(*tools["findings"](bench))
car = tools["Car"](bench, body, found, bench.shop())
print(hashlib.sha256(repr(car.aims()).encode()).hexdigest())
"""


def fingerprint(hash_seed: str) -> str:
    environment = {
        **os.environ,
        "PYTHONHASHSEED": hash_seed,
        "PYTHONPATH": str(Path(soundmetal.__file__).resolve().parents[1]),
    }
    tools = str(Path(__file__).with_name("conftest.py"))
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, tools],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    return done.stdout.strip()


def test_hash_order_does_not_leak() -> None:
    first = fingerprint("0")
    assert len(first) == 64
    assert first == fingerprint("4242")
