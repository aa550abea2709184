"""What is wanted of the adviser: advice, a look-up, a decoding, a calculation, a move in the conversation."""

# ruff: noqa: E501 - a grammar is easier to check in one unbroken line

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, NamedTuple

from advisor.language.found import Found
from advisor.language.line import Line


class Request(NamedTuple):
    """One request: its kind, the words that told it, what it is about, and for calculations what was told for them.

    `inputs` is keyed by slot, or by what only calculations know (`thickness_um`, `torque_coefficient`, `so2` …).
    """

    kind: str
    words: str
    about: str = ""
    inputs: Mapping[str, Any] = MappingProxyType({})


MOVES = (
    "why-not",
    "why-question",
    "why",
    "what-if",
    "acceptable-if",
    "compare",
    "back",
    "change",
    "help",
    "leave",
    "save",
    "restart",
    "more",
    "cite",
)
TALK = ("yes", "no", "dont-know", "greeting", "thanks", "off-topic", "hostile")
_BARE_MOVES = frozenset(("back", "help", "leave", "save", "restart", "more"))
"""Moves whose words are too common to count beside facts ("back garden", "more than ten")."""
_ANSWERS = frozenset(("yes", "no", "dont-know"))
_EARLY, _FIRST = 24, 3
_FIGURE = re.compile(
    r"how (?:thick|hot|hard) (?:is|are)|max(?:imum)? temp|temperature limit|what (?:thickness|hardness|temperature) (?:is|are|does|has)"
)
"""Questions after one figure; a size beside them does not make the line an enquiry."""
_ADVICE_BESIDE = {
    "fit": frozenset(("environment", "quantity", "duty")),
    "torque": frozenset(("environment", "torque_nm", "quantity", "duty")),
    "quantity": frozenset(("environment", "duty")),
    "life": frozenset(("quantity", "duty", "strength")),
    "hydrogen": frozenset(("environment", "quantity", "duty", "size", "length_mm")),
    "couple": frozenset(("quantity", "duty", "size", "strength")),
}
"""Slots that make a line an enquiry, whatever calculation its words also name."""
_NUM = r"[0-9]+(?:\.[0-9]+)?"
_UNIT = r"(?:hrc|hv|hb|mpa|ksi|um|microns?|micrometres?|mils?|thou|g/m2|gsm|oz/ft2|n[. ]?m|lbf?[. -]?ft|ft[. -]?lbf?s?|foot pounds?|lbf?[. -]in|in[. -]lbs?|kn|lbf(?! ?ft)|lbs|°? ?c|°? ?f|celsius|fahrenheit|mm|millimet(?:er|re)s?|inch(?:es)?|in|\")"
_CONVERT = re.compile(
    rf"(?:convert |what(?:'s| is|s) |change |turn |express )?(?P<n>-?{_NUM}) ?(?P<u>{_UNIT})(?: (?:of )?(?!(?:in|to|into|as|per|lbs?|ft)\b)[a-z]+){{0,2}}? (?:in|to|into|as|=|equals?|is how many|is what|in terms of)(?: what| how many| a)? ?(?P<t>{_UNIT})(?![a-z])|"
    rf"how many (?P<t2>{_UNIT}) (?:is|are|in|makes?|for)(?: a| an)? ?(?P<n2>{_NUM}) ?(?P<u2>{_UNIT})(?![a-z])"
)
_UNITS = (
    (r"hrc", "HRC"),
    (r"hv", "HV"),
    (r"hb", "HB"),
    (r"mpa", "MPa"),
    (r"ksi", "ksi"),
    (r"um|micron|micromet", "um"),
    (r"mil(?!li)|thou", "mil"),
    (r"g/m2|gsm", "g/m2"),
    (r"oz", "oz/ft2"),
    (r"n[. ]?m", "N.m"),
    (r"lbf?[. -]?ft|ft[. -]?lb|foot", "lbf.ft"),
    (r"lbf?[. -]?in|in[. -]?lb", "lbf.in"),
    (r"kn", "kN"),
    (r"lbf|lbs", "lbf"),
    (r"°? ?c", "°C"),
    (r"°? ?f", "°F"),
    (r"mm|millim", "mm"),
    (r'in|"', "inch"),
)


