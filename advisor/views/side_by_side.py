"""Two or three finishes side by side in a small table: verdict, life, price, hours, heat, and what decides."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from advisor.graph.base import Base
from advisor.reasoning.explain import Side
from advisor.views.aloud import first_sentence
from advisor.views.figure_words import round_factor, span, years_span
from advisor.views.layout import cells, wrap
from advisor.views.sources import Sources

LABEL = 12
LEAST_COLUMN = 22
ROWS = ("life_years", "relative_cost", "salt_spray_red_h", "thickness_um", "friction", "temperature_limit_c")
MOST_REASONS = 1


def side_by_side(base: Base, sides: Sequence[Side], width: int) -> list[str]:
    """The table where the window holds it, else one finish after another; the sources of what decides below."""
    sources = Sources(base, full=False)
    rows = [row for row in _rows(base, sides, sources) if any(row[1:])]
    column = (width - LABEL) // len(sides)
    if column >= LEAST_COLUMN:
        out = [line for row in rows for line in _row(row, column)]
    else:
        out = [
            line
            for n in range(1, len(sides) + 1)
            for row in rows
            for line in wrap(row[n] if not row[0] else f"{row[0]}: {row[n]}" if row[n] else "", width, "    ", "  ")
            if line.strip()
        ]
    listed = sources.listed(width)
    return [*out, base.phrase("say-citations-intro"), *listed] if listed else out


def _rows(base: Base, sides: Sequence[Side], sources: Sources) -> list[list[str]]:
    rows = [["", *(base.families[s.family].name for s in sides)]]
    rows.append([base.phrase("side-verdict"), *(_verdict(base, s) for s in sides)])
    for quantity in ROWS:
        name = base.phrase("side-" + quantity.replace("_", "-"))
        rows.append([name, *(_figure(base, s, quantity) for s in sides)])
    reasons = [[first_sentence(r.text) + sources.mark(r.cites, 2) for r in s.reasons[:MOST_REASONS]] for s in sides]
    for n, texts in enumerate(zip_longest(*reasons, fillvalue="")):
        rows.append([base.phrase("side-because") if n == 0 else "", *texts])
    return rows


def _verdict(base: Base, s: Side) -> str:
    return base.phrase(f"say-side-{s.state}", rank=s.rank) if s.state == "in" else base.phrase(f"say-side-{s.state}")


def _figure(base: Base, s: Side, quantity: str) -> str:
    f = s.figures.get(quantity)
    if f is None or f.high <= 0:
        return ""
    if quantity == "life_years":
        return base.phrase("side-years", value=years_span(f.low, f.high))
    if quantity == "relative_cost":
        return base.phrase("side-price", value=round_factor(f.low, f.high))
    return f"{span(f.low, f.high)} {f.unit}".strip()


def _row(row: list[str], column: int) -> list[str]:
    """One row as lines; every cell wraps in its own column."""
    columns = [wrap(text, column - 2) if text else [""] for text in row[1:]]
    out: list[str] = []
    for n, texts in enumerate(zip_longest(*columns, fillvalue="")):
        label = row[0] if n == 0 else ""
        line = label + " " * max(1, LABEL - cells(label))
        line += "".join(t + " " * (column - cells(t)) for t in texts)
        out.append(line.rstrip())
    return out
