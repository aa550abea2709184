"""Grammar of unit conversions, and of figures that only calculations ask for."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.language.grammar.elements import PLAIN
from advisor.language.grammar.lexicon import Lexicon, Pattern

_CONVERSION = Pattern(
    lambda w: (
        rf"""(?:convert\ |what(?:'s|\ is|s)\ |change\ |turn\ |express\ )?
        (?P<n>-?{PLAIN})\ ?(?P<u>{_unit(w)}) (?:\ (?:of\ )?(?!(?:in|to|into|as|per|lbs?|ft)\b)[a-z]+){{0,2}}?
        \ (?:in|to|into|as|=|equals?|is\ how\ many|is\ what|in\ terms\ of)(?:\ what|\ how\ many|\ a)?
        \ ?(?P<t>{_unit(w)})(?![a-z])
      | how\ many\ (?P<t2>{_unit(w)})\ (?:is|are|in|makes?|for)(?:\ a|\ an)?
        \ ?(?P<n2>{PLAIN})\ ?(?P<u2>{_unit(w)})(?![a-z])"""
    ),
    gate="in|to|as|=|is|how",
)
_MICRONS = Pattern(lambda w: rf"(?P<n>{PLAIN})\ ?(?:{w('micron')})", gate="u|mic|mik|my")
_MILS = Pattern(lambda _: rf"(?P<n>{PLAIN})\ ?(?:mils?|thou)\b", gate="mil|thou")
_FIGURES: Mapping[str, Pattern] = {
    "mean_temperature_c": Pattern(lambda _: rf"(?P<n>-?{PLAIN})\ ?(?:°|deg|°\ ?c|c\b)"),
    "humidity_percent": Pattern(lambda _: rf"(?P<n>{PLAIN})\ ?%?\ ?(?:rh|humidity|relative)", gate="rh|humid|relative"),
    "so2": Pattern(lambda _: rf"so2[ :=of]*(?P<n>{PLAIN})|(?P<m>{PLAIN})\ ?(?:mg)?[^,;]{{0,14}}so2", gate="so2"),
    "chloride": Pattern(
        lambda _: rf"chlorides?[ :=of]*(?P<n>{PLAIN})|(?P<m>{PLAIN})\ ?(?:mg)?[^,;]{{0,14}}chlorides?", gate="chlorid"
    ),
    "torque_coefficient": Pattern(lambda _: r"\bk\ ?(?:factor|value)?(?:\ of)?\ ?=?\ ?(?P<n>0?\.[0-9]+)", gate="k"),
    "torque_set": Pattern(
        lambda _: (
            rf"tight(?:en|ened|ening)?\b[^,;?]{{0,25}}?\ (?:to|at|with)\ (?P<n>{PLAIN})(?![a-z0-9]|\ ?(?:%|ft|lb|foot))"
        ),
        gate="tight",
    ),
    "share_percent": Pattern(lambda _: rf"(?P<n>{PLAIN})\ ?(?:%|percent|per\ cent)", gate="%|per"),
}
_WANTED = Pattern(lambda w: rf"\b(?:in|as|into|to)\ (?P<t>{_unit(w)})(?![a-z])", gate="in|as|to")
_MIL_UM = 25.4
_TEMPERATURES = ("C", "F")


def _unit(w: Lexicon) -> str:
    return rf"(?:°?\ ?(?:{w('unit')})|\")"


def conversion(lexicon: Lexicon, text: str, units: Mapping[str, str]) -> dict[str, str] | None:
    """What a unit conversion asked for in the line converts, or None; `units` gives the unit of a spelling.

    >>> lexicon = Lexicon({"unit": ["inch", "microns"]})
    >>> conversion(lexicon, "0.0005 inch in microns", {"inch": "inch", "microns": "um"})
    {'value': '0.0005', 'unit': 'inch', 'unit_wanted': 'um'}
    """
    m = lexicon.search(_CONVERSION, text)
    if m is None:
        return None
    n, told, wanted = (m["n"], m["u"], m["t"]) if m["n"] else (m["n2"], m["u2"], m["t2"])
    a, b = units.get(unit_key(told), ""), units.get(unit_key(wanted), "")
    if a == b or not a or not b or (a in _TEMPERATURES) != (b in _TEMPERATURES):
        return None
    return {"value": n, "unit": a, "unit_wanted": b}


def unit_wanted(lexicon: Lexicon, text: str, units: Mapping[str, str]) -> str:
    """The unit in which a figure is wanted ("in foot pounds"); empty when none is named.

    >>> unit_wanted(Lexicon({"unit": ["foot pounds", "mil"]}), "and in foot pounds", {"footpounds": "lbf.ft"})
    'lbf.ft'
    """
    m = lexicon.search(_WANTED, text)
    return units.get(unit_key(m["t"]), "") if m else ""


def unit_key(spelling: str) -> str:
    """A spelling of a unit without what people leave out.

    >>> unit_key("Ft-Lbs"), unit_key("° C"), unit_key('"')
    ('ftlbs', 'c', 'inch')
    """
    return "inch" if spelling.strip() == '"' else re.sub(r"[^a-z0-9/]", "", spelling.lower())


def thickness_um(lexicon: Lexicon, text: str) -> str:
    """A layer thickness named in the line, in micrometres; empty when none."""
    m = lexicon.search(_MICRONS, text)
    if m:
        return m["n"]
    m = lexicon.search(_MILS, text)
    return f"{float(m['n']) * _MIL_UM:g}" if m else ""


def figures_beside(lexicon: Lexicon, text: str) -> dict[str, str]:
    """What only calculations ask for, as told: thickness, climate, torque coefficient, share of the yield."""
    out = {"thickness_um": thickness_um(lexicon, text)}
    for name, pattern in _FIGURES.items():
        m = lexicon.search(pattern, text)
        if m:
            out[name] = m["n"] or m.groupdict().get("m") or ""
    return {name: told for name, told in out.items() if told}
