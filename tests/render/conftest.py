"""Lets these tests import the rendering tool, which is no part of the package. Only the tests here are collected."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

collect_ignore_glob = ["[!t]*.py", "t[!e]*.py", "scenes/*"]
