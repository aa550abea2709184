"""The replies of a conversation as lines of text."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.dialogue.saying_back import said_back
from advisor.dialogue.state import (
    Advise,
    Amend,
    Answered,
    Ask,
    Compare,
    Compute,
    Diagnose,
    Explain,
    Reply,
    Save,
    Say,
    Show,
    Stop,
    WhatIf,
)
from advisor.graph.base import Base
from advisor.graph.wording import capital, inside, named, worded
from advisor.reasoning.answers import Answer
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import Enquiry
from advisor.views.amended import amended
from advisor.views.calculation_text import calculation_look, calculation_text
from advisor.views.card_text import cards_shown
from advisor.views.diagnosis_text import diagnosis_text
from advisor.views.in_full import in_full, sources_of
from advisor.views.layout import bullets, cells, wrap
from advisor.views.more import more_of
from advisor.views.one_look import aloud_only, one_look, stop_lines
from advisor.views.order_text import order_text
from advisor.views.side_by_side import side_by_side
from advisor.views.sources import Sources, in_short

ADVICE = {
    "look": one_look,
    "more": more_of,
    "sources": sources_of,
    "all": in_full,
    "aloud": aloud_only,
    "order": order_text,
}
COLUMN = 38
"""Columns of the first of two columns of options."""
MOST_BEHIND = 3
"""Documents named behind an answer."""


def reply_lines(engine: Engine, reply: Reply, width: int) -> list[str]:
    """One reply as lines no wider than `width`."""
    base = engine.base
    match reply:
        case Say(text=text):
            return [
                x
                for line in text.rstrip().split("\n")
                for x in (_kept(line, width) if line.startswith(" ") else wrap(line, width))
            ]
        case Ask():
            return _question(base, reply, width)
        case Advise(advice=advice, form=form):
            return ADVICE[form](engine, advice, width)
        case Amend():
            return amended(engine, reply, width)
        case Stop(cautions=stops, because=because):
            return stop_lines(base, stops, width, because)
        case Show():
            return cards_shown(base, reply, width)
        case Compute(calculation=c, form=form):
            return calculation_text(base, c, width) if form == "all" else calculation_look(base, c, width)
        case Answered(answer=a):
            return _answered(base, a, width)
        case Save():
            return []
        case _:
            return _explained(engine, reply, width)


def _explained(engine: Engine, reply: Diagnose | Explain | WhatIf | Compare, width: int) -> list[str]:
    """Causes of trouble, why not, what if, or one against another."""
    base = engine.base
    match reply:
        case Diagnose():
            return diagnosis_text(engine, reply, width)
        case Explain():
            return _why_not(base, reply, width)
        case WhatIf():
            return _what_if(base, reply, width)
        case Compare():
            return side_by_side(base, reply.sides, width)


def _answered(base: Base, answer: Answer, width: int) -> list[str]:
    """The answer to say, and in one line what it rests on."""
    behind = dict.fromkeys(in_short(base, c) for c in answer.cites)
    shown = base.phrase("answered-by", sources="; ".join(list(behind)[:MOST_BEHIND])) if behind else ""
    return [*wrap(answer.text, width), *(wrap(shown, width) if shown else ())]


def understood_line(base: Base, enquiry: Enquiry) -> str:
    """The one line that says back all that was told; empty when nothing was."""
    parts = said_back(base, [(slot, said.value, said.words) for slot, said in enquiry.said.items()], {})
    return base.phrase("say-understood", parts=parts) if parts else ""


def _kept(line: str, width: int) -> list[str]:
    """A line of a laid-out page: kept as it is where it fits, else wrapped under its second column."""
    if len(line) <= width:
        return [line]
    body = line.lstrip()
    left = len(line) - len(body)
    first, _, second = body.partition("  ")
    if second.strip():
        body = f"{first}: {second.strip()}"
    return wrap(body, width, " " * (left + 4), " " * left)


def _question(base: Base, ask: Ask, width: int) -> list[str]:
    """The question and its options, in two columns where they are short; the first one says how to answer."""
    out = wrap(ask.text, width)
    items = [f"  {n}. {option}" for n, option in enumerate(ask.options, 1)]
    half = (len(items) + 1) // 2
    if len(items) > MOST_IN_ONE_COLUMN and all(cells(x) < COLUMN for x in items) and width >= 2 * COLUMN:
        left, right = items[:half], [*items[half:], ""]
        out += [(a + " " * (COLUMN - cells(a)) + b).rstrip() for a, b in zip(left, right, strict=False)]
    else:
        out += [x for item in items for x in wrap(item.strip(), width, "     ", "  ")]
    return [*out, *wrap(base.phrase("ask-how"), width)] if ask.first else out


MOST_IN_ONE_COLUMN = 4


MOST_REASONS = 2


def _why_not(base: Base, reply: Explain, width: int) -> list[str]:
    """No with its reasons, only if, or yes; and with which answers it would be offered."""
    w = reply.why
    sources = Sources(base, full=False)
    finish = base.phrase("say-or-short").join(inside(base.families[f].name) for f in (w.family, *reply.alike))
    if w.state == "in":
        phrase = "say-why-first" if w.rank == 1 else "say-why-not-but"
        return wrap(capital(base.phrase(phrase, finish=finish, rank=w.rank)), width)
    out = wrap(capital(base.phrase("say-why-if" if w.state == "conditional" else "say-why-not", finish=finish)), width)
    out += bullets((r.text + sources.mark(r.cites, 2) for r in w.reasons[:MOST_REASONS]), width)
    ways = ["; ".join(_change(base, *change) for change in remedy.changes) for remedy in reply.remedies]
    if ways:
        out += wrap(base.phrase("say-acceptable-with", ways=base.phrase("say-or").join(ways)), width)
    else:
        out += wrap(base.phrase("say-acceptable-never"), width)
    return [*out, *sources.listed(width)]


def _change(base: Base, slot: str, value: object, words: str) -> str:
    if value is None:
        return words or base.phrase("say-acceptable-unsaid", what=base.slots[slot].name)
    return worded(base, slot, value)


MOST_NAMED = 3


def _finishes(base: Base, families: Iterable[str]) -> str:
    """Families by name; a long list is cut with the number left out."""
    listed = [named(base, f) for f in families]
    more = len(listed) - MOST_NAMED
    return "; ".join(listed[:MOST_NAMED]) + (base.phrase("say-and-more", count=more) if more > 0 else "")


def _what_if(base: Base, reply: WhatIf, width: int) -> list[str]:
    d = reply.difference
    say = base.phrase
    if d.nothing:
        return wrap(say("say-what-if-same", change=reply.change), width)
    out = wrap(say("say-what-if", change=reply.change), width)
    lines: list[str] = []

    def name(finish: str) -> str:
        return str(base.finish(finish)["name"])

    if not d.after:
        lines.append(say("say-what-if-first-none"))
    elif d.before and d.before[0] == d.after[0]:
        lines.append(say("say-what-if-first-same", after=name(d.after[0])))
    else:
        before = name(d.before[0]) if d.before else say("say-no-finish")
        lines.append(say("say-what-if-first", after=name(d.after[0]), before=before))
    if d.gained:
        lines.append(say("say-what-if-gained", finishes=_finishes(base, d.gained)))
    if d.lost:
        lines.append(say("say-what-if-lost", finishes=_finishes(base, d.lost)))
    lines += [f"{named(base, f)}: {text}" for f, text in d.lost_reasons]
    topics = {t: base.kind("topic")[f"topic-{t}"]["name"] for t in (*d.cautions_gained, *d.cautions_lost)}
    if d.cautions_gained:
        lines.append(say("say-what-if-cautions-gained", topics=", ".join(topics[t] for t in d.cautions_gained)))
    if d.cautions_lost:
        lines.append(say("say-what-if-cautions-lost", topics=", ".join(topics[t] for t in d.cautions_lost)))
    if d.refer_after and not d.refer_before:
        lines.append(say("say-what-if-refer"))
    if d.refer_before and not d.refer_after:
        lines.append(say("say-what-if-no-refer"))
    return out + bullets(lines, width)
