"""What a further fact changed in an advice whose first choice stays: figures, order lines, warnings, alternatives."""

from __future__ import annotations

from advisor.dialogue.state import Amend
from advisor.graph.base import Base
from advisor.reasoning.advice import Advice
from advisor.reasoning.engine import Engine
from advisor.views.figure_words import figure_line, telling
from advisor.views.layout import bullets, wrap
from advisor.views.one_look import closing_lines, minded, stop_lines

MOST_CHANGES = 8


def amended(engine: Engine, reply: Amend, width: int) -> list[str]:
    """STOPs that are new, then what changed, the closing last."""
    base, now, before = engine.base, reply.advice, reply.before
    first = now.recommended[0].ranked.finish if now.recommended else ""
    name = base.families[base.finishes[first].family].name if first else base.phrase("say-no-finish")
    held = {(c.id, c.severity) for c in before.cautions}
    fresh = [c for c in now.cautions if (c.id, c.severity) not in held]
    out = stop_lines(base, [c for c in fresh if c.severity == "stop"], width)
    lines = [
        *_figures(base, now, before),
        *_orders(base, now, before),
        *(base.phrase("amend-warning", text=minded(base, c)) for c in fresh if c.severity == "warn"),
        *_gone(base, now, before),
        *_others(base, now, before),
    ]
    out += wrap(base.phrase("amend-still", finish=name), width)
    out += bullets(lines[:MOST_CHANGES] or [base.phrase("amend-little")], width)
    return [*out, *closing_lines(base, now, width)]


def _figures(base: Base, now: Advice, before: Advice) -> list[str]:
    ours, theirs = (telling(a.recommended[0].figures) if a.recommended else {} for a in (now, before))
    changed = {q: f for q, f in ours.items() if q not in theirs or theirs[q][:2] != f[:2]}
    return [figure_line(base, q, f.low, f.high) for q, f in changed.items()]


def _orders(base: Base, now: Advice, before: Advice) -> list[str]:
    ours, theirs = (
        [x.text for x in (*a.requires, *(r for first in a.recommended[:1] for r in first.requires))]
        for a in (now, before)
    )
    return [base.phrase("amend-order", text=t) for t in dict.fromkeys(ours) if t not in theirs]


def _gone(base: Base, now: Advice, before: Advice) -> list[str]:
    left = {c.topic for c in now.cautions}
    gone = [c.topic for c in before.cautions if c.topic not in left and c.severity != "note"]
    names = [base.topics[f"topic-{t}"].name for t in dict.fromkeys(gone)]
    return [base.phrase("amend-no-warning", topics=", ".join(names))] if names else []


def _others(base: Base, now: Advice, before: Advice) -> list[str]:
    ours, theirs = ([base.families[r.ranked.family].name for r in a.recommended[1:3]] for a in (now, before))
    return [base.phrase("amend-instead", finishes="; ".join(ours))] if ours and ours != theirs else []
