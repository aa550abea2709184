"""Where lines leave the program: the width of the screen, and writing that survives any character set."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

NARROWEST = 40
USUAL = 80


def width() -> int:
    """Columns to write for: the terminal's, or COLUMNS, or 80 for a file or pipe."""
    try:
        named = int(os.environ.get("COLUMNS", "0"))
    except ValueError:
        named = 0
    if named:
        return max(NARROWEST, min(named, 200))
    try:
        return max(NARROWEST, min(os.get_terminal_size(sys.stdout.fileno()).columns or USUAL, 200))
    except (OSError, ValueError, AttributeError):
        return USUAL


def encoded(data: Mapping[str, Any]) -> str:
    """An answer as one line of JSON."""
    import json

    return json.dumps(data, ensure_ascii=False)


def write(line: str) -> None:
    """Print one line; characters that the output cannot show become question marks instead of an error."""
    try:
        print(line)
    except UnicodeEncodeError:
        encoding = sys.stdout.encoding or "ascii"
        print(line.encode(encoding, errors="replace").decode(encoding))


def show(lines: list[str], paint: Callable[[str], str] | None = None) -> None:
    """Print a block of lines with a blank one after it."""
    for line in lines:
        write(paint(line) if paint else line)
    if lines:
        write("")
    sys.stdout.flush()
