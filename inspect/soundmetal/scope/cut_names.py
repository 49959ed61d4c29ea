"""Names in the folder for the cutting table, and the columns of its cut list."""

from __future__ import annotations

CUT_LIST, OFFCUTS = "cutlist.csv", "offcuts.yaml"
COLUMNS = (
    "blank", "findings", "panel", "width_mm", "height_mm", "gauge", "thickness_mm", "mass_kg", "form", "bends",
    "sheet_number", "sheet", "from_offcut", "x_mm", "y_mm", "turned", "drawing", "sheet_drawing", "notes",
)  # fmt: skip
