"""Long replies a screenful at a time, on a terminal only: Enter goes on, anything else is the next thing said."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence

from advisor.shells.chat.painting import Paint
from advisor.shells.screen import show, write

TYPED_ABOVE = 2
"""Lines of the screen that the words typed and the line that asks take."""
LEAST_HEIGHT, LEAST_LEFT = 10, 4
STOP = ("q", "quit", "stop")


def height() -> int:
    """Lines of the terminal; 0 where the output is none: then nothing is paged."""
    try:
        return os.get_terminal_size(sys.stdout.fileno()).lines if sys.stdout.isatty() else 0
    except (OSError, ValueError, AttributeError):
        return 0


def pages(lines: Sequence[str], lines_high: int) -> list[list[str]]:
    """Lines as screenfuls, never broken between a heading and what follows where that can be helped.

    >>> [len(p) for p in pages(["x"] * 30, 24)], [len(p) for p in pages(["x"] * 23, 24)]
    ([22, 8], [23])
    """
    if lines_high < LEAST_HEIGHT or len(lines) < lines_high:
        return [list(lines)]
    room = lines_high - TYPED_ABOVE
    out: list[list[str]] = []
    rest = list(lines)
    while len(rest) > room:
        cut = min(room, len(rest) - LEAST_LEFT)
        while cut > room // 2 and (rest[cut - 1].endswith(":") or rest[cut].startswith("    ")):
            cut -= 1
        out.append(rest[:cut])
        rest = rest[cut:]
    return [*out, rest]


def show_paged(lines: Sequence[str], paint: Paint | None, wait: Callable[[int], str]) -> str:
    """Print lines page by page; `wait` tells how many are left and brings what was typed.

    What was typed instead of Enter comes back, to be taken as the next line.
    """
    screens = pages(lines, height())
    left = len(lines)
    for n, page in enumerate(screens):
        left -= len(page)
        if n == len(screens) - 1:
            show(page, paint)
            return ""
        for line in page:
            write(paint(line) if paint else line)
        typed = wait(left).strip()
        if typed:
            return "" if typed.lower() in STOP else typed
    return ""
