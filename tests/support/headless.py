"""A headless Chromium, spoken to over a pipe: just what the tests need to ask a page how it looks.

The protocol is the browser's own (Chrome DevTools Protocol): JSON messages, each ended by a zero byte, written to the
browser's file descriptor 3 and read from its 4.
"""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")
ABSENT = "the browser tests need Chromium: install it (apt-get install chromium), or let ./run test do so"
#: Nothing that calls home, and no shared memory that a container may not have.
OPTIONS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-extensions",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run",
    "--no-default-browser-check", "--hide-scrollbars", "--force-color-profile=srgb", "--remote-debugging-pipe",
)  # fmt: skip
#: Puts two descriptors, whatever their numbers, where the browser looks for them, and becomes the browser.
HAND_OVER = """
import os, sys
there, back = (os.dup(os.dup(os.dup(int(number)))) for number in sys.argv[1:3])
os.dup2(there, 3)
os.dup2(back, 4)
os.execv(sys.argv[3], sys.argv[3:])
"""
PATIENCE_S = 40.0
FACTS = Path(__file__).with_name("page_facts.js")


def chromium() -> str:
    """Give the path of a Chromium. AssertionError, with what to do, where there is none."""
    found = next(filter(None, map(shutil.which, NAMES)), None)
    assert found, ABSENT
    return found


class Browser:
    """One browser with one tab; `events` keeps everything that it told unasked."""

    def __init__(self, profile: Path) -> None:
        theirs_in, self._out = os.pipe()
        self._in, theirs_out = os.pipe()
        command = [chromium(), *OPTIONS, f"--user-data-dir={profile}", "about:blank"]
        self._process = subprocess.Popen(
            [sys.executable, "-c", HAND_OVER, str(theirs_in), str(theirs_out), *command],
            pass_fds=(theirs_in, theirs_out),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(theirs_in)
        os.close(theirs_out)
        self._unread, self._number, self._session = b"", 0, ""
        self.events: list[dict[str, Any]] = []
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.ask(f"{domain}.enable")

    def __enter__(self) -> Browser:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None
    ) -> None:
        os.close(self._out)  # a browser whose pipe ends goes
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        os.close(self._in)

    def ask(self, method: str, **parameters: Any) -> Any:
        """Call a method of the protocol and give what it returns."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": parameters}
        message |= {"sessionId": self._session} if self._session else {}
        left = memoryview(json.dumps(message).encode() + b"\0")
        while left:
            left = left[os.write(self._out, left) :]
        while (told := self._next()).get("id") != self._number:
            self.events.append(told)
        assert "error" not in told, f"{method}: {told['error']}"
        return told["result"]

    def _next(self) -> dict[str, Any]:
        end = time.monotonic() + PATIENCE_S
        while b"\0" not in self._unread:
            ready, _, _ = select.select([self._in], [], [], max(0.0, end - time.monotonic()))
            if not ready:
                self._process.kill()
                raise AssertionError(f"the browser said nothing for {PATIENCE_S:.0f} s")
            part = os.read(self._in, 1 << 20)
            assert part, f"the browser ended ({self._process.wait()})"
            self._unread += part
        message, _, self._unread = self._unread.partition(b"\0")
        told: dict[str, Any] = json.loads(message)
        return told

    def open(self, page: Path) -> None:
        """Open a file and wait until all of it is there, fonts too."""
        self.events.clear()
        self.ask("Page.navigate", url=page.as_uri())
        while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
            self.events.append(self._next())
        self.run("document.fonts.ready.then(() => true)")

    def look(self, width_px: int, height_px: int = 800, *, dark: bool = False, phone: bool = False) -> None:
        """Set the size of the window, the reader's liking for light or dark, and whether it is a phone."""
        self.ask(
            "Emulation.setDeviceMetricsOverride", width=width_px, height=height_px, deviceScaleFactor=1, mobile=phone
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.ask("Emulation.setEmulatedMedia", media="", features=[scheme])

    def run(self, script: str) -> Any:
        """Give the value of an expression on the page."""
        told = self.ask("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in told, told["exceptionDetails"]
        return told["result"].get("value")

    def facts(self, width_px: int, *, dark: bool = False) -> dict[str, Any]:
        """Measure the open page at a width; narrower than 600 px it is a phone's."""
        self.look(width_px, dark=dark, phone=width_px < 600)
        told: dict[str, Any] = self.run(FACTS.read_text(encoding="utf-8"))
        return told

    def fetched(self) -> list[str]:
        """Name what the open page asked for beside itself."""
        sent = [event["params"] for event in self.events if event.get("method") == "Network.requestWillBeSent"]
        wanted = [one["request"]["url"] for one in sent if one.get("type") != "Document"]
        return [url[:200] for url in wanted if not url.startswith("data:")]

    def complaints(self) -> list[str]:
        """Give what the browser's console shows for the open page."""
        loud = ("Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded")
        return [json.dumps(event["params"])[:300] for event in self.events if event.get("method") in loud]

    def printed(self) -> bytes:
        """Give the PDF that the browser prints, on the paper that the page asks for."""
        data: str = self.ask("Page.printToPDF", preferCSSPageSize=True, printBackground=True)["data"]
        return base64.b64decode(data)
