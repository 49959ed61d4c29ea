"""The drawing of one sheet with its pieces; its border and what is left of it lie on a layer that is not cut."""

from __future__ import annotations

from soundmetal.scope.dxf.piece import draw_piece
from soundmetal.scope.dxf.sketch import Sketch
from soundmetal.scope.sheets.contour import rounded_box
from soundmetal.scope.sheets.nest import NestedSheet
from soundmetal.scope.sheets.settings import Cutting


def sheet_dxf(sheet: NestedSheet, cutting: Cutting) -> bytes:
    """Give the DXF file of a sheet: lower left corner at 0,0, its length along x, pieces from the left."""
    sketch = Sketch(cutting)
    layer = cutting.layers.sheet
    sketch.contour(rounded_box(sheet.length_mm, sheet.width_mm), layer)
    for piece in sheet.pieces:
        draw_piece(sketch, piece.blank, piece.pattern)
    if (rest := sheet.rest) is not None:
        sketch.contour(rounded_box(rest.width_mm, rest.height_mm).moved(rest.x_mm, rest.y_mm), layer)
    return sketch.data()
