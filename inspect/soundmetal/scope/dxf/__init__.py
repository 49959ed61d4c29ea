"""Drawings for the cutting table (DXF R2000): one of each blank, one of each sheet with its blanks."""

from __future__ import annotations

import logging

# The writer keeps a list of fonts in the user's cache; where it cannot, that is no news for people at a table.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())
