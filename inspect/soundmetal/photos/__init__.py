"""Photographs of one inspection: found by content, read, tied to a zone, copied upright and clean for the pages."""