def unit_name(raw: str) -> str:
    """The conversion's name of a unit as typed.

    >>> unit_name("microns"), unit_name("ft-lbs"), unit_name("inch")
    ('um', 'lbf.ft', 'inch')
    """
    for pattern, name in _UNITS:
        if re.match(pattern, raw):
            return name
    return raw


def conversion(text: str) -> dict[str, str] | None:
    """What a unit conversion asked for in the line converts, or None.

    >>> conversion("0.0005 inch in microns")
    {'value': '0.0005', 'unit': 'inch', 'unit_wanted': 'um'}
    """
    m = _CONVERT.search(text)
    if not m:
        return None
    n, u, t = (m["n"], m["u"], m["t"]) if m["n"] else (m["n2"], m["u2"], m["t2"])
    a, b = unit_name(u), unit_name(t)
    if a == b or (a in ("°C", "°F")) != (b in ("°C", "°F")):
        return None
    return {"value": n, "unit": a, "unit_wanted": b}


_MICRONS = re.compile(rf"(?P<n>{_NUM}) ?(?:um|microns?|micrometres?|mu\b|mic\b)")
_MILS = re.compile(rf"(?P<n>{_NUM}) ?(?:mils?|thou)\b")
_CLIMATE = {
    "mean_temperature_c": rf"(?P<n>-?{_NUM}) ?(?:°|deg|° ?c|c\b)",
    "humidity_percent": rf"(?P<n>{_NUM}) ?%? ?(?:rh|humidity|relative)",
    "so2": rf"so2[ :=of]*(?P<n>{_NUM})|(?P<m>{_NUM}) ?(?:mg)?[^,;]{{0,14}}so2",
    "chloride": rf"chlorides?[ :=of]*(?P<n>{_NUM})|(?P<m>{_NUM}) ?(?:mg)?[^,;]{{0,14}}chlorides?",
}
_COEFFICIENT = re.compile(r"\bk ?(?:factor|value)?(?: of)? ?=? ?(?P<n>0?\.[0-9]+)")
_SHARE = re.compile(rf"(?P<n>{_NUM}) ?(?:%|percent|per cent)")


def thickness_um(text: str) -> str:
    """A layer thickness named in the line, in micrometres; empty when none.

    >>> thickness_um("12 microns"), thickness_um("0.5 mil")
    ('12', '12.7')
    """
    m = _MICRONS.search(text)
    if m:
        return m["n"]
    m = _MILS.search(text)
    return f"{float(m['n']) * 25.4:g}" if m else ""


def figures_beside(text: str) -> dict[str, str]:
    """What only calculations ask for, as told in the line: thickness, climate, torque coefficient, share of the yield.

    >>> figures_beside("preload of m12 10.9 at k 0.2, 12 microns")
    {'thickness_um': '12', 'torque_coefficient': '0.2'}
    """
    out = {"thickness_um": thickness_um(text)}
    for name, pattern in _CLIMATE.items():
        m = re.search(pattern, text)
        if m:
            out[name] = m["n"] or m.groupdict().get("m") or ""
    for name, compiled in (("torque_coefficient", _COEFFICIENT), ("share_percent", _SHARE)):
        m = compiled.search(text)
        if m:
            out[name] = m["n"]
    return {name: told for name, told in out.items() if told}


