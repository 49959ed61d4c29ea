"""Drawings for the cutting table (DXF R2000): one of each blank, one of each sheet with its blanks."""
