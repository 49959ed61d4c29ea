"""Formulas: floats in, floats out, the unit in every name, the source in every docstring."""
