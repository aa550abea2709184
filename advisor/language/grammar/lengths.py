"""Grammar of lengths that are told apart from the size: "60 long", "length 2 inch", a lone "80 mm" beside a size."""

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.expressions import expression
from advisor.language.found import Found, number
from advisor.language.grammar.elements import FRACTION, INCH_MARK, SHORT
from advisor.language.grammar.lexicon import Lexicon, Pattern
from advisor.language.grammar.sizes_told import length_mm


def _unit(w: Lexicon) -> str:
    return rf"(?:mm|cm|(?:{w('inch')})\b|{INCH_MARK}|millimet(?:er|re)s?)"


_LONG = Pattern(
    lambda w: (
        rf"""(?<![0-9./a-z\#-]) (?P<l>{FRACTION}|{SHORT}) \ ? (?P<u>{_unit(w)})? \ ?-?
        (?:{w("after-a-length")})\b
      | (?<![0-9a-z]) (?:x|by)\ ? (?P<l3>{FRACTION}|{SHORT}) \ ? (?P<u3>{_unit(w)})?
        (?![0-9/]|\ ?(?:off|pcs|pieces|bolts|screws|tpi|m[0-9]))
      | \b(?:{w("before-a-length")}) (?:\ is|\ of|:|=)?\ (?P<l2>{FRACTION}|{SHORT}) \ ? (?P<u2>{_unit(w)})?
        (?![0-9]*(?:\ ?(?:years?|yrs?|h\b|hours?)))"""
    )
)
_MILLIMETRES = Pattern(
    lambda w: (
        rf"""(?<![0-9./a-z\#-]) (?P<l>[1-9][0-9]{{1,3}})\ ?mm\b (?!\ ?(?:{w("after-millimetres-of-something")}|x|by))"""
    ),
    gate="mm",
)
_LEAST_IN_DIAMETERS = 1.2
_NUT_BEFORE = expression(r"\b(?:nuts?|washers?) ?\Z")
_CLASS_BEFORE = expression(r"\b[0-9]{1,2}\.[689] ?\Z")


def lengths(lexicon: Lexicon, text: str, found: list[Found]) -> list[Found]:
    """The readings of sizes with a length told apart from them, if none stands there yet."""
    if not any(f.slot == "length_mm" for f in found):
        m = next(lexicon.finditer(_LONG, text), None)
        if m is not None and not _counts(text, found, m):
            found = _with_length(found, m)
    if not any(f.slot == "length_mm" for f in found):
        found = [*found, *_beside_a_size(lexicon, text, found)]
    return found


def _counts(text: str, found: Sequence[Found], m: re.Match[str]) -> bool:
    """ "M33 nuts x 6", "M20 10.9 x6": so many, not so long."""
    if m["l3"] is None or m["u3"] is not None:
        return False
    before = text[: m.start()]
    if _NUT_BEFORE.search(before):
        return True
    size = next((str(f.value) for f in found if f.slot == "size" and str(f.value).startswith("M")), "")
    diameter = float(re.split("[Mx]", size)[1]) if size else 0.0
    return _CLASS_BEFORE.search(before) is not None and "/" not in m["l3"] and float(m["l3"]) < diameter


def _with_length(found: list[Found], m: re.Match[str]) -> list[Found]:
    raw, unit = next((m[f"l{k}"], m[f"u{k}"]) for k in ("", "2", "3") if m[f"l{k}"])
    in_inches = "/" in raw or (unit is not None and not unit.startswith(("mm", "cm", "mil")))
    mm = length_mm(raw, "in" if in_inches else "mm")
    sure = [f for f in found if not (f.slot == "size" and f.start < m.end() and f.end > m.start() and f.certainty < 1)]
    return [*sure, Found(m.start(), m.end(), "length_mm", mm * 10 if unit == "cm" else mm, 0.95)]


def _beside_a_size(lexicon: Lexicon, text: str, found: Sequence[Found]) -> list[Found]:
    """ "M10 bolts 80 mm": millimetres beside a metric size, longer than it is thick, are its length."""
    metric = next((f for f in found if f.slot == "size" and str(f.value).startswith("M")), None)
    if metric is None:
        return []
    diameter = float(re.split("[Mx]", str(metric.value))[1])
    for m in lexicon.finditer(_MILLIMETRES, text):
        if text.endswith(("every ", "each "), 0, m.start()):
            continue
        apart = all(m.end() <= f.start or m.start() >= f.end for f in found)
        if apart and float(m["l"]) >= _LEAST_IN_DIAMETERS * diameter:
            return [Found(m.start(), m.end(), "length_mm", number(m["l"]), 0.8)]
    return []
