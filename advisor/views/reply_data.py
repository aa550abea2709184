"""A one-shot answer, and a turn of a conversation, as the contract's JSON."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.dialogue.choosing import shown_options
from advisor.dialogue.one_shot import OneShot
from advisor.dialogue.state import (
    Advise,
    Amend,
    Answered,
    Ask,
    Compare,
    Compute,
    Desk,
    Diagnose,
    Explain,
    Replies,
    Reply,
    Say,
    Show,
    State,
    WhatIf,
)
from advisor.graph.base import Base
from advisor.reasoning.advice import Advice
from advisor.reasoning.diagnosis import Diagnosis, diagnose, troubled
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import Enquiry
from advisor.reasoning.explain import Difference, Side, WhyNot
from advisor.views import data
from advisor.views.data import JSON
from advisor.views.diagnosis_data import put_diagnosis
from advisor.views.direct import direct_answer, of_advice
from advisor.views.replies import reply_lines

WIDTH = 80
KINDS: Mapping[type, str] = {
    Ask: "ask",
    Advise: "advice",
    Amend: "advice",
    Show: "card",
    Compute: "calculation",
    Answered: "answer",
    Explain: "explanation",
    WhatIf: "what-if",
    Compare: "comparison",
    Diagnose: "diagnosis",
}


def answer_json(engine: Engine, found: OneShot, brief: bool = False) -> JSON:
    """Any answer in the contract's envelope."""
    base = engine.base
    out = data.advice_json(engine, found.advice, brief) if found.advice is not None else data.envelope(base, found.kind)
    out["kind"] = found.kind
    if found.kind == "lookup":
        out.update({key: [] for key in ("recommended", "conditional") if key in out})
    for r in found.replies:
        if isinstance(r, Show):
            data.add_cards(base, out, r.cards)
        elif isinstance(r, Compute):
            data.add_calculation(base, out, r.calculation)
        elif isinstance(r, Say) and found.advice is None:
            out["sentence"] = r.text
    _put_answer(engine, out, found.replies)
    if found.kind == "diagnosis" or (troubled(found.enquiry) and found.advice is not None):
        put_diagnosis(engine, out, diagnose(engine, found.enquiry), found.kind == "diagnosis")
    out.update(data.understanding(found.reading))
    for slot, said in found.enquiry.said.items():
        if said.origin == "set":
            out["understood"][slot] = {"value": said.value, "words": "", "certainty": 1.0}
    return out


def _put_answer(engine: Engine, out: JSON, replies: Replies) -> None:
    """The direct answer, with its citations among the others."""
    direct = direct_answer(engine, replies)
    out["answer"] = {"verdict": direct.verdict, "text": direct.text, "cites": list(direct.cites)}
    missing = [c for c in direct.cites if c not in out["citations"]]
    out["citations"].update(data.citations(engine.base, missing))


def turn_json(desk: Desk, name: str, number: int, before: State, after: State, replies: Replies) -> JSON:
    """One turn: what was newly understood, the replies as read and as data, and the question that is open."""
    engine = desk.engine
    return {
        "schema": "advisor/turn/1",
        "turn": number,
        "conversation": name,
        "understood": _understood(after.enquiry, before.enquiry),
        "replies": [_reply(engine, r, after) for r in replies],
        "asked": _asked(desk, after),
        "done": after.done,
    }


def _understood(enquiry: Enquiry, before: Enquiry | None = None) -> JSON:
    known = before.said if before is not None else {}
    return {
        slot: {"value": s.value, "words": s.words, "certainty": round(s.certainty, 2)}
        for slot, s in enquiry.said.items()
        if known.get(slot) != s
    }


def _reply(engine: Engine, r: Reply, after: State) -> JSON:
    kind = KINDS.get(type(r), "say")
    if isinstance(r, Compute) and r.calculation.command == "decode":
        kind = "decode"
    return {"kind": kind, "text": "\n".join(reply_lines(engine, r, WIDTH)), "data": _data(engine, r, after.enquiry)}


def _data(engine: Engine, r: Reply, enquiry: Enquiry) -> JSON:
    base = engine.base
    match r:
        case Advise(advice=advice) | Amend(advice=advice):
            return _advice(engine, advice, enquiry)
        case Diagnose(diagnosis=d):
            return _diagnosis(engine, d)
        case Compute(calculation=c):
            return data.calculation_json(base, c)
        case Ask(decision=decision):
            return {"decision": decision, "slot": base.decisions[decision].slot}
        case Show(cards=cards):
            out: JSON = {"cautions": [], "citations": {}}
            data.add_cards(base, out, cards)
            return out
        case Answered(answer=a):
            return {
                "verdict": a.verdict,
                "text": a.text,
                "cites": list(a.cites),
                "citations": data.citations(base, a.cites),
            }
        case Explain(why=w):
            return _explained(base, w)
        case WhatIf(change=change, difference=d):
            return _difference(change, d)
        case Compare(sides=sides):
            return {"sides": [_side(s) for s in sides]}
        case _:
            return {}


def _explained(base: Base, w: WhyNot) -> JSON:
    cites: dict[str, None] = {}
    out: JSON = {"family": w.family, "finish": w.finish, "state": w.state, "rank": w.rank}
    out["because"] = data.reasons_json(w.reasons, cites)
    out["citations"] = data.citations(base, cites)
    return out


def _difference(change: str, d: Difference) -> JSON:
    listed = ("before", "after", "gained", "lost", "cautions_gained", "cautions_lost")
    out: JSON = {"change": change, **{name: list(getattr(d, name)) for name in listed}}
    out["referral"] = {"before": bool(d.refer_before), "after": bool(d.refer_after)}
    return out


def _side(s: Side) -> JSON:
    figures = {name: [f.low, f.high] for name, f in s.figures.items()}
    return {"finish": s.finish, "family": s.family, "state": s.state, "rank": s.rank, "figures": figures}


def _advice(engine: Engine, advice: Advice, enquiry: Enquiry) -> JSON:
    out = data.advice_json(engine, advice)
    direct = of_advice(engine, advice)
    out["answer"] = {"verdict": direct.verdict, "text": direct.text, "cites": list(direct.cites)}
    out["understood"] = _understood(enquiry)
    return out


def _diagnosis(engine: Engine, found: Diagnosis) -> JSON:
    out = data.envelope(engine.base, "diagnosis")
    put_diagnosis(engine, out, found, alone=True)
    out["understood"] = _understood(found.case.enquiry)
    return out


def _asked(desk: Desk, state: State) -> JSON | None:
    """The open question with the options that are shown."""
    d = desk.base.decisions.get(state.asked)
    if d is None:
        return None
    options = [{"text": o.text, "value": o.value} for o in shown_options(desk, state, d)]
    return {"decision": d.id, "slot": d.slot, "options": options}
