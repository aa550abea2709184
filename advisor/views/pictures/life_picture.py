"""Years to first rust of each candidate at the site, against the life that was wanted."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.reasoning.advice import Advice, Recommended
from advisor.trade.zinc_life import CAP_YEARS
from advisor.views.figure_words import years_span
from advisor.views.pictures.drawn_shapes import (
    Box,
    Drawing,
    Label,
    Picture,
    Scale,
    Shape,
    Stroke,
    axis,
    fitted,
    steps,
    width_of,
)

WIDTH, ROW, TOP, MARGIN = 280.0, 28.0, 22.0, 8.0
FIGURE = "life_years"


def life_picture(base: Base, advice: Advice, shown: tuple[Recommended, ...]) -> Picture | None:
    """None where no candidate has a figure of years."""
    rated = [r for r in shown if FIGURE in r.figures]
    if not rated:
        return None
    say = base.phrase
    told = advice.case.told.get(FIGURE)
    wanted = float(told) if isinstance(told, (int, float)) else None
    values = steps(max([r.figures[FIGURE].high for r in rated] + ([wanted] if wanted else [])))
    scale = Scale(0, values[-1], MARGIN, WIDTH - 2 * MARGIN)
    bottom = TOP + len(shown) * ROW
    shapes: list[Shape] = axis(scale, bottom, values, say("report-axis-years"))
    texts: list[str] = []
    for n, r in enumerate(shown):
        y = TOP + n * ROW
        name = base.families[r.ranked.family].name
        f = r.figures.get(FIGURE)
        span = years_span(f.low, f.high) if f else say("report-life-unrated")
        texts.append(say("report-picture-pair", name=name, value=span))
        value = span if f else say("report-life-no-figure")
        room = WIDTH - 3 * MARGIN - width_of(value)
        shapes += [
            Label(MARGIN, y + 10, fitted(f"{r.rank}. {name}", room)),
            Label(WIDTH - MARGIN, y + 10, value, "words", "end"),
        ]
        if f is not None:
            x, end = scale.at(f.low), scale.at(f.high)
            shapes.append(Box(x, y + 14, max(2.0, end - x), 8, "first" if r.rank == 1 else "bar"))
            if f.high >= CAP_YEARS:
                shapes.append(Label(end + 2, y + 22, "+", "strong"))
    wish = say("report-life-not-wanted")
    if wanted is not None:
        x = scale.at(wanted)
        # below the words, which stand clear of it
        shapes.insert(0, Stroke(((x, TOP - 6), (x, bottom)), "wish"))
        text = say("report-wanted", count=f"{wanted:g}")
        shapes.append(Label(x, TOP - 9, text, "strong", "end" if x > WIDTH / 2 else "start"))
        wish = say("report-life-wanted", count=f"{wanted:g}")
    return Picture(
        "life",
        say("report-picture-life"),
        f"{say('report-picture-life-text', listed='; '.join(texts))} {wish}",
        Drawing(WIDTH, bottom + 32, tuple(shapes)),
        tuple((base.families[r.ranked.family].name, r.figures[FIGURE].low, r.figures[FIGURE].high, "a") for r in rated),
    )
