"""Where lines leave the program: the width of the screen, and writing that survives any character set."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, NoReturn

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
    """An answer as one line of JSON.

    Written by the interpreter's own encoder, that of json.dumps: the package would be a twentieth of a cold answer.

    >>> encoded({"size": "M10", "um": [5, 7.5], "told": True, "finish": None})
    '{"size": "M10", "um": [5, 7.5], "told": true, "finish": null}'
    """
    try:
        from _json import encode_basestring, make_encoder
    except ImportError:  # an interpreter without it
        import json

        return json.dumps(data, ensure_ascii=False)
    encode = make_encoder(None, _foreign, encode_basestring, None, ": ", ", ", False, False, True)
    return "".join(encode(data, 0))


def _foreign(value: object) -> NoReturn:
    raise TypeError(f"{type(value).__name__} has no place in JSON")


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
