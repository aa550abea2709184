"""Cards of nodes as text."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.dialogue.state import Show
from advisor.graph.base import Base
from advisor.lookup.cards import Card
from advisor.views.layout import wrap
from advisor.views.sources import Sources

MOST_NEIGHBOURS = 10


def card_text(base: Base, c: Card, width: int, sources: Sources) -> list[str]:
    """A card: its name, then one labelled line after another."""
    out = wrap(f"{c.name} ({base.phrase('kind-' + c.kind)})", width)
    for line in c.lines:
        label = f"{line.label}: " if line.label else ""
        out += wrap(label + line.text + sources.mark(line.cites), width, "    ", "  ")
    if c.neighbours:
        near = dict.fromkeys(
            str(base.node(o).get("name") or base.node(o).get("title") or o) for _, o, _ in c.neighbours
        )
        out += wrap(base.phrase("say-see-also", names="; ".join([*near][:MOST_NEIGHBOURS])), width, "    ", "  ")
    return out


BRIEF_LINES, WHOLE_LINES, BRIEF_OTHERS = 2, 5, 3


def cards_shown(base: Base, shown: Show, width: int) -> list[str]:
    """The card in two lines, more of it where it was asked for; else that it is not known, and the three nearest."""
    cards = shown.cards
    if not shown.exact and not shown.whole:
        out = wrap(base.phrase("card-nearest"), width)
        for c in cards[:BRIEF_OTHERS]:
            text = next((line.text for line in c.lines), "")
            said, *more = wrap(text if text.startswith(c.name.rstrip(" …")) else f"{c.name}: {text}", width - 2, "  ")
            out.append(said + " …" * bool(more))
        return out
    sources = Sources(base, full=False)
    first = cards[0]
    out = wrap(first.name, width)
    for line in first.lines[: WHOLE_LINES if shown.whole else BRIEF_LINES]:
        label = f"{line.label}: " if line.label and line.label != base.phrase("label-text") else ""
        out += wrap(label + line.text + sources.mark(line.cites, 1), width, "  ", "  ")
    out += sources.listed(width)
    if not shown.whole:
        return [*out, *wrap(base.phrase("card-offer", name=first.name), width)]
    others = [c.name for c in cards[1 : 1 + BRIEF_OTHERS]]
    return [*out, *wrap(base.phrase("card-others", names="; ".join(others)), width)] if others else out


def cards_text(base: Base, cards: Iterable[Card], width: int) -> list[str]:
    """Several cards and the list of their sources."""
    sources = Sources(base)
    out: list[str] = []
    for c in cards:
        out += ["", *card_text(base, c, width, sources)] if out else card_text(base, c, width, sources)
    listed = sources.listed(width)
    return [*out, "", base.phrase("say-citations-intro"), *listed] if listed else out
