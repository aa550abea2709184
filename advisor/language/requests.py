"""What is wanted of the adviser: advice, a look-up, a decoding, a calculation, a move in the conversation."""

# ruff: noqa: E501 - a grammar is easier to check in one unbroken line

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import NamedTuple

from advisor.language.found import Found
from advisor.language.line import Line


class Intent(NamedTuple):
    """One request: its kind, the words that told it, what it is about, and for calculations the command with its arguments."""

    kind: str
    words: str
    about: str = ""
    arguments: tuple[str, ...] = ()


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


def conversion(text: str) -> tuple[str, ...] | None:
    """Arguments of a unit conversion asked for in the line, or None.

    >>> conversion("0.0005 inch in microns")
    ('0.0005', 'inch', '--to', 'um')
    """
    m = _CONVERT.search(text)
    if not m:
        return None
    n, u, t = (m["n"], m["u"], m["t"]) if m["n"] else (m["n2"], m["u2"], m["t2"])
    a, b = unit_name(u), unit_name(t)
    if a == b or (a in ("°C", "°F")) != (b in ("°C", "°F")):
        return None
    return (n, a, "--to", b)


_MICRONS = re.compile(rf"(?P<n>{_NUM}) ?(?:um|microns?|micrometres?|mu\b|mic\b)")
_MILS = re.compile(rf"(?P<n>{_NUM}) ?(?:mils?|thou)\b")
_CLIMATE = {
    "--temperature": rf"(?P<n>-?{_NUM}) ?(?:°|deg|° ?c|c\b)",
    "--humidity": rf"(?P<n>{_NUM}) ?%? ?(?:rh|humidity|relative)",
    "--so2": rf"so2[ :=of]*(?P<n>{_NUM})|(?P<m>{_NUM}) ?(?:mg)?[^,;]{{0,14}}so2",
    "--chloride": rf"chlorides?[ :=of]*(?P<n>{_NUM})|(?P<m>{_NUM}) ?(?:mg)?[^,;]{{0,14}}chlorides?",
}


class Facts(NamedTuple):
    """What was understood, as far as calculations need it (values as text)."""

    size: str = ""
    length_mm: str = ""
    strength: str = ""
    thread_class: str = ""
    hardness_hrc: str = ""
    corrosivity: str = ""
    environment: str = ""
    part: str = ""
    quantity: str = ""
    life_years: str = ""
    finishes: tuple[str, ...] = ()
    metals: tuple[str, ...] = ()
    friction: tuple[float, ...] = ()


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


def arguments(kind: str, text: str, facts: Facts) -> tuple[str, ...]:
    """The arguments of a calculation's command as far as the line gives them."""
    out: list[str] = []

    def give(flag: str, value: str) -> None:
        if value:
            out.extend((flag, value))

    thick = thickness_um(text)
    finish = facts.finishes[0] if facts.finishes else ""
    if kind == "fit":
        give("--size", facts.size)
        give("--class", facts.thread_class)
        give("--length", facts.length_mm)
        give("--thickness", thick) if thick else give("--finish", finish)
    elif kind == "life":
        give("--site", facts.corrosivity)
        if not facts.corrosivity:
            for flag, pattern in _CLIMATE.items():
                m = re.search(pattern, text)
                if m:
                    give(flag, m["n"] or m.groupdict().get("m") or "")
            if len(out) < 8:
                out = [] if not facts.environment else ["--site", facts.environment]
        give("--zinc", thick) if thick else give("--finish", finish)
        give("--years", facts.life_years)
    elif kind == "torque":
        give("--size", facts.size)
        give("--strength", facts.strength)
        k = re.search(r"\bk ?(?:factor|value)?(?: of)? ?=? ?(?P<n>0?\.[0-9]+)", text)
        mu = facts.friction
        if k:
            give("--k", k["n"])
        elif mu:
            out.extend(("--mu-thread", f"{mu[0]:g}", "--mu-head", f"{mu[-1]:g}"))
        else:
            give("--finish", finish)
        target = re.search(rf"(?P<n>{_NUM}) ?(?:%|percent|per cent)", text)
        if target:
            give("--target", target["n"])
    elif kind == "hydrogen":
        give("--strength", facts.strength)
        if not facts.strength:
            give("--hardness", facts.hardness_hrc)
        give("--finish", finish)
        give("--site", facts.environment)
    elif kind == "couple":
        out.extend(facts.metals[:2])
        give("--site", facts.environment)
    elif kind == "quantity":
        give("--part", facts.part or "hex-bolt")
        give("--size", facts.size)
        give("--length", facts.length_mm)
        give("--count", facts.quantity)
        give("--thickness", thick)
    return tuple(out)


