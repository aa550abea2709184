"""Grammar of distances from a place: "50 miles from any sea" denies the sea, "400 metres from the sea" does not."""

from __future__ import annotations

from advisor.language.found import Found
from advisor.language.grammar.elements import NUMBER
from advisor.language.grammar.lexicon import Lexicon, Pattern

_DISTANCE = Pattern(
    lambda w: rf"""(?P<n>{NUMBER})\ ?(?:(?P<far>{w("distance-far")})|(?:{w("distance-kilometre")}))\b""",
    gate="k|mile|mi|mei",
)
_SALT_WATER = Pattern(lambda w: rf"\b(?:{w('salt-water-word')})\b")
FAR_KM = 8.0
"""From here on the air is that of the land, whatever coast is named."""
_MILE_KM = 1.6
_AROUND = 45
"""Characters around a distance within which the sea has to be named."""


def far_from_the_sea(lexicon: Lexicon, text: str) -> list[Found]:
    """Distances that deny the salt water named beside them, before and behind."""
    out = []
    for m in lexicon.finditer(_DISTANCE, text):
        km = float(m["n"]) * (_MILE_KM if m["far"] else 1.0)
        if km >= FAR_KM and lexicon.search(_SALT_WATER, text[max(0, m.start() - _AROUND) : m.end() + _AROUND]):
            out += [Found(m.start(), m.end(), intent=intent) for intent in ("negation", "negation-after")]
    return out
