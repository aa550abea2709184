"""The causes of a trouble with how much was told for each and against it."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.reasoning.diagnosis import WEIGHTS, Diagnosis, Weighed
from advisor.views.pictures.drawn_shapes import Box, Drawing, Label, Picture, Scale, Shape, Stroke, fitted

WIDTH, ROW, TOP = 740.0, 26.0, 24.0
NAMES, MIDDLE = 330.0, 480.0
MOST_CAUSES = 8


def causes_picture(base: Base, found: Diagnosis) -> Picture | None:
    """None where nothing was told that speaks for or against a cause."""
    shown = found.causes[:MOST_CAUSES]
    if not any(w.signs_for or w.signs_against for w in shown):
        return None
    say = base.phrase
    most = max([2.0, *(max(sum_of(w, True), sum_of(w, False)) for w in shown)])
    pro, con = Scale(0, most, 0, WIDTH - MIDDLE - 90), Scale(0, most, 0, MIDDLE - NAMES - 10)
    bottom = TOP + len(shown) * ROW
    shapes: list[Shape] = [
        Label(MIDDLE - 8, 13, say("report-axis-against"), "small", "end"),
        Label(MIDDLE + 8, 13, say("report-axis-for"), "small"),
    ]
    texts: list[str] = []
    for n, w in enumerate(shown):
        y = TOP + n * ROW
        word = say(f"trouble-{w.likelihood}")
        shapes.append(Label(6, y + 14, fitted(w.cause.name, NAMES - 12)))
        right, left = pro.at(sum_of(w, True)), con.at(sum_of(w, False))
        if right:
            shapes.append(Box(MIDDLE, y + 4, right, 13, "first"))
        if left:
            shapes.append(Box(MIDDLE - left, y + 4, left, 13, "other"))
        shapes.append(Label(MIDDLE + right + 8, y + 15, word, "small"))
        value = say("report-weighed", pro=f"{sum_of(w, True):g}", con=f"{sum_of(w, False):g}", word=word)
        texts.append(say("report-picture-pair", name=w.cause.name, value=value))
    shapes.append(Stroke(((MIDDLE, TOP), (MIDDLE, bottom)), "axis"))
    return Picture(
        "causes",
        say("report-picture-causes"),
        say("report-picture-causes-text", listed="; ".join(texts)),
        Drawing(WIDTH, bottom + 6, tuple(shapes)),
        tuple((w.cause.name, -sum_of(w, False), sum_of(w, True), "") for w in shown),
        wide=True,
    )


def sum_of(w: Weighed, speaks_for: bool) -> float:
    """The weight of what was told for a cause, or against it: a strong sign counts twice."""
    return sum(WEIGHTS[e.weight] for e in (w.signs_for if speaks_for else w.signs_against))
