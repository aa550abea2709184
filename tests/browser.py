"""A headless Chromium driven through a pair of pipes: opens a page, measures it, prints it, takes its picture."""

from __future__ import annotations

import base64
import json
import os
import re
import shutil
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any, NamedTuple

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome-headless-shell")
LONGEST_WAIT = 60.0


def installed() -> str | None:
    """The browser that is installed, if any."""
    return next((found for b in BROWSERS if (found := shutil.which(b))), None)


class Opened(NamedTuple):
    """What a browser said of a page: complaints of its console, and what it would have fetched from elsewhere."""

    complaints: tuple[str, ...]
    requests: tuple[str, ...]


class Browser:
    """One browser with one page; a context manager."""

    def __init__(self, program: str) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="advisor-browser-", ignore_cleanup_errors=True)
        to_browser, self._out = os.pipe()
        self._in, from_browser = os.pipe()
        # the browser reads commands from file 3 and writes answers to file 4; of the shells only bash takes any number
        self._process = subprocess.Popen(
            ["bash", "-c", f'exec "$0" "$@" 3<&{to_browser} 4>&{from_browser}', program, *self._options()],
            pass_fds=(to_browser, from_browser),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_browser)
        os.close(from_browser)
        os.set_blocking(self._in, False)
        self._buffer = b""
        self._number = 0
        self.events: list[dict[str, Any]] = []
        try:
            self._begin()
        except BaseException:
            self.__exit__()
            raise

    def _begin(self) -> None:
        """One page, with its console, its requests and its errors listened to."""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def _options(self) -> list[str]:
        return [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--remote-debugging-pipe",
            f"--user-data-dir={self._folder.name}",
        ]

    def __enter__(self) -> Browser:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self._out)
        os.close(self._in)
        self._folder.cleanup()

    def call(self, method: str, **given: Any) -> dict[str, Any]:
        """One command and its answer; events that come between are kept."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": given}
        if hasattr(self, "_session"):
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        end = time.monotonic() + LONGEST_WAIT
        while time.monotonic() < end:
            for found in self._arrived():
                if found.get("id") == self._number:
                    assert "error" not in found, found
                    result: dict[str, Any] = found["result"]
                    return result
                self.events.append(found)
            time.sleep(0.005)
        raise TimeoutError(method)

    def _arrived(self) -> list[dict[str, Any]]:
        try:
            self._buffer += os.read(self._in, 1 << 20)
        except BlockingIOError:
            return []
        *whole, self._buffer = self._buffer.split(b"\0")
        return [json.loads(x) for x in whole if x]

    def open(self, page: Path, width: int = 1280, dark: bool = False) -> Opened:
        """Open a file at a width in CSS pixels."""
        phone = width < 600
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=1, mobile=phone)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", media="screen", features=[scheme])
        self.events.clear()
        self.call("Page.navigate", url=page.resolve().as_uri())
        end = time.monotonic() + LONGEST_WAIT
        while not any(e.get("method") == "Page.loadEventFired" for e in self.events):
            self.events += self._arrived()
            assert time.monotonic() < end, "the page did not load"
            time.sleep(0.01)
        self.value("1")
        return Opened(tuple(self._complaints()), tuple(self._requests()))

    def _complaints(self) -> list[str]:
        out = []
        for e in self.events:
            if e.get("method") == "Log.entryAdded":
                out.append(str(e["params"]["entry"]["text"]))
            elif e.get("method") in ("Runtime.exceptionThrown", "Runtime.consoleAPICalled"):
                out.append(json.dumps(e["params"])[:300])
        return out

    def _requests(self) -> list[str]:
        sent = [e["params"]["request"]["url"] for e in self.events if e.get("method") == "Network.requestWillBeSent"]
        return [u for u in sent if not u.startswith("file:")]

    def value(self, expression: str) -> Any:
        """What an expression comes to in the page."""
        found = self.call("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in found, found
        return found["result"].get("value")

    def picture(self, file: Path) -> None:
        """The whole page as a PNG."""
        shot = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        file.write_bytes(base64.b64decode(shot["data"]))

    def pdf(self, inches: tuple[float, float]) -> bytes:
        """The page as it prints on paper of a size."""
        self.call("Emulation.setEmulatedMedia", media="", features=[])
        printed = self.call(
            "Page.printToPDF",
            printBackground=True,
            paperWidth=inches[0],
            paperHeight=inches[1],
            preferCSSPageSize=False,
        )
        return base64.b64decode(printed["data"])


def pages_of(pdf: bytes) -> int:
    """How many pages a PDF has."""
    return len(re.findall(rb"/Type\s*/Page\b", pdf))
