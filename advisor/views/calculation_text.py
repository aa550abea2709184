"""A calculation as text: the result and what it means, the method, warnings, sources, closing."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.views.layout import bullets, wrap
from advisor.views.reckoned import in_one_line
from advisor.views.sources import Sources

MOST_MARKS = 12


def calculation_text(base: Base, c: Calculation, width: int) -> list[str]:
    """A calculation: its result in one line, its lines, the method, cautions and sources."""
    sources = Sources(base, full=False)
    marks = sources.mark(c.cites, MOST_MARKS)
    said = in_one_line(base, c)
    out = [*wrap(said, width), ""] if said else []
    out += [x for line in c.lines for x in wrap(line, width, "  ")]
    out += ["", *wrap(base.phrase("say-method", method=c.method) + marks, width)]
    warned = [base.cautions[i] for i in c.cautions if i in base.cautions]
    if warned:
        out += ["", base.phrase("say-cautions-intro")]
    for n in warned:
        severity = base.phrase(f"say-severity-{n.severity}")
        out += bullets([base.phrase("say-caution-line", severity=severity, text=n.text)], width)
    listed = sources.listed(width)
    if listed:
        out += ["", base.phrase("say-citations-intro"), *listed]
    return [*out, "", *wrap(base.phrase("look-closing"), width)]
