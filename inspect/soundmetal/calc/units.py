"""Exact unit factors (international yard and pound agreement, 1959) and the density of steel."""

from __future__ import annotations

MM_PER_INCH = 25.4
MM2_PER_FT2 = 304.8**2
KG_PER_LB = 0.45359237
#: Mild steel; the figure of the gauge charts and of this project throughout.
STEEL_KG_M3 = 7850.0
