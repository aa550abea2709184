"""A drawing as inline SVG: every colour comes from the style of the page, every word is escaped."""

from __future__ import annotations

from advisor.views.page_markup import Markup, tag
from advisor.views.pictures.drawn_shapes import Box, Label, Picture, Shape, Stroke


def svg_of(picture: Picture) -> Markup:
    """The picture with title and description, for eyes and for screen readers."""
    d = picture.drawing
    title, text = f"{picture.id}-title", f"{picture.id}-text"
    return tag(
        "svg",
        tag("title", picture.title, id=title),
        tag("desc", picture.text, id=text),
        *(_shape(s) for s in d.shapes),
        viewBox=f"0 0 {d.width:g} {d.height:g}",
        role="img",
        aria_labelledby=f"{title} {text}",
    )


def _shape(shape: Shape) -> Markup:
    match shape:
        case Box():
            place = {"x": _n(shape.x), "y": _n(shape.y), "width": _n(shape.width), "height": _n(shape.height)}
            return tag("rect", class_=shape.role, rx=_n(shape.radius), **place)
        case Stroke():
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in shape.points)
            return tag("polyline", class_=shape.role, points=points)
        case Label():
            return tag("text", shape.text, class_=f"{shape.role} {shape.anchor}", x=_n(shape.x), y=_n(shape.y))


def _n(value: float) -> str:
    return f"{round(value, 1):g}"
