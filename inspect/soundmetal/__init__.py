"""Soundmetal: graded rust inspections, repair methods and cut-ready scopes for small metal shops."""

__version__ = "0.1.0"
