"""Every colour of text that a style sheet names, on the ground that it names: WCAG 2.2, 1.4.3, level AA."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tinycss2

from soundmetal.paths import template_dir
from soundmetal.report import palette


def colours(path: Path) -> Iterator[tuple[str, str, str]]:
    """Give rule, text colour and ground of every rule of a style sheet that says how its text is coloured."""
    for rule in tinycss2.parse_stylesheet(path.read_text(encoding="utf-8"), skip_comments=True, skip_whitespace=True):
        for name, block in blocks(rule):
            said = dict(re.findall(r"(?<![-\w])(color|background)\s*:\s*(#[0-9a-f]{3,6})\b", block))
            if "color" in said:
                yield name, long(said["color"]), long(said.get("background", palette.PAPER))


def blocks(rule: Any) -> Iterator[tuple[str, str]]:
    if rule.type == "qualified-rule":
        yield tinycss2.serialize(rule.prelude).strip(), tinycss2.serialize(rule.content)
    elif rule.type == "at-rule" and rule.content and rule.lower_at_keyword == "page":
        yield "@page", tinycss2.serialize(rule.content)
        yield from (
            ("@page " + m[1], m[2]) for m in re.finditer(r"@([-\w]+)\s*{(.*?)}", tinycss2.serialize(rule.content))
        )


def long(colour: str) -> str:
    return colour if len(colour) == 7 else "#" + "".join(2 * digit for digit in colour[1:])


@pytest.mark.parametrize("sheet", ["base.css", "customer/report.css", "customer/shots.css", "shop/packet.css"])
def test_text_is_told_from_its_ground(sheet: str) -> None:
    found = list(colours(template_dir() / sheet))
    assert len(found) >= 3
    low = [(name, ink, paper) for name, ink, paper in found if palette.contrast(ink, paper) < 4.5]
    assert low == []
