"""The answer in one or two sentences, whatever was asked: yes, no, it depends, a figure, a choice."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.dialogue.state import Advise, Answered, Compare, Compute, Explain, Replies, Say, Show
from advisor.graph.base import Base
from advisor.reasoning.advice import Advice
from advisor.reasoning.engine import Engine
from advisor.records import NamedTuple
from advisor.views.aloud import by_place, first_sentence, say_aloud
from advisor.views.reckoned import in_one_line

VERDICTS = {"in": "yes", "out": "no", "conditional": "depends"}
MOST_CITED, MOST_READ = 4, 5


class Direct(NamedTuple):
    """The line to say aloud, its verdict (yes, no, depends, figure, choice, none) and the nodes behind it."""

    verdict: str
    text: str
    cites: tuple[str, ...] = ()


def direct_answer(engine: Engine, replies: Replies) -> Direct:
    """The answer to what was asked: that of the first reply that answers; else of the advice; else what was said."""
    for r in replies:
        found = _of(engine, r)
        if found is not None:
            return found
    said = [r.text for r in replies if isinstance(r, Say)]
    return Direct("none", said[-1] if said else "")


def _of(engine: Engine, reply: object) -> Direct | None:
    match reply:
        case Answered(answer=a):
            return Direct(a.verdict, a.text, a.cites)
        case Explain():
            return _why_not(engine.base, reply)
        case Compare():
            return _better(engine.base, reply)
        case Compute(calculation=c):
            return Direct("figure", _figure(engine.base, c), c.cites[:MOST_CITED])
        case Show(cards=cards, exact=exact):
            text = first_sentence(next((line.text for c in cards for line in c.lines), ""))
            return Direct(
                "none",
                text if exact else engine.base.phrase("card-nearest-one", text=text),
                tuple(x for c in cards[:1] for line in c.lines for x in line.cites),
            )
        case Advise(advice=advice):
            return of_advice(engine, advice)
        case _:
            return None


def of_advice(engine: Engine, advice: Advice) -> Direct:
    """The recommendation in one breath."""
    cites = tuple(dict.fromkeys(c for r in advice.recommended[:1] for x in r.reasons for c in x.cites))
    verdict = "none" if not advice.recommended else "depends" if by_place(engine, advice) else "choice"
    return Direct(verdict, " ".join(say_aloud(engine, advice)), cites[:MOST_CITED])


def _figure(base: Base, c: Calculation) -> str:
    """The figure that was asked for in one line, what a code says, else the first line."""
    said = in_one_line(base, c)
    if said:
        return said
    if c.command == "decode":
        return ". ".join(line.rstrip(".") for line in c.lines[:MOST_READ]) + "."
    return c.lines[0] if c.lines else c.method


def _why_not(base: Base, reply: Explain) -> Direct:
    """Yes, no or only if, with the first reason."""
    w = reply.why
    reason = first_sentence(w.reasons[0].text) if w.reasons else ""
    text = base.phrase(f"direct-{w.state}", finish=base.families[w.family].name, reason=reason, rank=w.rank)
    return Direct(VERDICTS[w.state], text, w.reasons[0].cites[:MOST_CITED] if w.reasons else ())


def _better(base: Base, reply: Compare) -> Direct:
    """The better of two or three, with what speaks against the next."""
    ranked = sorted(reply.sides, key=lambda s: (s.state != "in", s.state != "conditional", s.rank))
    first, second = ranked[0], ranked[1]
    names = {"first": base.families[first.family].name, "second": base.families[second.family].name}
    if first.state == "out":
        return Direct("none", base.phrase("direct-neither", **names))
    reason = first_sentence(second.reasons[0].text) if second.reasons and second.state != "in" else ""
    text = base.phrase("direct-better-because" if reason else "direct-better", **names, reason=reason)
    return Direct("choice", text, second.reasons[0].cites[:MOST_CITED] if reason else ())
