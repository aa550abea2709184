"""Grammar of measured hardness (HRC, HV, HB) and of tensile strengths told in place of a class."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence

from advisor.language.found import Found, number
from advisor.language.grammar.elements import NUMBER
from advisor.language.grammar.lexicon import Lexicon, Pattern

Scales = Mapping[str, Sequence[Sequence[float]]]
"""For each unit (hv, hb, tensile_mpa) pairs with Rockwell C in rising order."""

_HRC = Pattern(
    lambda _: (
        r"""\b(?:hrc|rc|rockwell\ ?c?|rockwell\ hardness(?:\ of)?) [ :=-]* (?P<n>[2-6][0-9](?:\.[0-9])?)\b
      | (?<![0-9./]) (?P<n2>[2-6][0-9](?:\.[0-9])?) \ ?(?:-|to)?\ ? (?P<n3>[2-6][0-9])?
        \ ? (?:hrc|rc\b|rockwell|hr\ c)"""
    ),
    gate="rc|rockwell|hr",
)
_HV = Pattern(
    lambda _: (
        r"""(?<![0-9./]) (?P<n>[1-7][0-9]{2}) \ ?(?:h\.?v\.?(?:[0-9]{1,2})?|vickers|vpn)\b (?!\ set)
      | \b(?:hv|vickers|hardness) [ :=]* (?:of\ )? (?P<n2>[1-7][0-9]{2})\b (?!\ ?(?:hb|hours|h\b|brinell|mpa))"""
    ),
    gate="v|hardness",
)
_HB = Pattern(
    lambda _: (
        r"""(?<![0-9./]) (?P<n>[1-6][0-9]{2}) \ ?(?:h\.?b\.?w?|brinell|bhn)\b
      | \b(?:hb|brinell) [ :=]* (?P<n2>[1-6][0-9]{2})\b"""
    ),
    gate="hb|h.b|brinell|bhn",
)
_TENSILE = Pattern(
    lambda _: rf"""(?P<n>{NUMBER})\ ?(?P<u>n/mm2|n/sq\ mm|mpa|ksi|psi)\b""",
    gate="n/|mpa|ksi|psi",
)
TENSILE_READ = 700.0, 2600.0
"""Strengths in MPa taken for the tensile strength of a fastener; below them stands a pressure or a mild steel."""


def hardness(lexicon: Lexicon, text: str, scales: Scales, mpa: Mapping[str, float]) -> list[Found]:
    """Measured hardness as HRC, whatever it is told in; without the scale of its unit it is only noticed.

    A figure beyond the end of a scale counts as its hardest steel, one below the beginning as soft. `mpa` gives the
    MPa of one unit of strength.
    """
    out = [
        Found(m.start(), m.end(), "hardness_hrc", number(m["n3"] or m["n2"] or m["n"]))
        for m in lexicon.finditer(_HRC, text)
    ]
    told: list[tuple[re.Match[str], str, float]] = []
    told += [(m, "hv", float(m["n"] or m["n2"])) for m in lexicon.finditer(_HV, text)]
    told += [(m, "hb", float(m["n"] or m["n2"])) for m in lexicon.finditer(_HB, text)]
    strengths = ((m, float(m["n"]) * mpa.get(m["u"], 1.0)) for m in lexicon.finditer(_TENSILE, text))
    told += [(m, "tensile_mpa", s) for m, s in strengths if TENSILE_READ[0] <= s <= TENSILE_READ[1]]
    for m, unit, figure in told:
        hrc = rockwell_of(scales.get(unit, ()), figure)
        if hrc is not None:
            out.append(Found(m.start(), m.end(), "hardness_hrc", hrc, 0.95, slug="hardness-converted"))
        elif unit != "tensile_mpa":
            slug = "hardness-vickers" if unit == "hv" else "hardness-brinell"
            out.append(Found(m.start(), m.end(), slug=slug, candidates=(figure,)))
    return out


def rockwell_of(scale: Sequence[Sequence[float]], figure: float) -> int | float | None:
    """HRC between the pairs of a scale; None below its beginning.

    >>> rockwell_of(((1250.0, 40.0), (1300.0, 41.0)), 1250.0), rockwell_of(((1250.0, 40.0), (1300.0, 41.0)), 9000.0)
    (40, 41)
    """
    if not scale:
        return None
    figure = min(figure, scale[-1][0])
    for (a, hrc_a), (b, hrc_b) in itertools.pairwise(scale):
        if a <= figure <= b:
            return number(f"{hrc_a + (hrc_b - hrc_a) * (figure - a) / (b - a):.1f}")
    return None
