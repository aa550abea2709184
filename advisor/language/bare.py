"""A bare answer, read against the question just asked: a lone number, yes, no, don't know, any."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.language.found import Found, number
from advisor.language.grammar.elements import COEFFICIENT, FRACTION, INCH_MARK
from advisor.language.grammar.lexicon import Lexicon, Pattern
from advisor.language.grammar.sizes_told import length_mm
from advisor.language.grammar.thread_classes import bare_thread_class
from advisor.language.line import Line
from advisor.language.vocabulary import Vocabulary
from advisor.language.weighing import Merged

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    Told = tuple[Any, str, float]
    """Value, words and certainty of a slot."""

_NUMBER = Pattern(
    lambda _: (
        r"""(?<![0-9./a-z\#]) (?P<s>-|minus\ )? (?P<n>[0-9]{1,9}(?:\.[0-9]+)?)
        (?P<k>\ ?k\b|\ ?m(?=\Z|[ .,!?]))? (?P<u>\ ?[a-z°\"%/]+)?"""
    )
)
_NUMBERED_SIZE = Pattern(lambda _: r"(?:an?\ |its\ |it\ is\ |size\ )?(?:number\ |no\.?\ |\#)(?P<n>[0-9]|1[0-4])[ .!?]*")
_METRIC_SIZE = Pattern(
    lambda _: (
        r"""(?:an?\ |its\ |it\ is\ |size\ |metric\ )? (?P<n>[3-9]|1[0-9]|2[0-7]|3[036])
        (?:\ ?mm|\ ?mill?\b|\ ?millimet(?:er|re)s?)? (?:\ dia(?:meter)?|\ thread)? [ .!?]*"""
    )
)
_FRICTION = Pattern(lambda _: rf"(?P<a>{COEFFICIENT})(?:\ ?(?:-|to|and|/)\ ?(?P<b>{COEFFICIENT}))?")
_OTHERS_BEFORE = Pattern(lambda w: rf"""\b(?:{w("before-a-number-of-another")})\ \Z""")
_OTHERS_BEHIND = Pattern(lambda w: rf"""\ [0-9]+\ ?mm\b | \ ?mm\ (?:{w("after-millimetres-of-another")})\b""")
_AND_A_HALF = Pattern(
    lambda w: rf"(?:(?P<n>[0-9]+)|an|one|\A)(?:\ ?(?:{w('inch')}))?\ and\ a\ half(?:\ (?:{w('inch')}))?", gate="half"
)
_INCHES = Pattern(
    lambda w: (
        rf"""(?P<n>{FRACTION}|[0-9.]+)\ ?(?:(?:{w("inch")})\b|{INCH_MARK})
      | (?P<f>(?:[0-9]+[ -])?[0-9]+/(?:2|4|8|16))"""
    )
)


def bare_answer(line: Line, found: Sequence[Found], merged: Merged, vocabulary: Vocabulary, answering: str) -> None:
    """Fills the slot of the question from an answer that names no slot by itself; changes `merged`."""
    intents = {f.intent for f in found}
    how = vocabulary.slot(answering)
    held = merged.slots.get(answering)
    if how.bare is not None and "dont-know" not in intents:
        told = _number(line, vocabulary.lexicon, answering, how.bare, merged)
        if told is not None and (held is None or held[0] == "unknown" or _higher(told, held, how.bare, found)):
            merged.slots[answering] = told
    if answering not in merged.slots:
        told = _shaped(line, vocabulary.lexicon, answering) or _worded(line, found, merged, vocabulary, answering)
        if told is not None:
            merged.slots[answering] = told


def _higher(told: Told, held: Told, bare: Mapping[str, Any], found: Sequence[Found]) -> bool:
    """ "Boiling water, so a hundred, maybe hundred and ten": a higher figure counts before what a word says."""
    if bare.get("takes") != "highest" or not isinstance(held[0], (int, float)):
        return False
    return bool(told[0] > held[0]) and any(f.value == held[0] and f.term for f in found)


def _shaped(line: Line, lexicon: Lexicon, answering: str) -> Told | None:
    """A bare size, friction range or thread class."""
    if answering == "size":
        return _size(line, lexicon)
    if answering == "friction_window":
        m = lexicon.search(_FRICTION, line.text)
        return ([float(m["a"]), float(m["b"] or m["a"])], line.words(m.start(), m.end()), 0.95) if m else None
    if answering == "thread_class":
        read = bare_thread_class(lexicon, line.text, line.shown)
        return (read, line.shown, 1.0) if read else None
    return None


def _size(line: Line, lexicon: Lexicon) -> Told | None:
    m = lexicon.fullmatch(_NUMBERED_SIZE, line.text)
    if m:
        return ("#" + m["n"], line.shown, 0.9)
    m = lexicon.fullmatch(_METRIC_SIZE, line.text)
    return ("M" + m["n"], line.words(m.start("n"), m.end("n")), 0.7) if m else None


def _worded(line: Line, found: Sequence[Found], merged: Merged, vocabulary: Vocabulary, answering: str) -> Told | None:
    """ "Don't know", "any", "none": what they answer stands with the slot."""
    how = vocabulary.slot(answering)
    first = next((f for f in found if f.intent in ("dont-know", "no-matter")), None)
    if first is not None:
        value = "any" if first.intent == "no-matter" and answering == "appearance" else "unknown"
        return (value, line.words(first.start, first.end), 1.0)
    negative = next((f for f in found if f.intent in ("no", "none")), None)
    if how.nothing_means == "empty" and (negative or answering in merged.negated):
        if answering == "environment":
            return None
        where = negative or found[0]
        return ([], line.words(where.start, where.end), 0.9)
    if negative and how.type in ("number", "text") and answering in _NEGATIVE_IS_UNKNOWN:
        return ("unknown", line.words(negative.start, negative.end), 0.9)
    if answering == "callout" and any(c.isdigit() for c in line.text) and negative is None:
        return (line.shown, line.shown, 0.8)
    return None


_NEGATIVE_IS_UNKNOWN = frozenset(
    (
        "salt_spray_hours",
        "torque_nm",
        "friction_window",
        "callout",
        "hardness_hrc",
        "temperature_c",
        "thread_class",
    )
)


def _number(line: Line, lexicon: Lexicon, answering: str, bare: Mapping[str, Any], merged: Merged) -> Told | None:
    """A lone number in the range that the slot allows, in its unit; one that may be another's is asked back."""
    if answering == "length_mm":
        inches_told = _length_in_inches(line, lexicon)
        if inches_told is not None:
            return inches_told
    hits: list[tuple[float, re.Match[str]]] = []
    for m in lexicon.finditer(_NUMBER, line.text):
        unit = (m["u"] or "").strip()
        if unit in bare.get("other", ()):
            continue
        value = _scaled(m, bare.get("units", {}).get(unit, ""), answering == "quantity")
        if bare["low"] <= value <= bare["high"]:
            hits.append((value, m))
    doubted = [h for h in hits if _of_something_else(lexicon, line.text, h[1])]
    hits = [h for h in hits if h not in doubted]
    if not hits:
        for value, m in doubted:
            merged.unclear.append((answering, line.words(m.start(), m.end("n")), (number(f"{value:.3f}"),)))
        return None
    takes = bare.get("takes", "first")
    value, m = max(hits, key=lambda h: h[0]) if takes == "highest" else hits[-1] if takes == "last" else hits[0]
    return (number(f"{value:.3f}"), line.words(m.start(), m.end("n")), 0.95)


def _of_something_else(lexicon: Lexicon, text: str, m: re.Match[str]) -> bool:
    """ "I'm 71", "it used to be 96", "two 20 mm plates": a number that is not plainly the answer."""
    if lexicon.ends(_OTHERS_BEFORE, text, m.start("n")) is not None:
        return True
    return lexicon.match(_OTHERS_BEHIND, text, m.end("n")) is not None


def _scaled(m: re.Match[str], unit: str, counts: bool) -> float:
    """The number in the unit of its slot; "2k" and, of pieces, "2m" are thousands."""
    value = float(m["n"]) * (-1 if m["s"] else 1)
    if m["k"] and (counts or "k" in m["k"]):
        value *= 1000
    if unit == "inch":
        return value * 25.4
    if unit == "cm":
        return value * 10
    if unit == "F":
        return round((value - 32) / 1.8)
    if unit == "month":
        return round(value / 12, 2)
    return value


def _length_in_inches(line: Line, lexicon: Lexicon) -> Told | None:
    half = lexicon.search(_AND_A_HALF, line.text)
    if half and "inch" in half[0]:
        return (
            number(f"{(float(half['n'] or 1) + 0.5) * 25.4:.3f}"),
            line.words(half.start(), half.end()),
            0.95,
        )
    m = lexicon.search(_INCHES, line.text)
    return (length_mm(m["n"] or m["f"], "in"), line.words(m.start(), m.end()), 0.95) if m else None
