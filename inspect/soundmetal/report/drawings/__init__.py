"""Drawings as SVG text: made from data, the same bytes for the same data, each with a text alternative."""
