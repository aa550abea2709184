"""The letters of a drawing note put into one spelling, and stretches of it marked as read."""

from __future__ import annotations

import re
import unicodedata

_ROMAN = ("", "i", "ii", "iii", "iv", "v", "vi", "vii", "viii")
_SIGNS = str.maketrans(
    {
        "\u2010": "-",
        "\u2011": "-",
        "\u2012": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u2212": "-",
        "\u00d7": "x",
        "\u03bc": "u",
        "\u2044": "/",
        "\u2215": "/",
        "\\": "/",
        "_": " ",
        "|": " ",
        "\u2019": "'",
        "\u2018": "'",
        "\u201c": '"',
        "\u201d": '"',
    }
)

LONGEST = 2000
"""A note longer than this many characters is not a designation."""


def spell(text: str) -> str:
    """A note in lower case with plain hyphens, slashes and points, `um` for micrometres, no spaces around slashes.

    >>> spell("Fe / Zn 8\u2013c2C, 8 \u00b5m"), spell("Zn\uff18,5\u200b")
    ('fe/zn 8-c2c, 8 um', 'zn8.5')
    """
    folded = unicodedata.normalize("NFKC", text[:LONGEST]).translate(_SIGNS).lower()
    folded = "".join(c for c in folded if c.isspace() or unicodedata.category(c)[0] not in ("C", "M"))
    folded = re.sub(r"(?<=\d),(?=\d)", ".", folded)
    folded = re.sub(r"\s*/\s*", "/", folded)
    return " ".join(folded.split())


def roman(text: str) -> str:
    """A type number in Roman figures, whichever way it was written.

    >>> roman("2"), roman("iv"), roman("Z")
    ('ii', 'iv', 'z')
    """
    low = text.lower()
    return _ROMAN[int(low)] if low.isdigit() and int(low) < len(_ROMAN) else low


def plain(value: object) -> str:
    """A cell or captured text for comparing: lower case, numbers without needless zeros.

    >>> plain(8.0), plain("08"), plain("C2C"), plain(None), plain(False)
    ('8', '8', 'c2c', '', 'no')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = str(value).strip().lower()
    try:
        return f"{float(text):g}" if re.fullmatch(r"\d+(?:\.\d+)?", text) else text
    except (ValueError, OverflowError):
        return text


def guarded(pattern: str) -> str:
    """A pattern that may not start or end within a word or number.

    >>> bool(re.search(guarded("a2l"), "4 x a2l.")), bool(re.search(guarded("a2l"), "ba2l"))
    (True, False)
    """
    return rf"(?<![a-z0-9])(?<!\d\.)(?:{pattern})(?![a-z0-9])(?!\.\d)"


def shown(value: object) -> str:
    """A decoded value as a line shows it.

    >>> shown([12, 8]), shown(True), shown(8.0)
    ('8 to 12', 'yes', '8')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " to ".join(shown(v) for v in sorted(value))
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)


class Cover:
    """Marks which characters of a note were read.

    >>> c = Cover("m10 8.8 a2l")
    >>> c.take(8, 11)
    >>> c.free(0, 3), c.free(7, 9), c.rest()
    (True, False, 'm10 8.8')
    """

    def __init__(self, text: str) -> None:
        self.text = text
        self._taken = [False] * len(text)

    def take(self, start: int, end: int) -> None:
        """Mark a stretch as read."""
        for i in range(start, end):
            self._taken[i] = True

    def free(self, start: int, end: int) -> bool:
        """Whether nothing in a stretch was read yet."""
        return not any(self._taken[start:end])

    def blanked(self) -> str:
        """The note with what was read replaced by a bar, so that patterns cannot bridge it."""
        return "".join("|" if taken else c for c, taken in zip(self.text, self._taken, strict=True))

    def rest(self) -> str:
        """What was not read, in one line, without loose punctuation."""
        words = self.blanked().replace("|", " ").split()
        kept = [w.strip(".,;:()[]{}'\"!?*-/+=&") for w in words]
        return " ".join(w for w in kept if w)
