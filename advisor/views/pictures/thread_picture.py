"""The room that the thread leaves and the room that the coat takes, on the pitch diameter."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.trade.coating_fit import PITCH_FACTOR
from advisor.views.pictures.drawn_shapes import Box, Drawing, Label, Picture, Scale, Shape, Stroke, axis, steps

WIDTH, MARGIN, FLOOR = 280.0, 8.0, 116.0
PITCH, DEPTH, CREST = 29.0, 18.0, 12.0


def thread_picture(base: Base, worked: Calculation) -> Picture | None:
    """None where allowance or thickness did not come out."""
    results = worked.results
    room, thickness = results.get("allowance_um"), results.get("thickness_um")
    if not isinstance(room, (int, float)) or not isinstance(thickness, (int, float)):
        return None
    say = base.phrase
    need = PITCH_FACTOR * thickness
    values = steps(max(room, need))
    scale = Scale(0, values[-1], MARGIN, WIDTH - 2 * MARGIN)
    name = str(results.get("class", ""))
    lines = (
        say("report-room", thread=name, room=f"{room:g}"),
        say("report-coat-takes", need=f"{need:g}", factor=PITCH_FACTOR, thickness=f"{thickness:g}"),
    )
    shapes: list[Shape] = [*_profile(), *axis(scale, FLOOR, values, say("report-axis-pitch"))]
    for n, (text, um, role) in enumerate(((lines[0], room, "room"), (lines[1], need, "coat"))):
        y = 50.0 + n * 33
        shapes += [Label(MARGIN, y, text), Box(MARGIN, y + 6, max(1.0, scale.at(um) - MARGIN), 12, role)]
    verdict = say(f"report-fit-{results.get('verdict')}")
    return Picture(
        "thread",
        say("report-picture-thread"),
        say("report-picture-thread-text", room=lines[0], coat=lines[1], verdict=verdict, remedy=results.get("remedy")),
        Drawing(WIDTH, FLOOR + 34, tuple(shapes)),
        ((say("report-figure-room"), room, room, "µm"), (say("report-figure-coat"), need, need, "µm")),
    )


def _profile() -> list[Shape]:
    """A few turns of a thread with the coat upon it, not to scale."""
    flank = [(MARGIN + n * PITCH / 2, CREST + (n % 2) * DEPTH) for n in range(19)]
    above = tuple((x, y - 5) for x, y in flank)
    return [Stroke(tuple(flank), "profile"), Stroke(above, "coat-line")]
