"""Lines of text for any width: one sink that cleans what reaches a screen, wraps it and indents it."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

WIDEST = 100
"""Longer lines are hard to read, however wide the window."""


def clean(text: str, keep: str = "\n") -> str:
    """Text without anything that could act on a terminal: controls, escapes, direction overrides, zero-width marks.

    >>> clean("a\\x1b[31mb\\u202ec\\td")
    'a[31mbc d'
    """
    out = []
    for ch in text:
        if ch in keep:
            out.append(ch)
        elif ch == "\t":
            out.append(" ")
        elif unicodedata.category(ch)[0] != "C" and ch.isprintable():
            out.append(ch)
        elif ch in "\u00a0\u202f\u2009":
            out.append(" ")
    return "".join(out)


def cells(text: str) -> int:
    """Columns a text takes on a terminal (wide characters take two, combining ones none).

    >>> cells("µm"), cells("锌")
    (2, 2)
    """
    total = 0
    for ch in text:
        if unicodedata.combining(ch):
            continue
        total += 2 if unicodedata.east_asian_width(ch) in "WF" else 1
    return total


def _start(word: str, room: int) -> str:
    """As much of a word as fits into so many columns, at least one character with its combining marks.

    >>> _start("锌镀层", 5)
    '锌镀'
    """
    used = 0
    for n, ch in enumerate(word):
        used += cells(ch)
        if used > room and n and cells(ch):
            return word[:n]
    return word


def wrap(text: str, width: int, indent: str = "", first: str | None = None) -> list[str]:
    """A paragraph as lines no wider than `width` (at most WIDEST); `first` starts the first line, `indent` the others.

    >>> wrap("one two three four five", 20, "  ", "- ")
    ['- one two three four', '  five']
    """
    width = max(20, min(width, WIDEST))
    lines: list[str] = []
    for paragraph in clean(text).split("\n"):
        lead = indent if lines or first is None else first
        current = lead
        used = cells(lead)
        empty = True
        for word in paragraph.split():
            while cells(word) > width - cells(indent):
                room = width - used - (0 if empty else 1)
                if room < 8:
                    lines.append(current.rstrip())
                    current, used, empty = indent, cells(indent), True
                    room = width - used
                part = _start(word, room)
                current += ("" if empty else " ") + part
                word = word[len(part) :]
                lines.append(current.rstrip())
                current, used, empty = indent, cells(indent), True
            size = cells(word)
            if not empty and used + 1 + size > width:
                lines.append(current.rstrip())
                current, used, empty = indent, cells(indent), True
            current += ("" if empty else " ") + word
            used += size + (0 if empty else 1)
            empty = False
        lines.append(current.rstrip())
    return lines


def bullets(items: Iterable[str], width: int, mark: str = "- ", lead: str = "  ") -> list[str]:
    """A list, one wrapped item after another."""
    out: list[str] = []
    for item in items:
        out.extend(wrap(item, width, lead + " " * len(mark), lead + mark))
    return out
