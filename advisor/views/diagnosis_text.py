"""Trouble in one look: STOP, what to do now, the likeliest causes, how to tell them, what to order, who decides."""

from __future__ import annotations

from advisor.dialogue.state import Diagnose
from advisor.graph.base import Base
from advisor.reasoning.diagnosis import Diagnosis, Weighed
from advisor.reasoning.engine import Engine
from advisor.views.aloud import first_sentence
from advisor.views.layout import wrap
from advisor.views.one_look import MOST_LINES, Lines, cut_down, part_lines

MOST_SIGNS = 2


def diagnosis_text(engine: Engine, reply: Diagnose, width: int, most: int = MOST_LINES) -> list[str]:
    """The diagnosis as lines; after the first time only what the causes are by now.

    Where less room than `most` is left, how to tell and what to order next wait until they are asked for.
    """
    base, found = engine.base, reply.diagnosis
    parts = [_causes(base, found), _tell(base, found), _next(base, found)]
    if reply.form == "look":
        parts = [*_first(base, found), *parts]
        if reply.asks and found.question is not None:
            parts.append(Lines(base.phrase("trouble-label-ask"), (found.question.text,), 1, 1))
    closing = wrap(closing_of(base, found), width)
    room = most - len(closing)
    if most < MOST_LINES:
        parts = [p._replace(least=min(p.least, 1), floor=0) if p in parts[-2:] else p for p in parts]
    kept, _ = cut_down([p for p in parts if p.paragraphs], room, width)
    kept, _ = cut_down([p._replace(least=p.floor) for p in kept], room, width)
    return [*(x for p in kept for x in part_lines(p, width)), *closing]


def closing_of(base: Base, found: Diagnosis) -> str:
    """The caution and whose decision it is."""
    if found.stop:
        return base.phrase("trouble-closing-stop")
    return base.phrase("trouble-closing", who=found.deciding or base.phrase("trouble-who"))


def stop_of(base: Base, found: Diagnosis) -> str:
    """What stops everything; empty where nothing does."""
    if not found.stop or found.complaint is None:
        return ""
    return base.phrase("trouble-stop", because=first_sentence(found.complaint.text))


def _first(base: Base, found: Diagnosis) -> list[Lines]:
    """STOP or the name of the trouble, then what to do with people and goods."""
    label, complaint = base.phrase, found.complaint
    assert complaint is not None
    if found.stop:
        top = Lines(label("look-stop"), (stop_of(base, found),), 1, 1)
    else:
        top = Lines(label("trouble-label-say"), (said_of(base, found),), 1, 1)
    keep = len(found.now) if found.stop else 2
    return [top, Lines(label("trouble-label-now"), found.now, min(keep, len(found.now)), keep, cut=3)]


def said_of(base: Base, found: Diagnosis) -> str:
    """What went wrong and what mostly stands behind it, in one breath."""
    complaint = found.complaint
    if complaint is None:
        return ""
    return base.phrase("trouble-say", complaint=complaint.name, text=first_sentence(complaint.text)).rstrip()


def _causes(base: Base, found: Diagnosis) -> Lines:
    lines = tuple(_cause(base, n, w, 1 if found.stop else MOST_SIGNS) for n, w in enumerate(found.leading, 1))
    return Lines(base.phrase("trouble-label-likely"), lines, 2, 1, cut=4)


def _cause(base: Base, number: int, w: Weighed, most: int) -> str:
    pro = "; ".join(e.text.rstrip(".") for e in w.signs_for[:most])
    con = "; ".join(e.text.rstrip(".") for e in w.signs_against[:1])
    reasons = base.phrase("trouble-for", signs=pro) if pro else ""
    reasons += base.phrase("trouble-against", signs=con) if con else ""
    likelihood = base.phrase("trouble-" + w.likelihood)
    return base.phrase("trouble-cause", number=number, cause=w.cause.name, likelihood=likelihood, reasons=reasons)


def _tell(base: Base, found: Diagnosis) -> Lines:
    lines = tuple(
        base.phrase("trouble-tell", number=n, text=first_sentence(w.cause.tell_apart))
        for n, w in enumerate(found.leading, 1)
        if w.cause.tell_apart
    )
    return Lines(base.phrase("trouble-label-tell"), lines, 1, 0 if found.stop else 1, cut=5)


def _next(base: Base, found: Diagnosis) -> Lines:
    return Lines(base.phrase("trouble-label-next"), tuple(found.next), 1, 0 if found.stop else 1, cut=6)
