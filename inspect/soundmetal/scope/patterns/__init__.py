"""Flat patterns by family: flat patch, flanges on up to four sides, bent sections, rough blanks."""
