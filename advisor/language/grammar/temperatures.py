"""Grammar of service temperatures: degrees Celsius and Fahrenheit, ranges, "down to minus 40"."""

from __future__ import annotations

import re

from advisor.language.found import Found, number
from advisor.language.grammar.elements import FREE
from advisor.language.grammar.lexicon import Lexicon, Pattern

_MINUS = r"(?:-|minus\ )"
_DEGREES = r"""(?:°\ ?[cf]?\b | ° | deg(?:rees?|s)?\.?\ ?(?:c|f|celsius|centigrade|fahrenheit)?\b | deg[cf]\b
    | c\b(?!\ ?(?:class|-[0-9]|[0-9])) | f\b | celsius\b | centigrade\b | fahrenheit\b)"""
_GATE = "°|c|f|deg|grad|cel|cent|fahr"

_FIGURE = Pattern(
    lambda w: (
        rf"""{FREE} (?P<sign>{_MINUS}|plus\ |\+|sub\ )? (?P<n>[0-9]{{1,4}}(?:\.[0-9])?)
        (?: \ ?(?:-|to|bis|/|and)\ ? (?P<sign2>{_MINUS}|plus\ |\+)? (?P<n2>[0-9]{{1,4}}) )?
        \ ? (?P<u>{_DEGREES}|(?:{w("degree")})\b)"""
    ),
    gate=_GATE,
)
_FROM_COLD = Pattern(
    lambda _: (
        rf"""{_MINUS} (?P<n>[0-9]{{1,3}}) (?:\ ?(?:°\ ?c|°|c|deg(?:rees)?))?
        \ (?:to|up\ to|and|bis)\ (?:\+|plus\ )? (?P<n2>[0-9]{{1,4}})
        \ ? (?:°\ ?c|°|c|deg(?:rees)?(?:\ c)?|celsius)? \b"""
    ),
    gate="-|minus",
)
_COLD = Pattern(lambda w: rf"""\b(?:{w("cold")})\w*\b""")
_SIGNED = Pattern(
    lambda _: r"(?<![0-9a-z.-])-(?P<n>[0-9]{2,3})\b(?!\ ?(?:mm|x|um|h\b|%|pcs|off))",
    gate="-",
)
_DOWN_TO = Pattern(
    lambda _: rf"\b(?:down\ to|low\ as)\ {_MINUS}(?P<n>[0-9]{{1,3}})\b(?!\ ?(?:mm|um|%|h\b))",
    gate="down|low",
)
_MINUS_BARE = Pattern(
    lambda _: r"\b(?:minus|sub)\ (?P<n>[0-9]{2,3})\b(?!\ ?(?:mm|m\b|h\b|%|um))",
    gate="minus|sub",
)
_HEAT = Pattern(lambda w: rf"""\b(?:{w("heat-word")})\b""")
_REACHED = Pattern(
    lambda w: (
        rf"""\b(?:{w("reaches-a-heat")})\ (?P<n>[4-9][0-9]|[1-9][0-9]{{2}})
        (?=\ or\ so\b | \ with\b | \ degrees?\b | \ ?(?:\Z|[,.;!?]) | \ and\ it)"""
    )
)
_ANGLE = Pattern(lambda _: r"\ ?(?:angle|turn|bend|countersink|head|thread|csk|corner)")
_SMALL = 20
"""A figure below it beside a lone "c" or "f" is no temperature ("4 c", a size of something)."""
_ASKED = ("temperature_c", "temperature_min_c")


def temperatures(lexicon: Lexicon, text: str, answering: str | None) -> list[Found]:
    """Highest and lowest service temperature in °C."""
    both = lexicon.search(_FROM_COLD, text)
    if both:
        return [
            Found(both.start(), both.end(), "temperature_min_c", -int(both["n"])),
            Found(both.start(), both.end(), "temperature_c", number(both["n2"])),
        ]
    out = [
        f
        for m in lexicon.finditer(_FIGURE, text)
        if not _something_else(lexicon, text, m, answering)
        for f in _of(m, answering)
    ]
    if not out:
        out = _cold(lexicon, text)
    if not any(f.slot == "temperature_min_c" for f in out):
        out.extend(_lowest(m, 1.0) for m in lexicon.finditer(_DOWN_TO, text))
    out += _bare_heat(lexicon, text, out)
    highs = [f for f in out if f.slot == "temperature_c"]
    top = max(highs, key=lambda f: f.value, default=None)
    return [f for f in out if f.slot != "temperature_c" or f is top]


def _bare_heat(lexicon: Lexicon, text: str, found: list[Found]) -> list[Found]:
    """ "Smoke at 80 or so", "the heap gets to 65": a figure without its unit where heat is spoken of."""
    if not lexicon.search(_HEAT, text):
        return []
    return [
        Found(m.start("n"), m.end("n"), "temperature_c", number(m["n"]), 0.9)
        for m in lexicon.finditer(_REACHED, text)
        if all(m.end("n") <= f.start or f.end <= m.start("n") for f in found)
    ]


def _something_else(lexicon: Lexicon, text: str, m: re.Match[str], answering: str | None) -> bool:
    unit = m["u"]
    lone = unit.strip() in ("c", "f") and not m["sign"] and answering not in _ASKED
    if lone and float(m["n"]) < _SMALL:
        return True
    return unit.startswith(("deg", "°")) and lexicon.match(_ANGLE, text, m.end()) is not None


def _of(m: re.Match[str], answering: str | None) -> list[Found]:
    unit = m["u"]
    low = _signed(m["n"], m["sign"])
    if not m["n2"]:
        value = _celsius(low, unit)
        cold = value < 0 or answering == "temperature_min_c"
        return [Found(m.start(), m.end(), "temperature_min_c" if cold else "temperature_c", value)]
    high = _signed(m["n2"], m["sign2"])
    out = [Found(m.start(), m.end(), "temperature_c", _celsius(max(low, high), unit))]
    if low < 0:
        out.insert(0, Found(m.start(), m.end(), "temperature_min_c", _celsius(low, unit)))
    return out


def _cold(lexicon: Lexicon, text: str) -> list[Found]:
    """ "minus 30" without a unit; "-30" only where a word of cold stands beside it."""
    out = [_lowest(m, 0.9) for m in lexicon.finditer(_MINUS_BARE, text)]
    signed = list(lexicon.finditer(_SIGNED, text))
    if signed and lexicon.search(_COLD, text):
        out.extend(_lowest(m, 0.9) for m in signed)
    return out


def _lowest(m: re.Match[str], certainty: float) -> Found:
    return Found(m.start(), m.end(), "temperature_min_c", -int(m["n"]), certainty)


def _signed(figure: str, sign: str | None) -> float:
    return -float(figure) if sign and sign.strip() in ("-", "minus", "sub") else float(figure)


def _celsius(n: float, unit: str) -> int | float:
    fahrenheit = "f" in unit and "c" not in unit
    return number(f"{(n - 32) / 1.8:.0f}") if fahrenheit else number(f"{n:g}")
