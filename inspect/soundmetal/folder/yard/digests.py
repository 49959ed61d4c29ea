"""The digest of all that counts at a spot, for when times and sizes alone cannot be trusted."""

from __future__ import annotations

import hashlib
from pathlib import Path

from soundmetal.folder.yard.walk import Spot

#: A larger file is no record and no offer (both are refused by their size), and is not read to see if it changed.
MAX_BYTES = 8_000_000


def digest_of(spot: Spot) -> bytes | None:
    """Give the SHA-256 of all that counts at a spot; None where it cannot be read."""
    whole = hashlib.sha256()
    for name in spot.files:
        path = Path(spot.path, name)
        try:
            size = path.stat().st_size if path.is_file() else -1
            if size > MAX_BYTES:
                return None
            data = path.read_bytes() if size >= 0 else b""
        except OSError:
            return None
        whole.update(f"{name}\0{size}\0".encode("utf-8", "surrogateescape") + data)
    return whole.digest()
