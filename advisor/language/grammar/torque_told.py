"""Grammar of a demanded friction range and of a demanded torque."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.language.found import Found, number
from advisor.language.grammar.elements import COEFFICIENT
from advisor.language.grammar.lexicon import Lexicon, Pattern

_FRICTION = Pattern(
    lambda w: (
        rf"""(?:\b(?:mu|u|{w("friction-coefficient")})\b [ a-z:=_,]{{0,22}}?)
        (?P<a>{COEFFICIENT}) (?:\ ?(?:-|to|bis|\.\.|and|/)\ ?(?P<b>{COEFFICIENT}))?
      | (?<![0-9.]) (?P<a2>{COEFFICIENT}) \ ?(?:-|to)\ ? (?P<b2>{COEFFICIENT})\ (?:mu\b|friction|coefficient)"""
    ),
    gate=".",
)
_TORQUE = Pattern(
    lambda w: (
        r"""(?<![0-9./]) (?P<n>[0-9]{1,4}(?:\.[0-9]{1,2})?) \ ?-?
        (?: (?P<nm>n\ ?[.-]?\ ?m\b | newton[ -]?met(?:er|re)s?)
          | (?P<ftlb>lbf?[ .-]?ft\b | ft[ .-]?lbf?s?\b | foot[ -]?pounds?\b | pounds?[ -]f(?:oo|ee)t)
          | (?P<inlb>in[ .-]?lbf?s?\b | lbf?[ .-]?in\b | inch[ -]?pounds?) )"""
    ),
    gate="nm|n.m|n-m|newton|lb|pound|m",
)
_LEAST_FRICTION, _MOST_FRICTION = 0.02, 0.6


def friction_and_torque(lexicon: Lexicon, text: str, newton_metres: Mapping[str, float]) -> list[Found]:
    """A demanded friction range and a demanded torque in N·m; `newton_metres` of one lbf.ft and one lbf.in."""
    out: list[Found] = []
    for m in lexicon.finditer(_FRICTION, text):
        a, b = (m["a"], m["b"]) if m["a"] else (m["a2"], m["b2"])
        low, high = sorted((float(a), float(b or a)))
        if _LEAST_FRICTION <= float(a) <= _MOST_FRICTION:
            out.append(Found(m.start(), m.end(), "friction_window", [low, high]))
    for m in lexicon.finditer(_TORQUE, text):
        unit = "" if m["nm"] else "lbf.ft" if m["ftlb"] else "lbf.in"
        torque = float(m["n"]) * newton_metres.get(unit, 1.0)
        out.append(Found(m.start(), m.end(), "torque_nm", number(f"{torque:.4g}")))
    return out
