"""Grammar of a wished life in years; a life that is over ("rusted after four years") is no wish."""

from __future__ import annotations

from advisor.language.found import Found, number
from advisor.language.grammar.elements import NUMBER
from advisor.language.grammar.lexicon import Lexicon, Pattern

_YEARS = Pattern(
    lambda w: (
        rf"""(?P<n>{NUMBER}) (?P<plus>\ ?\+)?
        (?: \ ?(?:-|to|or|bis)\ ? (?P<n2>[0-9]{{1,3}}) )?
        \ ?-? (?P<u>{w("year", "decade", "month")}|y(?![a-z])|a(?=\ life)) (?![a-z])"""
    )
)
_OVER_BEFORE = Pattern(lambda w: rf"""\b(?:{w("life-over-before")}) \ ? (?:{w("about")})? \ ? \Z""")
_OVER_AFTER = Pattern(lambda w: rf"""[ -]? (?:{w("life-over-after")}) \b""")
_WISH_BEFORE = Pattern(lambda w: rf"""(?:{w("life-wish")}) [ a-z]{{0,14}} \Z""")
_BARE_WISH = Pattern(
    lambda w: (
        rf"""\b(?:{w("life-wish-bare")}) \ (?:for\ |at\ least\ |about\ |another\ |(?:them|it)\ to\ last\ |to\ last\ )*
        (?P<n>[1-9][0-9]?) (?=\ ?(?:\Z|[,.;!?\n]|this\ time|instead|next\ time|or\ more|plus|now))"""
    )
)
LONGEST_YEARS = 200


def life_in_years(lexicon: Lexicon, text: str, answering: str | None) -> list[Found]:
    """The wished life in years, and lives that are over as the circumstance `failed-life`."""
    out = []
    for m in lexicon.finditer(_YEARS, text):
        over = _over(lexicon, text, m.start(), m.end(), answering)
        if over:
            out.append(Found(m.start(), m.end(), slug="failed-life"))
            continue
        years = _in_years(lexicon, float(m["n2"] or m["n"]), m["u"])
        months = m["u"].startswith("mon")
        if months and answering != "life_years" and not lexicon.ends(_WISH_BEFORE, text, m.start()):
            continue
        if 0 < years <= LONGEST_YEARS:
            out.append(Found(m.start(), m.end(), "life_years", number(f"{years:.2f}")))
    if out and not any(f.slot for f in out):
        # "gone within 2 years, must last 20": the unit is not said twice
        bare = lexicon.finditer(_BARE_WISH, text)
        out.extend(Found(m.start("n"), m.end("n"), "life_years", number(m["n"]), 0.9) for m in bare)
    return out


def _over(lexicon: Lexicon, text: str, start: int, end: int, answering: str | None) -> bool:
    """Whether the words around a span of years tell a life that is over."""
    before = lexicon.ends(_OVER_BEFORE, text, start)
    after = lexicon.match(_OVER_AFTER, text, end) is not None
    if not before and not after:
        return False
    wished = before is not None and lexicon.ends(_WISH_BEFORE, text, before.start())
    return not wished and (answering != "life_years" or after)


def _in_years(lexicon: Lexicon, n: float, unit: str) -> float:
    return n * 10 if unit.startswith("decade") else n / 12 if unit.startswith("mon") else n
