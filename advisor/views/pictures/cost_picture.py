"""Price against life of the candidates: what more money buys."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.reasoning.advice import Recommended
from advisor.views.figure_words import span, years_span
from advisor.views.pictures.drawn_shapes import Box, Drawing, Label, Picture, Scale, Shape, Stroke, axis, fitted, steps

WIDTH, LEFT, TOP, FLOOR = 280.0, 34.0, 18.0, 104.0
LEAST = 6.0
KEY_ROW = 13.0


def cost_picture(base: Base, shown: tuple[Recommended, ...]) -> Picture | None:
    """None with fewer than two candidates that have both figures: there is nothing to weigh."""
    both = [r for r in shown if "life_years" in r.figures and "relative_cost" in r.figures]
    if len(both) < 2:
        return None
    say = base.phrase
    prices = steps(max(r.figures["relative_cost"].high for r in both))
    years = steps(max(r.figures["life_years"].high for r in both), 5)
    across = Scale(0, prices[-1], LEFT, WIDTH - 12)
    up = Scale(0, years[-1], 0, FLOOR - TOP)
    shapes: list[Shape] = axis(across, FLOOR, prices, say("report-axis-price"))
    shapes.append(Stroke(((LEFT, TOP), (LEFT, FLOOR)), "axis"))
    for v in years:
        y = FLOOR - up.at(v)
        shapes += [Stroke(((LEFT - 4, y), (LEFT, y)), "tick"), Label(LEFT - 7, y + 4, f"{v:g}", "small", "end")]
    shapes.append(Label(4, 10, say("report-axis-life"), "small"))
    texts: list[str] = []
    for n, r in enumerate(both):
        price, life = r.figures["relative_cost"], r.figures["life_years"]
        x, y = across.at(price.low), FLOOR - up.at(life.high)
        wide, high = max(LEAST, across.at(price.high) - x), max(LEAST, FLOOR - up.at(life.low) - y)
        shapes.append(Box(x, y, wide, high, "first" if r.rank == 1 else "other"))
        shapes.append(Label(x + wide - 4 - 14 * (n % 2), y + 13, str(r.rank), "strong", "end"))
        name = base.families[r.ranked.family].name
        value = say("report-price-life", price=span(price.low, price.high), life=years_span(life.low, life.high))
        texts.append(say("report-picture-pair", name=name, value=value))
        key = fitted(f"{r.rank}. {name}", WIDTH - 12, "small")
        shapes.append(Label(8, FLOOR + 43 + n * KEY_ROW, key, "small"))
    return Picture(
        "cost",
        say("report-picture-cost"),
        say("report-picture-cost-text", listed="; ".join(texts)),
        Drawing(WIDTH, FLOOR + 38 + len(both) * KEY_ROW, tuple(shapes)),
        tuple(
            (base.families[r.ranked.family].name, r.figures["relative_cost"].low, r.figures["relative_cost"].high, "x")
            for r in both
        ),
    )
