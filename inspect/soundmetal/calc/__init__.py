"""Formulas of the trade, one family a file: floats with the unit in the name, no files, no models, no clock.

Every function names its source, its range of validity and a worked example. Out of range is a ValueError, never a
clamp.
"""
