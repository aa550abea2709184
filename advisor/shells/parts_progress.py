"""How far a list is, on a terminal, and an interrupt that waits until the line in hand is whole."""

from __future__ import annotations

import signal
import sys
import threading
import time
from types import FrameType, TracebackType

from advisor.shells.parts_source import PartsSource

BAR = 24
EVERY_S = 0.2


class Interrupted(Exception):
    """The user wants to stop; the line in hand is done."""


class Watch:
    """Shows how far a list is and listens for an interrupt; a second one ends at once."""

    def __init__(self, source: PartsSource) -> None:
        self._source = source
        self._live = sys.stderr.isatty()
        self._began = self._shown = time.monotonic()
        self._count = 0
        self._stop = False
        self._before: object = None

    def __enter__(self) -> Watch:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.signal(signal.SIGINT, self._interrupt)
        return self

    def _interrupt(self, number: int, frame: FrameType | None) -> None:
        if self._stop:
            raise KeyboardInterrupt
        self._stop = True

    def __exit__(self, kind: type[BaseException] | None, e: BaseException | None, at: TracebackType | None) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)  # type: ignore[arg-type]
        if self._live:
            print("\r\033[K", end="", file=sys.stderr, flush=True)

    def step(self) -> None:
        """A line is about to be put down; Interrupted where the user wants to stop before it."""
        if self._stop:
            raise Interrupted
        self._count += 1
        if self._live and self._count % 20 == 0 and time.monotonic() - self._shown > EVERY_S:
            self._show()

    def _show(self) -> None:
        self._shown = time.monotonic()
        rate = self._count / max(self._shown - self._began, 0.001)
        at, size = self._source.table.at, self._source.size
        bar = f"[{'#' * int(BAR * at / size):<{BAR}}] {at / size:4.0%} " if 0 < at <= size else ""
        print(f"\r\033[K{bar}{self._count:,} ({rate:,.0f}/s)", end="", file=sys.stderr, flush=True)
