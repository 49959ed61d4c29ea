"""`python tests/draw_sample` draws the sample's photographs again."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from draw_sample.main import main

main()
