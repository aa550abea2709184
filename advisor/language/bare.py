"""A bare answer, read against the question just asked: a lone number, yes, no, don't know, any."""

# ruff: noqa: E501 - a grammar is easier to check in one unbroken line

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.language.found import Found, number
from advisor.language.grammar.sizes import inches
from advisor.language.line import Line
from advisor.language.vocabulary import Vocabulary
from advisor.language.weighing import Merged

_NUMERIC = {
    "quantity": (1, 1e9),
    "salt_spray_hours": (0, 10_000),
    "life_years": (0, 200),
    "temperature_c": (-273, 1200),
    "temperature_min_c": (-273, 1200),
    "length_mm": (0.5, 6000),
    "hardness_hrc": (10, 70),
    "torque_nm": (0, 100_000),
}
_NUMBER = re.compile(
    r"(?<![0-9./a-z#])(?P<s>-|minus )?(?P<n>[0-9]{1,9}(?:\.[0-9]+)?)(?P<k> ?k\b| ?m(?=\Z|[ .,!?]))?(?P<u> ?[a-z°\"%/]+)?"
)
_NONE_MEANS_EMPTY = frozenset(("duty", "regime", "market", "mating", "finish_asked", "exclude", "environment"))


def bare_answer(line: Line, found: Sequence[Found], merged: Merged, vocabulary: Vocabulary, answering: str) -> None:
    """Fills the slot of the question from an answer that names no slot by itself; changes `merged`."""
    intents = {f.intent for f in found}
    held = merged.slots.get(answering)
    if answering in _NUMERIC and (held is None or held[0] == "unknown") and "dont-know" not in intents:
        _number(line, merged, answering)
        held = merged.slots.get(answering)
    if answering == "size" and held is None:
        m = re.fullmatch(r"(?:an? |its |it is |size )?(?:number |no\.? |#)(?P<n>[0-9]|1[0-4])[ .!?]*", line.text)
        if m:
            merged.slots["size"] = ("#" + m["n"], line.shown, 0.9)
            return
        m = re.fullmatch(
            r"(?:an? |its |it is |size |metric )?(?P<n>[3-9]|1[0-9]|2[0-7]|3[036])(?: ?mm| ?mill?\b| ?millimet(?:er|re)s?)?(?: dia(?:meter)?| thread)?[ .!?]*",
            line.text,
        )
        if m:
            merged.slots["size"] = ("M" + m["n"], line.words(m.start("n"), m.end("n")), 0.7)
            held = merged.slots["size"]
    if answering == "friction_window" and held is None:
        m = re.search(r"(?P<a>0?\.[0-9]{1,3})(?: ?(?:-|to|and|/) ?(?P<b>0?\.[0-9]{1,3}))?", line.text)
        if m:
            merged.slots[answering] = ([float(m["a"]), float(m["b"] or m["a"])], line.words(m.start(), m.end()), 0.95)
            return
    if answering == "thread_class" and held is None:
        m = re.fullmatch(r"(?:class )?(?P<c>4g6g|5g6g|[3-9] ?[geh]|6az|6ax|[123][ab])[ .!?]*", line.text)
        if m:
            raw = m["c"]
            merged.slots["thread_class"] = (
                raw.upper() if raw[-1] in "abzx" else _class_as_typed(raw, line.words(m.start("c"), m.end("c"))),
                line.shown,
                1.0,
            )
            held = merged.slots["thread_class"]
    if held is not None:
        return
    first = next((f for f in found if f.intent in ("dont-know", "no-matter")), None)
    if first is not None:
        any_value = "any" if first.intent == "no-matter" and answering == "appearance" else "unknown"
        merged.slots[answering] = (any_value, line.words(first.start, first.end), 1.0)
        return
    negative = next((f for f in found if f.intent in ("no", "none")), None)
    if answering in _NONE_MEANS_EMPTY and (negative or answering in merged.negated):
        if answering == "environment":
            return
        where = negative or found[0]
        merged.slots[answering] = ([], line.words(where.start, where.end), 0.9)
    elif (
        answering
        in (
            "salt_spray_hours",
            "torque_nm",
            "friction_window",
            "callout",
            "hardness_hrc",
            "temperature_c",
            "thread_class",
        )
        and negative
    ):
        merged.slots[answering] = ("unknown", line.words(negative.start, negative.end), 0.9)
    elif answering == "callout" and line.text and re.search(r"[0-9]", line.text) and "no" not in intents:
        merged.slots["callout"] = (line.shown, line.shown, 0.8)


def _class_as_typed(read: str, typed: str) -> str:
    """A thread class with the case it was typed in ("6H"); spoken "six e" as 6e.

    >>> _class_as_typed("6h", "6H"), _class_as_typed("6 e", "six e")
    ('6H', '6e')
    """
    return typed if typed.lower() == read and " " not in typed else read.replace(" ", "")[:-1] + typed[-1]


def _number(line: Line, merged: Merged, answering: str) -> None:
    low, high = _NUMERIC[answering]
    if answering == "length_mm":
        half = re.search(r"(?:(?P<n>[0-9]+)|an|one)(?: inch(?:es)?)? and a half(?: inch(?:es)?)?", line.text)
        if half and "inch" in half[0]:
            merged.slots[answering] = (
                number(f"{(float(half['n'] or 1) + 0.5) * 25.4:.3f}"),
                line.words(half.start(), half.end()),
                0.95,
            )
            return
        fraction = re.search(
            r"(?P<n>(?:[0-9]+[ -])?[0-9]+/[0-9]+|[0-9.]+) ?(?:in\b|inch(?:es)?|\"|zoll)|(?P<f>(?:[0-9]+[ -])?[0-9]+/(?:2|4|8|16))",
            line.text,
        )
        if fraction:
            merged.slots[answering] = (
                number(f"{inches(fraction['n'] or fraction['f']) * 25.4:.3f}"),
                line.words(fraction.start(), fraction.end()),
                0.95,
            )
            return
    hits = []
    for m in _NUMBER.finditer(line.text):
        unit = (m["u"] or "").strip()
        if answering == "quantity" and unit in (
            "kg",
            "kilos",
            "kilo",
            "t",
            "ton",
            "tons",
            "tonnes",
            "lbs",
            "mm",
            "m",
            "years",
            "h",
        ):
            continue
        value = (
            float(m["n"])
            * (-1 if m["s"] else 1)
            * (1000 if m["k"] and (answering == "quantity" or "k" in m["k"]) else 1)
        )
        if answering == "length_mm" and unit in ("in", "inch", "inches", '"'):
            value *= 25.4
        if answering == "length_mm" and unit == "cm":
            value *= 10
        if answering in ("temperature_c", "temperature_min_c") and unit.startswith(("f", "°f")):
            value = round((value - 32) / 1.8)
        if answering == "life_years" and unit.startswith("month"):
            value = round(value / 12, 2)
        if low <= value <= high:
            hits.append((value, m))
    if not hits:
        return
    if answering == "temperature_c":
        value, m = max(hits, key=lambda h: h[0])  # the highest: "max 90, down to minus 30"
    else:
        value, m = hits[-1] if answering == "life_years" else hits[0]
    merged.slots[answering] = (number(f"{value:.3f}"), line.words(m.start(), m.end("n")), 0.95)
