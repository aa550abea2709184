"""Colour with a meaning that the words have too; never in a pipe, never where it is not wanted."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Container

Paint = Callable[[str], str]
RED, YELLOW, BOLD, PLAIN = "\033[1;31m", "\033[33m", "\033[1m", "\033[0m"


def painter(stern: Container[str], warned: Container[str], labels: Container[str]) -> Paint:
    """Colours the label that a line begins with: STOP red, warnings yellow, the others bold. The words say it too.

    >>> painter(["STOP"], ["Mind"], [])("STOP     do not plate") == RED + "STOP" + PLAIN + "     do not plate"
    True
    """

    def paint(line: str) -> str:
        label = line.split("  ", 1)[0]
        for colour, group in ((RED, stern), (YELLOW, warned), (BOLD, labels)):
            if label and label in group:
                return colour + label + PLAIN + line[len(label) :]
        return line

    return paint


def in_colour(plain: bool) -> bool:
    """Whether colour is wanted and can be shown: never in a pipe, on a dumb terminal, with NO_COLOR or --plain."""
    return not plain and not os.environ.get("NO_COLOR") and os.environ.get("TERM", "dumb") != "dumb" and _terminal()


def _terminal() -> bool:
    try:
        return sys.stdout.isatty()
    except ValueError:
        return False