def find(
    line: Line, found: Sequence[Found], slots: Collection[str], facts: Facts, answering: str | None
) -> tuple[Intent, ...]:
    """The requests of a line in order of weight; empty when it simply tells facts.

    `slots` are those understood: an enquiry with a size, a place or a part is advice, whatever its question mark says.
    """
    facts = facts._replace(metals=tuple(dict.fromkeys(v for f in found if f.slot == "mating" for v in f.value)))
    by_kind: dict[str, Found] = {}
    for f in found:
        if f.intent and f.intent not in by_kind:
            by_kind[f.intent] = f
    out: list[Intent] = []
    bare = not any(f.slot or f.slug for f in found)
    beside = next((by_kind[k] for k in ("hostile", "off-topic") if k in by_kind), None)
    if beside is not None and not any(f.slot not in ("", "market") for f in found):
        return (Intent(beside.intent, line.words(beside.start, beside.end), line.shown),)

    def say(kind: str, f: Found, arguments_: tuple[str, ...] = ()) -> None:
        about = line.words(f.end, len(line.text)).strip(" ?.!,:") or line.words(0, f.start).strip(" ?.!,:")
        out.append(Intent(kind, line.words(f.start, f.end), about, arguments_))

    converted = conversion(line.text)
    if converted and not answering:
        out.append(Intent("calculation", line.shown, "convert", ("convert", *converted)))
    for kind in ("fit", "life", "torque", "hydrogen", "couple", "quantity"):
        cue = by_kind.get("calculation-" + kind) or (
            by_kind.get("calculation-fit-if-thick") if kind == "fit" and thickness_um(line.text) else None
        )
        if not _ADVICE_BESIDE[kind].isdisjoint(slots):
            continue  # an enquiry that names torque, hydrogen or weight beside its facts wants advice
        if cue is not None and not answering and converted is None:
            args = arguments(kind, line.text, facts)
            if _enough(kind, args):
                out.append(Intent("calculation", line.words(cue.start, cue.end), kind, (kind, *args)))
                break
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
            out.append(Intent("decode", line.words(code.start, code.end), line.words(code.start, code.end)))
        elif cue is not None:
            rest = line.words(cue.end, len(line.text)).strip(" ?.!,:")
            out.append(Intent("decode", line.words(cue.start, cue.end), rest or line.shown))
    ask = by_kind.get("lookup")
    if ask is None and "question-first" in by_kind and by_kind["question-first"].start == 0:
        ask = by_kind["question-first"]
    need = by_kind.get("advice")
    told = answering in slots if answering else any(i.kind == "calculation" for i in out)
    if ask is not None and not told and (not answering or ask.start <= _FIRST):
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


_LEAST = {
    "fit": ("--size",),
    "life": ("--zinc", "--finish"),
    "torque": ("--size",),
    "hydrogen": ("--strength", "--hardness"),
    "couple": (),
    "quantity": ("--size", "--length"),
}


def _enough(kind: str, args: tuple[str, ...]) -> bool:
    if kind == "couple":
        return len([a for a in args if not a.startswith("--")]) >= 2
    if kind == "life":
        return any(a in args for a in _LEAST[kind]) and ("--site" in args or "--chloride" in args)
    if kind == "hydrogen":
        return any(a in args for a in _LEAST[kind]) and "--finish" in args
    return all(a in args for a in _LEAST[kind])


def _only_callout(line: Line, found: Sequence[Found]) -> bool:
    """Whether the line is nothing but a designation."""
    codes = [f for f in found if f.slot == "callout"]
    if not codes:
        return False
    covered = sum(f.length for f in codes)
    return covered >= 0.8 * len(line.text.strip())
