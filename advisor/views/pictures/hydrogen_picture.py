"""How hard the class may be, against the hardness from which hydrogen is dangerous."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.views.pictures.drawn_shapes import Box, Drawing, Label, Picture, Scale, Shape, Stroke, axis, in_lines

WIDTH, MARGIN, FLOOR = 280.0, 8.0, 112.0
BAR_TOP, BAR_HEIGHT = 80.0, 18.0
SOFTEST, HARDEST, STEP = 20, 50, 5
"""Ends of the axis in HRC: softer steel is out of danger, and bolts are not harder."""


def hydrogen_picture(base: Base, worked: Calculation) -> Picture | None:
    """None where the hardness is not known in Rockwell C."""
    hrc = worked.results.get("hardness_hrc")
    if not isinstance(hrc, list) or not isinstance(hrc[-1], (int, float)):
        return None
    say = base.phrase
    high = float(hrc[-1])
    low = float(hrc[0]) if isinstance(hrc[0], (int, float)) else float(SOFTEST)
    scale = Scale(SOFTEST, HARDEST, MARGIN, WIDTH - 2 * MARGIN)
    lines = limits_hrc(base)
    name = str(worked.inputs.get("strength") or say("report-measured"))
    bar = say("report-hardness", name=name, low=f"{low:g}", high=f"{high:g}")
    x, end = scale.at(low), scale.at(high)
    shapes: list[Shape] = axis(scale, FLOOR, range(SOFTEST, HARDEST + 1, STEP), say("report-axis-hrc"))
    danger = scale.at(lines[-1][0]) if lines else WIDTH
    shapes.append(Box(danger, BAR_TOP - 8, scale.end - danger, BAR_HEIGHT + 16, "danger", 0))
    shapes.append(Box(x, BAR_TOP, max(3.0, end - x), BAR_HEIGHT, "first"))
    shapes.append(Label(MARGIN, BAR_TOP + 13, bar, "strong"))
    texts: list[str] = []
    for n, (limit, says) in enumerate(lines):
        at = scale.at(limit)
        text = say("report-hydrogen-limit", limit=f"{limit:g}", says=says)
        texts.append(text)
        y = 42.0 - 28 * n  # the lower limit stands below: no line runs through the words of another
        shapes.append(Stroke(((at, y - 8), (at, FLOOR)), "limit"))
        shapes += [
            Label(at - 5, y + 12 * k, line, "small", "end")
            for k, line in enumerate(in_lines(text, at - 10, 2, "small"))
        ]
    return Picture(
        "hydrogen",
        say("report-picture-hydrogen"),
        say("report-picture-hydrogen-text", bar=bar, limits="; ".join(texts)),
        Drawing(WIDTH, FLOOR + 34, tuple(shapes)),
        ((name, low, high, "HRC"), *((says, limit, limit, "HRC") for limit, says in lines)),
    )


def limits_hrc(base: Base) -> list[tuple[float, str]]:
    """The steps of the ladder from which a steel is at moderate and at high risk, as (HRC, risk in a word)."""
    found: dict[str, float] = {}
    for row in base.table("hydrogen-zones").records():
        risk, hrc = str(row["susceptibility"]), row["hrc"]
        if isinstance(hrc, (int, float)) and hrc > SOFTEST and risk not in found and risk in RISKS:
            found[risk] = float(hrc)
    return [(found[risk], base.phrase(f"report-risk-{risk}")) for risk in RISKS if risk in found]


RISKS = ("moderate", "high")
