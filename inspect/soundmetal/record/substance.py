"""What a finding is about, without the words and pictures that tell of it."""

from __future__ import annotations

import hashlib

from soundmetal.record.models import Finding

#: These tell of a finding and change nothing of the steel.
_TELLING = {"note", "photos"}


def substance(finding: Finding) -> str:
    """Write down what was found as text that changes only when the steel, or what is known of it, does.

    Notes and photographs are left out, and so is every field that nobody filled in: a field that comes later makes no
    old finding a new one.
    """
    return finding.model_dump_json(exclude=_TELLING, exclude_defaults=True)


def mark_of(finding: Finding) -> str:
    """Give 16 hexadecimal digits that stand for what was found."""
    return hashlib.sha256(substance(finding).encode()).hexdigest()[:16]
