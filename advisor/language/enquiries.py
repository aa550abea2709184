"""Several enquiries in one message: the first is read, the others are kept for later; quoted mail is left aside."""

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.language.grammar.lexicon import Lexicon, Pattern
from advisor.language.grammar.sizes_told import Threads, sizes
from advisor.language.line import MAX_CHARACTERS, clean, fold
from advisor.records import NamedTuple

_POINT = Pattern(
    lambda w: (
        rf"""(?:(?<=\n)|(?<=\s)|\A) (?: \(?(?P<n>[1-9])[.)] | (?P<a>[a-e])\)
        | (?:{w("point-of-a-list")})\.?\ (?P<i>[0-9]{{1,3}})\b:? ) [ \t]+ (?=\S)"""
    ),
)
_QUOTED = Pattern(lambda w: rf"(?:>|(?:{w('mail-quote-head')})\b).*")
_CLOSING = Pattern(lambda w: rf"(?:--|(?:{w('mail-closing')})) [ ,.!]*")
_FASTENER = Pattern(lambda w: rf"\b(?:{w('fastener-noun')})\b")
_NUTS = Pattern(lambda w: rf"\b(?:{w('goes-with-a-bolt')})\b")
_BOLTS = Pattern(lambda w: rf"\b(?:{w('bolt-noun')})")
_LEAST_OWN = 12
"""Characters of one's own before a closing formula may end a mail."""
_SHOWN = 90
"""Characters of an enquiry that is still to come."""


class Parted(NamedTuple):
    """The text of the first enquiry with what is said of all, and those still to come, as typed."""

    first: str
    to_come: tuple[str, ...] = ()


def part(text: str, lexicon: Lexicon, threads: Threads) -> Parted:
    """A message cut into its enquiries; one that holds a single enquiry stays as it is.

    Lines without a size of their own belong to all: the greeting, "all for a bridge by the sea".
    """
    if len(text) > MAX_CHARACTERS:
        return Parted(text)
    own = own_words(text, lexicon) if "\n" in text else text
    pieces = _points(own, lexicon) or (own.split("\n") if "\n" in own else [])
    if len(pieces) < 2:
        return Parted(own)
    enquiries: list[str] = []
    of_all: list[str] = []
    held = ""
    for piece in pieces:
        told = _told(piece, lexicon, threads)
        if told and not (held and _same_set(fold(piece), told, held, lexicon)):
            enquiries.append(piece.strip())
            held = told
        elif told or (enquiries and piece is not pieces[-1] and piece.strip()):
            enquiries[-1] = f"{enquiries[-1]}\n{piece.strip()}"
        else:
            of_all.append(piece.strip())
    if len(enquiries) < 2:
        return Parted(own)
    return Parted("\n".join(t for t in (enquiries[0], *of_all) if t), tuple(_short(e) for e in enquiries[1:]))


def own_words(text: str, lexicon: Lexicon) -> str:
    """A mail without the lines it quotes and without what stands below its closing formula."""
    kept: list[str] = []
    for line in clean(text).split("\n"):
        folded = fold(line).strip()
        if kept and lexicon.fullmatch(_QUOTED, folded):
            if folded[0] != ">":
                break
            continue
        if len("".join(kept)) >= _LEAST_OWN and lexicon.fullmatch(_CLOSING, folded):
            break
        kept.append(line)
    return "\n".join(kept)


def _points(text: str, lexicon: Lexicon) -> list[str]:
    """The numbered points of a text, what stands before the first of them as the first piece; none where none are."""
    folded = text.lower()
    marks = list(lexicon.finditer(_POINT, folded)) if len(folded) == len(text) else []
    if len(marks) < 2 or not _counting(marks):
        return []
    starts = [m.start() for m in marks]
    ends = [*starts[1:], len(text)]
    lead = text[: starts[0]]
    return [lead, *(text[m.end() : end] for m, end in zip(marks, ends, strict=True))]


def _counting(marks: Sequence[re.Match[str]]) -> bool:
    """Whether the points count up: 1, 2, 3."""
    numbers = [int(m["n"] or m["i"] or "abcde".index(m["a"]) + 1) for m in marks]
    return numbers == sorted(set(numbers))


def _told(piece: str, lexicon: Lexicon, threads: Threads) -> str:
    """The size of an enquiry in a piece; "" where it has none or names nothing beside it."""
    folded = fold(piece).strip()
    if not any(c.isdigit() for c in folded):
        return ""
    found = sizes(lexicon, folded, threads)
    size = next((str(f.value) for f in found if f.slot == "size" and f.value), "")
    if not size:
        return ""
    long = any(f.slot == "length_mm" for f in found)
    return size if long or lexicon.search(_FASTENER, folded) else ""


def _same_set(folded: str, size: str, held: str, lexicon: Lexicon) -> bool:
    """Whether a piece names the nuts and washers to the bolts before it."""
    if size.split("x")[0] != held.split("x")[0] or not lexicon.search(_NUTS, folded):
        return False
    return lexicon.search(_BOLTS, folded) is None


def _short(text: str) -> str:
    words = " ".join(text.split()).rstrip(" .,;")
    return words if len(words) <= _SHOWN else words[:_SHOWN].rsplit(" ", 1)[0] + " ..."