def find(
    line: Line, found: Sequence[Found], told: Mapping[str, Any], mentioned: Sequence[str], answering: str | None
) -> tuple[Request, ...]:
    """The requests of a line in order of weight; empty when it simply tells facts.

    `told` are the slots understood: an enquiry with a size, a place or a part is advice, whatever its question mark says.
    """
    slots = told.keys()
    by_kind: dict[str, Found] = {}
    for f in found:
        if f.intent and f.intent not in by_kind:
            by_kind[f.intent] = f
    out: list[Request] = []
    bare = not any(f.slot or f.slug for f in found)
    beside = next((by_kind[k] for k in ("hostile", "off-topic") if k in by_kind), None)
    if beside is not None and not any(f.slot not in ("", "market") for f in found):
        return (Request(beside.intent, line.words(beside.start, beside.end), line.shown),)

    def say(kind: str, f: Found) -> None:
        about = line.words(f.end, len(line.text)).strip(" ?.!,:") or line.words(0, f.start).strip(" ?.!,:")
        out.append(Request(kind, line.words(f.start, f.end), about))

    converted = conversion(line.text)
    if converted and not answering:
        out.append(Request("calculation", line.shown, "convert", converted))
    for kind in ("fit", "life", "torque", "hydrogen", "couple", "quantity"):
        cue = by_kind.get("calculation-" + kind) or (
            by_kind.get("calculation-fit-if-thick") if kind == "fit" and thickness_um(line.text) else None
        )
        if not _ADVICE_BESIDE[kind].isdisjoint(slots):
            continue  # an enquiry that names torque, hydrogen or weight beside its facts wants advice
        if cue is not None and not answering and converted is None:
            inputs = _inputs(line.text, found, told, mentioned)
            out.append(Request("calculation", line.words(cue.start, cue.end), kind, inputs))
    for kind in MOVES:
        move = by_kind.get(kind)
        if move is not None and (move.start <= _EARLY or answering) and (bare or kind not in _BARE_MOVES):
            say(kind, move)
    enquiry = len({"size", "quantity", "environment", "part", "strength", "duty", "mating"} & set(slots))
    asked_code = "lookup" in by_kind and "callout" in slots and enquiry == 0 and not _within_code(line, found)
    if "decode" in by_kind or asked_code or (_only_callout(line, found) and not answering):
        code = next((x for x in found if x.slot == "callout"), None)
        cue = by_kind.get("decode")
        if code is not None:
            out.append(Request("decode", line.words(code.start, code.end), line.words(code.start, code.end)))
        elif cue is not None:
            rest = line.words(cue.end, len(line.text)).strip(" ?.!,:")
            out.append(Request("decode", line.words(cue.start, cue.end), rest or line.shown))
    ask = by_kind.get("lookup")
    if ask is None and "question-first" in by_kind and by_kind["question-first"].start == 0:
        ask = by_kind["question-first"]
    need = by_kind.get("advice")
    answered = answering in slots if answering else converted is not None
    if ask is not None and not answered and (not answering or ask.start <= _FIRST):
        figure = _FIGURE.match(line.text, ask.start) is not None and {"quantity", "environment", "duty"}.isdisjoint(
            slots
        )
        strong = ("size" in slots and not figure) or "quantity" in slots or need is not None
        if not strong and (ask.start <= 25 or enquiry < 2):
            say("lookup", ask)
    if need is not None:
        say("advice", need)
    for kind in TALK:
        move = by_kind.get(kind)
        if move is not None and (answering or kind not in _ANSWERS or bare):
            say(kind, move)
    return tuple(out)


def _within_code(line: Line, found: Sequence[Found]) -> bool:
    """Whether a fact inside a document is asked for ("hardness limit in ISO 4042"), not what the code means."""
    return any(f.slot == "callout" and line.text[: f.start].endswith((" in ", " of ")) for f in found)


def _inputs(text: str, found: Sequence[Found], told: Mapping[str, Any], mentioned: Sequence[str]) -> dict[str, Any]:
    """What the line tells for a calculation: its slots, the metals in the order named, the first finish, the figures."""
    out = {slot: value for slot, value in told.items() if value not in ("unknown", [])}
    metals = tuple(dict.fromkeys(v for f in found if f.slot == "mating" for v in f.value))
    if metals:
        out["mating"] = metals
    if mentioned and "finish_asked" not in out:
        out["finish_asked"] = tuple(mentioned)
    return {**out, **figures_beside(text)}


def _only_callout(line: Line, found: Sequence[Found]) -> bool:
    """Whether the line is nothing but a designation."""
    codes = [f for f in found if f.slot == "callout"]
    if not codes:
        return False
    covered = sum(f.length for f in codes)
    return covered >= 0.8 * len(line.text.strip())
