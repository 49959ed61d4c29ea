"""Lets these tests import the drawing program, which is a tool beside them and no part of the package."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
