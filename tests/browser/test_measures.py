"""The measures find what is wrong on a page that is wrong in every way they know; so their silence says something."""

from __future__ import annotations

from typing import Any

import pytest
from headless import ABSENT, Browser, chromium

WRONG = """<!DOCTYPE html><meta name="viewport" content="width=device-width, user-scalable=no">
<style>
body { margin: 0; font: 16px sans-serif; background: #fff; color: #000 }
.pale { color: #949494 }
.enough { color: #767676 }
.small { font-size: 15px }
.zoomed { font-size: 12px; zoom: 1.4 }
.said::before { content: "before"; font-size: 9px }
.narrow { width: 40px; height: 20px; overflow: hidden; white-space: nowrap }
.wide { width: 700px; background: #eee }
.moved { position: absolute; left: 0; top: 100px }
.gone { position: absolute; left: -30px; top: 200px; background: #fff }
</style>
<p class="pale">pale words</p><p class="enough">grey enough</p><p class="small">small words</p>
<p class="zoomed">zoomed words</p><p class="said">said</p><p class="narrow">cut off in the middle</p>
<p class="moved">upper words</p><p class="moved">lower words</p><p class="gone">half gone</p>
<p class="wide">wide</p><a href="#x">a link</a><p><img src="gone.png" alt=""></p>
<svg width="200" height="60" viewBox="0 0 100 30"><title>drawn</title><rect width="60" height="30" fill="#222"/>
<text x="2" y="15" font-size="10" fill="#333">dark on dark</text>
<text x="92" y="15" font-size="5">past the edge</text></svg>
<script>console.error("said aloud")</script>
"""


@pytest.fixture(scope="module")
def found(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    page = tmp_path_factory.mktemp("wrong") / "wrong.html"
    page.write_text(WRONG, encoding="utf-8")
    browser.open(page)
    return browser.facts(360)


def test_what_is_too_wide_or_too_small(found: dict[str, Any]) -> None:
    assert found["wide"][0] == 700
    sizes = {words: px for px, words in found["letters"]}
    assert {"small words": 15, "before": 9, "pale words": 16, "zoomed words": 16.8}.items() <= sizes.items()
    assert {words: px for px, words in found["drawn"]}["dark on dark"] == pytest.approx(20, abs=0.1)
    (link,) = found["taps"]
    assert link["what"] == "a: a link"
    assert link["least"] < 24


def test_what_cannot_be_read(found: dict[str, Any]) -> None:
    """WCAG's own examples: #767676 on white is the lightest grey that passes (4.54); #949494 has 3.03."""
    assert "3.03: pale words" in found["pale"]
    assert any(line.endswith("dark on dark") for line in found["pale"])
    assert not any("grey enough" in line for line in found["pale"])


def test_what_lies_on_something_else_or_is_cut(found: dict[str, Any]) -> None:
    assert any({"upper words", "lower words"} == set(line.split(" / ")) for line in found["overlaps"])
    assert {"cut: cut off in the middle", "off its drawing: past the edge", "off the page: half gone"} <= {
        *found["clipped"]
    }


def test_what_is_missing_or_said_aloud(browser: Browser, found: dict[str, Any]) -> None:
    assert found["unloaded"] == 1
    assert "user-scalable=no" in found["viewport"]
    assert any("gone.png" in url for url in browser.fetched())
    assert any("said aloud" in line for line in browser.complaints())


def test_without_a_browser_the_tests_say_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(AssertionError, match="apt-get install chromium"):
        chromium()
    assert "./run test" in ABSENT
