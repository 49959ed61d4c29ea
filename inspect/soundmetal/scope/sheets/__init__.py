"""Blanks laid on stock sheets: flat outline, the search for a good lay, offcuts, drawing, cut list."""
