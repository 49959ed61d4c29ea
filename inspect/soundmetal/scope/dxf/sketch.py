"""A DXF drawing under work: R2000, its unit told, layers set, and the same bytes for the same shapes.

R2000 because R12 knows neither the unit nor light polylines. Unit codes are those of the DXF reference (read).
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager

from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.math import BoundingBox2d

from soundmetal.errors import RenderError, one_line
from soundmetal.scope.sheets.contour import Contour, Point
from soundmetal.scope.sheets.settings import Cutting, Layer, Unit

VERSION = "R2000"
#: $INSUNITS: 1 inch, 4 millimetres.
UNIT_CODE: dict[Unit, int] = {"inch": 1, "mm": 4}
MM_PER_UNIT: dict[Unit, float] = {"inch": 25.4, "mm": 1.0}
#: Width of a letter as a share of its height in the plain line font (from memory; only for choosing a size).
_LETTER = 0.9
_LEAST_TEXT_MM = 1.5


class Sketch:
    """Add shapes in mm, then take `data`."""

    def __init__(self, cutting: Cutting) -> None:
        """Begin an empty drawing with the settings' layers and unit."""
        self.cutting = cutting
        self._factor = 1 / MM_PER_UNIT[cutting.drawing_unit]
        self._box = BoundingBox2d()
        with _no_clock():
            self._doc = _empty(cutting)
        self._space = self._doc.modelspace()

    def contour(self, contour: Contour, layer: Layer) -> None:
        """Add a closed outline of lines and arcs."""
        own = contour.scaled(self._factor)
        self._reach(own.bounds[:2], own.bounds[2:])
        points = [(v.x, v.y, v.bulge) for v in own.vertices]
        self._space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": layer.name})

    def line(self, start: Point, end: Point, layer: Layer) -> None:
        """Add a straight line."""
        first, last = ((x * self._factor, y * self._factor) for x, y in (start, end))
        self._reach(first, last)
        self._space.add_line(first, last, dxfattribs={"layer": layer.name})

    def cross(self, at: Point, layer: Layer) -> None:
        """Add a centre mark: two short lines."""
        (x, y), arm = at, self.cutting.mark_mm / 2
        self.line((x - arm, y), (x + arm, y), layer)
        self.line((x, y - arm), (x, y + arm), layer)

    def words(self, text: str, at: Point, room_mm: float) -> float:
        """Write one line from its lower left corner, smaller where the room is short; give its height in mm."""
        plain = one_line(text)
        height = max(_LEAST_TEXT_MM, min(self.cutting.text_mm, room_mm / max(1.0, len(plain) * _LETTER)))
        x, y = at[0] * self._factor, at[1] * self._factor
        attributes = {"layer": self.cutting.layers.text.name, "height": height * self._factor, "insert": (x, y)}
        self._space.add_text(plain, dxfattribs=attributes)
        return height

    def data(self) -> bytes:
        """Give the file. RenderError where the drawing's own check finds a fault."""
        if self._box.has_data:
            (x0, y0), (x1, y1) = self._box.extmin, self._box.extmax
            self._space.reset_extents((x0, y0, 0), (x1, y1, 0))
            # A corner at 0,0 counts as none when the writer takes the extents over, so say it in the header as well.
            self._doc.header["$EXTMIN"], self._doc.header["$EXTMAX"] = (x0, y0, 0), (x1, y1, 0)
        faults = self._doc.audit().errors
        if faults:
            raise RenderError(f"a drawing is faulty: {faults[0].message}", todo="Tell us; it is our fault.")
        stream = io.StringIO()
        with _no_clock():
            self._doc.write(stream)
        return self._doc.encode(stream.getvalue())

    def _reach(self, *points: tuple[float, ...]) -> None:
        self._box.extend([(x, y) for x, y in points])


def _empty(cutting: Cutting) -> Drawing:
    doc = new(VERSION, units=UNIT_CODE[cutting.drawing_unit])
    doc.header["$MEASUREMENT"] = 0 if cutting.drawing_unit == "inch" else 1
    for layer in cutting.layers.all():
        doc.layers.add(layer.name, color=layer.colour)
    return doc


@contextmanager
def _no_clock() -> Iterator[None]:
    """Keep date, version and random identifiers out of the file while this lasts."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
