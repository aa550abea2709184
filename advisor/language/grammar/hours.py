"""Grammar of salt-spray hours with the colour of the rust that they run to."""

from __future__ import annotations

import re

from advisor.language.found import Found, number
from advisor.language.grammar.elements import NUMBER
from advisor.language.grammar.lexicon import Lexicon, Pattern

_TEST = Pattern(
    lambda w: (
        rf"""\b(?:
        (?:{w("salt-spray-test")}|w/?r|r/?r) \b
      | (?:{w("rust-colour-word")}|base\ metal) \ ? (?:rust|corrosion)
    )"""
    )
)
_HOURS = Pattern(
    lambda w: (
        rf"""(?P<n>{NUMBER}) (?P<k>\ ?k)?
        (?: \ ?(?:-|to|/)\ ? (?P<n2>[0-9]{{2,4}}) )?
        \ ?-? (?P<u>{w("hour")}) \b"""
    )
)
_COLOUR_AFTER = Pattern(
    lambda w: (
        rf"""[ ,.(-]*
        (?: (?:{w("between-hours-and-rust")}) [ ,.)-]* ){{0,9}}
        (?P<c>{w("rust-white", "rust-red")}|[wr]/?r\b)"""
    )
)
_COLOUR_BEFORE = Pattern(
    lambda w: (
        rf"""(?P<c>{w("rust-colour-word")}) (?:\ rust|\ corrosion|\ oxide)? [ :,=-]*
        (?: (?:{w("between-rust-and-hours")}) [ :,]* ){{0,4}} \Z"""
    )
)
_TO_COLOUR = Pattern(
    lambda w: (
        rf"""(?P<n>{NUMBER}) \ ? (?:h|hrs?|hours?)? \ ?
        (?:{w("until-rust")}) \ (?:first\ |any\ |the\ )?
        (?P<c>{w("rust-colour-word")}) \b"""
    )
)
_TEST_BEFORE = Pattern(
    lambda w: (
        rf"""(?:{w("salt-spray-head")}) [ :,=(-]*
        (?: (?:{w("between-test-and-hours")}) [ :,=-]* ){{0,4}} \Z"""
    )
)
_NUMBER_AND_TEST = Pattern(
    lambda w: (
        rf"""(?P<n>{NUMBER}) (?:\ ?(?P<k>k))? (?:\ ?(?:in|of))? \ (?:neutral\ )?
        (?:nss|sst|salt\ ?spray|salt\ ?fog|b117) \b"""
    )
)
_BARE = Pattern(lambda _: NUMBER)
_OTHER_HOURS_AFTER = Pattern(lambda w: rf"""\ ?(?:{w("hours-of-something-else")}|at\ [0-9]+\ ?°?c)|/7""")
_OTHER_HOURS_BEFORE = Pattern(lambda w: r"""bak\w*\ (?:[a-z]+\ )?(?:for\ |of\ )?\Z|within\ (?:about\ )?\Z""")
_RUNNING = Pattern(lambda w: rf"""{w("running-hours")}""")
_DOCUMENT_NUMBERS = ("9227", "117", "4042", "10683")
_LEAST_BARE = 72
"""Hours without a word of a test beside them are those of a test from here on."""
_LEAST_OF_A_TEST = 24


class _Told:
    """Hours told in a line: place, figure and colour of rust."""

    __slots__ = ("colour", "end", "hours", "start")

    def __init__(self, start: int, end: int, hours: int | float, colour: str) -> None:
        self.start, self.end, self.hours, self.colour = start, end, hours, colour


def salt_spray_hours(lexicon: Lexicon, text: str, answering: str | None) -> list[Found]:
    """Salt-spray hours, with the colour of the rust they run to; of two limits the one to red rust counts."""
    test = lexicon.search(_TEST, text) is not None
    told = _with_unit(lexicon, text, test or answering == "salt_spray_hours")
    for m in lexicon.finditer(_TO_COLOUR, text):
        if not any(t.start < m.end() and m.start() < t.end for t in told) and float(m["n"]) >= 6:
            told.append(_Told(m.start(), m.end(), number(m["n"]), m["c"]))
    if not told and test:
        told = _without_unit(lexicon, text)
    if not told:
        return []
    red = [t for t in told if t.colour and not _is_white(lexicon, t.colour)]
    best = red[-1] if red else told[-1] if len({t.colour for t in told}) == 1 else told[0]
    out = [Found(best.start, best.end, "salt_spray_hours", best.hours)]
    if best.colour:
        colour = "white" if _is_white(lexicon, best.colour) else "red"
        out.append(Found(best.start, best.end, "rust", colour))
    out.extend(Found(t.start, t.end, slug="second-salt-spray-limit") for t in told if t is not best)
    return out


def _with_unit(lexicon: Lexicon, text: str, of_a_test: bool) -> list[_Told]:
    out = []
    for m in lexicon.finditer(_HOURS, text):
        if lexicon.match(_OTHER_HOURS_AFTER, text, m.end()) or lexicon.ends(_OTHER_HOURS_BEFORE, text, m.start()):
            continue
        hours = _thousands(m["n2"] or m["n"], m["k"])
        after, before = lexicon.match(_COLOUR_AFTER, text, m.end()), lexicon.ends(_COLOUR_BEFORE, text, m.start())
        colour = after["c"] if after else before["c"] if before else ""
        if of_a_test or colour or (hours >= _LEAST_BARE and not lexicon.search(_RUNNING, text)):
            out.append(_Told(m.start(), after.end() if after else m.end(), hours, colour))
    return out


def _without_unit(lexicon: Lexicon, text: str) -> list[_Told]:
    """ "480 nss", "salt spray 240": the word of the test stands for the unit."""
    out = []
    for m in lexicon.finditer(_NUMBER_AND_TEST, text):
        after = lexicon.match(_COLOUR_AFTER, text, m.end())
        end, colour = (after.end(), after["c"]) if after else (m.end(), "")
        out.append(_Told(m.start(), end, _thousands(m["n"], m["k"]), colour))
    if out:
        return out
    for m in lexicon.finditer(_BARE, text):
        if m[0] in _DOCUMENT_NUMBERS or float(m[0]) < _LEAST_OF_A_TEST:
            continue
        if lexicon.ends(_TEST_BEFORE, text, m.start()):
            after = lexicon.match(_COLOUR_AFTER, text, m.end())
            return [_Told(m.start(), m.end(), number(m[0]), after["c"] if after else "")]
    return []


def _thousands(figure: str, k: str | None) -> int | float:
    return number(str(float(figure) * 1000)) if k and k.strip() else number(figure)


def _is_white(lexicon: Lexicon, colour: str) -> bool:
    return colour.startswith("w") or re.fullmatch(lexicon("rust-white"), colour) is not None
