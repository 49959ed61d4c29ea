"""Call-outs for the record, out of the truth: what to point at in each picture, and how large it is.

python tests/render/marks.py build/render/pickup/truth/truth.json     # prints YAML to put into inspection.yaml
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

#: What a finding is called by sight -> the place in the truth that shows it, and how the call-out names it.
SHOWN_BY = {
    "surface": ("surface", "surface rust"),
    "pitted": ("surface", "pitted"),
    "scale": ("scale", "scale"),
    "holed": ("hole", "hole"),
    "gone": ("hole", "gone"),
}


def mark(entry: dict[str, Any], seen: str) -> dict[str, Any] | None:
    """A polygon round what a picture shows of a finding; None where it shows none of it."""
    place, text = SHOWN_BY[seen]
    found = entry["places"].get(place)
    if found is None:
        return None
    points = [[round(x, 2), round(y, 2)] for x, y in found["outline"]]
    kept = [point for k, point in enumerate(points) if point not in points[:k]]
    return {"kind": "polygon", "points": kept, "text": text} if len(kept) >= 3 else None


def place(entry: dict[str, Any], seen: str) -> str:
    """The place whose size is written down; "" where nothing has rusted.

    Scale and holes reach as far as the steel has lost thickness; else all that has rusted counts.
    """
    known: dict[str, Any] = entry["places"]
    first = {"scale": "scale", "holed": "scale", "gone": "hole"}.get(seen, "surface")
    return next((name for name in (first, "surface") if name in known), "")


def size(entry: dict[str, Any], seen: str) -> tuple[int, int]:
    """Width and height in mm, to 5 mm as somebody would read it off a tape."""
    found = entry["places"][place(entry, seen)]
    return round(found["width_mm"] / 5) * 5, round(found["height_mm"] / 5) * 5


def main() -> None:
    known = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    for file, entry in known.items():
        for seen in SHOWN_BY:
            shown = mark(entry, seen) if entry["finding"] else None
            if shown:
                width, height = size(entry, seen)
                print(f"{entry['finding']} {file} ({seen}, {width} x {height} mm)")
                print(f"  - {{kind: polygon, points: {shown['points']}, text: {json.dumps(shown['text'])}}}")


if __name__ == "__main__":
    main()
