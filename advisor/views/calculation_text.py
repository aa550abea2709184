"""A calculation as text: the result and what it means, the method, warnings, sources, closing."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.views.aloud import first_sentence
from advisor.views.layout import bullets, wrap
from advisor.views.one_look import Lines, part_lines
from advisor.views.reckoned import in_one_line
from advisor.views.sources import Sources

MOST_MARKS = 12
MOST_LOOKED = 19
"""Lines of a calculation on one screen, where more is kept back."""


def calculation_look(base: Base, c: Calculation, width: int) -> list[str]:
    """A calculation on one screen: the result, warnings, as many of its figures as fit, the method in a sentence."""
    said = in_one_line(base, c)
    out = [*wrap(said, width), ""] if said else []
    method = wrap(base.phrase("say-method", method=first_sentence(c.method).split("; ")[0].rstrip(".")), width)
    warned = [base.cautions[i] for i in c.cautions if i in base.cautions]
    mind = [x for n in warned for x in part_lines(Lines(_label(base, n.severity), (first_sentence(n.text),)), width)]
    tail = [*mind, *method, *wrap(base.phrase("worked-more"), width), *wrap(base.phrase("look-closing"), width)]
    figures: list[str] = []
    for line in c.lines:
        wrapped = wrap(line, width, "  ")
        if figures and len(out) + len(figures) + len(wrapped) + 1 + len(tail) > MOST_LOOKED:
            break
        figures += wrapped
    while figures and figures[-1].endswith(":"):
        figures.pop()  # what it announces did not fit
    return [*out, *figures, "", *tail]


def _label(base: Base, severity: str) -> str:
    return base.phrase("look-stop" if severity == "stop" else "look-mind")


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
