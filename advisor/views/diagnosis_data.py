"""A diagnosis as the contract's JSON, and the envelope of an answer that is one."""

from __future__ import annotations

from advisor.reasoning.diagnosis import Diagnosis, Weighed
from advisor.reasoning.engine import Engine
from advisor.views.data import JSON, citations, cite
from advisor.views.diagnosis_text import closing_of, said_of, stop_of

EMPTY = ("recommended", "conditional", "excluded", "assumed", "open_questions", "path", "requires", "notes")
"""What an answer leaves empty where something broke that nobody has explained: nothing is offered then."""


def diagnosis_json(found: Diagnosis, cites: dict[str, None]) -> JSON:
    """The causes with their reasons, what to do now and next, what to ask."""
    return {
        "complaints": [c.id for c in found.complaints],
        "causes": [_cause(w, cites) for w in found.causes],
        "now": list(found.now),
        "next": list(found.next),
        "ask": list(found.ask),
    }


def put_diagnosis(engine: Engine, out: JSON, found: Diagnosis, alone: bool) -> None:
    """The diagnosis into an envelope; `alone`: nothing else is answered."""
    base = engine.base
    cites: dict[str, None] = {}
    out["diagnosis"] = diagnosis_json(found, cites)
    if not alone and out["referral"]["required"]:
        out["diagnosis"]["next"] = []  # what to order is for whoever decides
    if alone:
        cites.update(dict.fromkeys(c.id for c in found.complaints[:1]))
        if found.offers_nothing:
            out.update({key: [] for key in EMPTY if key in out})
        text = stop_of(base, found) or said_of(base, found)
        out["answer"] = {"verdict": "none", "text": text, "cites": [c.id for c in found.complaints[:1]]}
        q = found.question
        out["asked"] = {"decision": q.id, "slot": q.slot} if q else None
        if q is not None:
            open_ = {"decision": q.id, "slot": q.slot, "text": q.text, "would_change": q.changes, "aloud": True}
            out["open_questions"] = [{**open_, "options": {o.id: "" for o in q.options}}]
        _put_referral(engine, out, found)
        out["closing"] = f"{closing_of(base, found)} {base.phrase('say-closing')}"
    out["citations"].update(citations(base, [c for c in cites if c not in out["citations"]]))


def _put_referral(engine: Engine, out: JSON, found: Diagnosis) -> None:
    """Who must decide: always where everything stops; with nothing recommended and nothing left to ask, too."""
    if not found.stop and (out["asked"] is not None or out["recommended"]):
        return
    base, complaint = engine.base, found.complaint
    cites = [complaint.id] if complaint else []
    text = base.phrase("trouble-referral") if found.stop else base.phrase("say-nothing-recommended")
    because = {"text": text, "rule": "", "cites": cites}
    to = base.phrase("trouble-referral-to") if found.stop else found.deciding or base.phrase("trouble-who")
    out["referral"] = {"required": True, "because": [because, *out["referral"]["because"]], "to": to}


def _cause(w: Weighed, cites: dict[str, None]) -> JSON:
    return {
        "cause": w.cause.id,
        "name": w.cause.name,
        "text": w.cause.text or w.cause.name,
        "likelihood": w.likelihood,
        "for": [e.text for e in w.signs_for],
        "against": [e.text for e in w.signs_against],
        "tell_apart": w.cause.tell_apart,
        "next": list(w.cause.next),
        "who_decides": w.cause.who_decides,
        "cites": cite([w.cause.id], cites),
    }
