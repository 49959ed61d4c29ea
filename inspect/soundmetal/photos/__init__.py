"""Photographs: found, read, placed in zones, copied upright and without metadata."""
