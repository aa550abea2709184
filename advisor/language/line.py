"""Normalises what somebody typed without destroying the trade's tokens (10.9, A2-70, M10x1.5, Fe/Zn 8, decimal commas).

Two forms are kept side by side: `shown`, the text as typed without control characters, and `text`, the lower-case form
without accents that patterns and words are read from; every position in `text` points back into `shown`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

from advisor.language.numbers import Piece, spoken_to_figures
from advisor.records import NamedTuple

MAX_CHARACTERS = 6000
"""A longer line is not read: nobody describes a bolt in so many characters, and reading time stays bounded."""

STOPS = frozenset(",;.!?()\n")
START = "^"
"""Stands in the words of a question for the start of the line."""
"""Marks that are no words of a phrase."""
_LOOK_ALIKE = {
    **dict.fromkeys("‐‑‒–—―−﹣－", "-"),
    **dict.fromkeys("‘’‚‛′`´ʼ＇", "'"),
    **dict.fromkeys("“”„‟″«»＂", '"'),
    **dict.fromkeys("×✕✖⨯", "x"),
    **dict.fromkeys("µμ", "u"),
    **dict.fromkeys("·∙⋅•", "."),
    **dict.fromkeys("º˚", "°"),
    **dict.fromkeys("⁄∕", "/"),
    "ø": "o",
    "⌀": " ",
    "Ø": "o",
    "ł": "l",
    "đ": "d",
    "æ": "ae",
    "œ": "oe",
    "ß": "ss",
    "…": " ... ",
    "№": "no ",
    # Cyrillic and Greek letters that look like Latin ones: people paste them, and a size must not be lost to them
    **dict(zip("асеорхумткнівгАВСЕНКМОРТХУІЅ", "aceopxymtkhibrabcehkmoptxyis", strict=True)),
    **dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧαοικρνυχ", "abezhikmnoptyxaoikpvux", strict=True)),
}
_VULGAR = re.compile(r"(?<=[0-9])(?=[¼½¾⅐-⅞])")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+\Z")
_PIECE = re.compile(r"[a-z]+(?:'[a-z]+)*|[0-9]+(?:[.,][0-9]+)*|\s+|.", re.S)
_TOKEN = re.compile(r"[a-z0-9]+(?:\.[0-9]+)?|[,;.!?()]|\n")


class Token(NamedTuple):
    """One word, number or stop mark: its key and its place in Line.text."""

    key: str
    start: int
    end: int


class Line(NamedTuple):
    """A normalised line. `at[i]` is the place in `shown` of `text[i]`; it has one entry more than `text`."""

    shown: str
    text: str
    at: tuple[int, ...]
    tokens: tuple[Token, ...]
    too_long: bool = False

    def words(self, start: int, end: int) -> str:
        """What was typed between two places of `text`."""
        return self.shown[self.at[start] : self.at[end]].strip()


def clean(text: str) -> str:
    """The text without control, zero-width and direction marks; line breaks become one newline.

    >>> clean("\\ufeffM8\\u200b zinc\\r\\noutside")
    'M8 zinc\\noutside'
    """
    if text.isascii() and text.isprintable():
        return text.strip()
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = (c if c.isprintable() or c == "\n" else " " if c.isspace() else "" for c in text)
    return "".join(kept).strip()


def fold(text: str) -> str:
    """Lower case, without accents, look-alikes mapped: the form in which words are compared.

    >>> fold("Brüniert, ½″ × 40 µm")
    'bruniert, 1/2" x 40 um'
    """
    return "".join(piece for piece, _ in _folded(text))


def _folded(text: str) -> list[tuple[str, int]]:
    """Pieces of the folded text with the place of the character each came from."""
    if text.isascii():
        return [(c, i) for i, c in enumerate(text.lower().replace("`", "'"))]
    out = []
    for i, c in enumerate(text):
        piece = _LOOK_ALIKE.get(c)
        if piece is None:
            piece = c.lower()
            if not c.isascii():
                if c in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞" and i and text[i - 1].isdigit():
                    out.append((" ", i))
                wide = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", c).casefold())
                piece = "".join(_LOOK_ALIKE.get(x, x) for x in wide if not unicodedata.combining(x))
        out.append((piece, i))
    return out


def number_key(raw: str) -> str:
    """A number as computers write it: `1,500` counts thousands, `8,8` is a decimal comma.

    >>> number_key("1,500"), number_key("8,8"), number_key("10.9"), number_key("0,125")
    ('1500', '8.8', '10.9', '0.125')
    """
    if "," in raw:
        return raw.replace(",", "") if _THOUSANDS.match(raw) else raw.replace(",", ".")
    return raw


def normalise(text: str, numbers: Mapping[str, int] | None = None) -> Line:
    """Reads a line into its normal form.

    `numbers` maps number words to values (negative: parts of an inch, eighth = -8); runs of them become digits.

    >>> normalise("Three hundred and fifty off", {"three": 3, "hundred": 100, "fifty": 50}).text
    '350 off'
    >>> [t.key for t in normalise("M10x1,5 A2-70, don't").tokens]
    ['m10x1.5', 'a2', '70', ',', 'dont']
    """
    shown = clean(text[: MAX_CHARACTERS * 2])
    if len(text) > MAX_CHARACTERS:
        return Line(shown[:80], "", (0,), (), True)
    pieces = _pieces(shown)
    if numbers:
        pieces = spoken_to_figures(pieces, numbers)
    chars: list[str] = []
    at: list[int] = []
    for piece, start, end in pieces:
        chars.append(piece)
        if len(piece) == end - start:
            at.extend(range(start, end))
        else:
            at.extend([start] * len(piece))
    body = "".join(chars)
    at.append(len(shown))
    tokens = tuple(Token(m[0], m.start(), m.end()) for m in _TOKEN.finditer(body))
    return Line(shown, body, tuple(at), tokens)


def _pieces(shown: str) -> list[Piece]:
    """Words, numbers, gaps and marks of the folded text with their places in `shown`."""
    folded = _folded(shown)
    body = "".join(p for p, _ in folded)
    where: list[int] = []
    for piece, i in folded:
        where.extend([i] * len(piece))
    where.append(len(shown))
    out = []
    for m in _PIECE.finditer(body):
        piece = m[0]
        first = piece[0]
        if first.isspace():
            piece = "\n" if "\n" in piece else " "
        elif first.isdigit():
            piece = number_key(piece)
        elif "'" in piece:
            piece = piece.replace("'", "")
        out.append(Piece(piece, where[m.start()], where[m.end()]))
    return out


def asked_words(line: Line) -> list[str]:
    """The words of a line in which questions are looked for: a question mark counts as a word, the start as `^`.

    >>> asked_words(normalise("Zinc plate it, OK?", {}))
    ['^', 'zinc', 'plate', 'it', 'ok', '?']
    """
    return [START, *(t.key for t in line.tokens if t.key == "?" or t.key not in STOPS)]
