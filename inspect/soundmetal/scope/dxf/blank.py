"""The drawing of one blank, its lower left corner at 0,0."""

from __future__ import annotations

from soundmetal.scope.dxf.piece import draw_piece
from soundmetal.scope.dxf.sketch import Sketch
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.pattern import Pattern
from soundmetal.scope.sheets.settings import Cutting


def blank_dxf(blank: Blank, pattern: Pattern, cutting: Cutting) -> bytes:
    """Give the DXF file of a blank, in the settings' unit."""
    sketch = Sketch(cutting)
    draw_piece(sketch, blank, pattern)
    return sketch.data()
