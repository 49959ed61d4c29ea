"""Names in the folder for the cutting table, and the columns of its cut list."""

from __future__ import annotations

CUT_LIST, OFFCUTS = "cutlist.csv", "offcuts.yaml"
COLUMNS = (
    "blank", "findings", "panel", "width_mm", "height_mm", "gauge", "thickness_mm", "mass_kg", "form", "bends",
    "sheet_number", "sheet", "from_offcut", "x_mm", "y_mm", "turned", "drawing", "sheet_drawing", "notes",
)  # fmt: skip


def picture_name(drawing: str) -> str:
    """Name the picture (SVG) that lies beside a drawing (DXF).

    >>> picture_name("blank_floor_1.dxf")
    'blank_floor_1.svg'
    """
    return f"{drawing.removesuffix('.dxf')}.svg"
