"""What `more` adds to the one look: all that found no room there, and nothing twice."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.graph.base import Base
from advisor.reasoning.advice import Advice, Held, Reason
from advisor.reasoning.engine import Engine
from advisor.views.aloud import first_sentence
from advisor.views.figure_words import figure_line, telling
from advisor.views.layout import wrap
from advisor.views.one_look import (
    LOOK_FIGURES,
    MOST_OTHERS,
    REASONS_SHOWN,
    look_at,
    minded,
    other_line,
    part_lines,
    warned_of,
)
from advisor.views.sources import in_short

MOST_HELD = 6


def more_of(engine: Engine, advice: Advice, width: int) -> list[str]:
    """Further reasons, figures, conditions, finishes, order lines, warnings and questions."""
    base = engine.base
    look = look_at(engine, advice, width)
    out = [x for p in look.left_out for x in part_lines(p, width)]
    for intro, texts in _blocks(engine, advice):
        listed = list(dict.fromkeys(texts))
        if listed:
            out += wrap(base.phrase(intro), width)
            out += [x for text in listed for x in wrap(text, width, "    ", "  - ")]
    out += wrap(base.phrase("look-after-more" if out else "look-no-more"), width)
    return [*out, *look.closing]


def _blocks(engine: Engine, advice: Advice) -> Iterable[tuple[str, list[str]]]:
    base = engine.base
    first = advice.recommended[:1]
    yield "more-reasons", [_cited(base, x) for r in first for x in r.reasons[REASONS_SHOWN:]]
    shown = [(q, f) for r in first for q, f in telling(r.figures).items() if q not in LOOK_FIGURES]
    yield "more-figures", [figure_line(base, q, f.low, f.high) for q, f in shown]
    later = advice.recommended[1 + MOST_OTHERS :]
    yield "more-finishes", [other_line(base, first[0], r) for r in later]
    yield "say-conditional-intro", [_under_condition(base, h) for h in _told(base, advice)[:MOST_HELD]]
    named = set(advice.case.known.get("named") or ())
    yield "say-excluded-intro", [_out(base, h) for h in advice.excluded if h.family in named]
    own = [x for r in first for x in (*r.requires, *r.notes)]
    yield "say-order-text-intro", _rest(own[:], advice.requires)
    yield "say-notes-intro", [x.text for x in advice.notes]
    yield "say-cautions-intro", _cautions(engine, advice)
    yield (
        "more-questions",
        [base.decisions[q.decision].text for q in advice.open_questions if q != advice.next_question],
    )


def _cautions(engine: Engine, advice: Advice) -> list[str]:
    """Those that the look has no room for, and of the others what it left off."""
    seen = {c.id for c in warned_of(engine, advice)} | {c.id for c in advice.cautions if c.severity == "stop"}
    texts = (c.brief.removeprefix(minded(engine.base, c)) if c.id in seen else c.brief for c in advice.cautions)
    return [t.strip() for t in texts if t.strip()]


def _rest(own: list[Reason], general: Iterable[Reason]) -> list[str]:
    """Order lines in full, where the look had only their beginning, and those it had no room for."""
    texts = [x.text for x in (*own, *general)]
    return [t for n, t in enumerate(texts) if n >= MOST_OTHERS or first_sentence(t) != t]


def _told(base: Base, advice: Advice) -> list[Held]:
    named = set(advice.case.known.get("named") or ())
    return [h for h in advice.conditional if h.family in named or base.families[h.family].stock == "shelf"]


def _under_condition(base: Base, h: Held) -> str:
    return base.phrase("say-conditional-line", finish=base.families[h.family].name, condition=h.reasons[0].text)


def _out(base: Base, h: Held) -> str:
    reason = " ".join(r.text for r in h.reasons[:2])
    return base.phrase("say-excluded-line", finish=base.families[h.family].name, reason=reason)


def _cited(base: Base, reason: Reason) -> str:
    names = list(dict.fromkeys(in_short(base, i) for i in reason.cites))[:2]
    return reason.text + (f" [{'; '.join(names)}]" if names else "")
