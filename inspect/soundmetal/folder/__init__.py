"""Inspection folder <-> record: YAML that keeps its comments, atomic writes, links checked against the catalogue."""
