"""HTML and SVG elements put together so that every text is cleaned and escaped, and nothing else can get in."""

from __future__ import annotations

from html import escape

from advisor.views.layout import clean


class Markup(str):
    """Text that is markup already; any other text is escaped when it is put into an element."""

    __slots__ = ()


VOID = frozenset(("meta", "input", "br", "rect", "polyline"))


def tag(element: str, /, *children: str, **attributes: str) -> Markup:
    """One element. An attribute that Python cannot write is written with _ for - and without a last _.

    >>> tag("p", "1 < 2", tag("b", "bold"), class_="x", aria_label='say "hi"')
    '<p class="x" aria-label="say &quot;hi&quot;">1 &lt; 2<b>bold</b></p>'
    """
    given = "".join(f' {k.rstrip("_").replace("_", "-")}="{escape(clean(v))}"' for k, v in attributes.items())
    if element in VOID:
        return Markup(f"<{element}{given}/>")
    return Markup(f"<{element}{given}>{joined(*children)}</{element}>")


def joined(*children: str) -> Markup:
    """Several elements and texts one after another."""
    return Markup("".join(c if isinstance(c, Markup) else escape(clean(c), quote=False) for c in children))
