"""The torque that is set, and the clamp load it gives from low to high against proof load and yield of the bolt."""

from __future__ import annotations

from advisor.calculations.joint import read_joint
from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.views.pictures.drawn_shapes import Box, Drawing, Label, Picture, Scale, Shape, Stroke, axis, steps

WIDTH, MARGIN = 280.0, 8.0
TEN = 10
BAR_TOP, BAR_HEIGHT, FLOOR = 82.0, 18.0, 112.0


def torque_picture(base: Base, worked: Calculation) -> Picture | None:
    """None where no clamp load came out."""
    preload = worked.results.get("preload_kn")
    torques = worked.results.get("torque_nm")
    area = worked.results.get("stress_area_mm2")
    if not isinstance(preload, list) or not isinstance(torques, list) or not isinstance(area, (int, float)):
        return None
    say = base.phrase
    low, high = float(preload[0]), float(preload[-1])
    joint = read_joint(base, {k: str(v) for k, v in worked.inputs.items() if k in ("size", "strength", "head")})
    # loads in kN from stresses in MPa on the stress area in mm²
    limits = [
        (say(f"report-limit-{name}"), mpa * float(area) / 1000)
        for name, mpa in (("proof", joint.grade.proof_mpa), ("yield", joint.grade.yield_mpa))
        if mpa is not None
    ]
    values = steps(max([high, *(kn for _, kn in limits)]))
    scale = Scale(0, values[-1], MARGIN, WIDTH - 2 * MARGIN)
    x, end = scale.at(low), scale.at(high)
    set_nm = float(worked.results.get("torque_to_set_nm", torques[0]))  # type: ignore[arg-type]
    set_line = say("report-torque-set", torque=f"{set_nm:.0f}" if set_nm >= TEN else f"{set_nm:.1f}")
    shapes: list[Shape] = [Label(MARGIN, 13, set_line, "strong"), *axis(scale, FLOOR, values, say("report-axis-load"))]
    shapes.append(Box(x, BAR_TOP, max(2.0, end - x), BAR_HEIGHT, "first"))
    inside = say("report-clamp", low=f"{low:.3g}", high=f"{high:.3g}")
    shapes.append(Label(MARGIN, BAR_TOP - 7, inside))
    texts: list[str] = []
    for n, (name, kn) in enumerate(limits):
        at = scale.at(kn)
        text = say("report-limit", name=name, load=f"{kn:.3g}")
        texts.append(text)
        y = 44.0 - 14 * n  # the lower limit stands below: no line runs through the words of another
        shapes += [Stroke(((at, y + 4), (at, FLOOR)), "limit"), Label(at + 3, y + 1, text, "small", "end")]
    return Picture(
        "torque",
        say("report-picture-torque"),
        say("report-picture-torque-text", set=set_line, clamp=inside, limits="; ".join(texts)),
        Drawing(WIDTH, FLOOR + 34, tuple(shapes)),
        ((say("report-figure-clamp"), low, high, "kN"), *((name, kn, kn, "kN") for name, kn in limits)),
    )
