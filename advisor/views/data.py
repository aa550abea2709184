"""Advice and other replies as the contract's JSON."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.graph.base import Base
from advisor.graph.wording import written_today
from advisor.language.reading import Reading

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.calculations.options import Calculation
    from advisor.reasoning.advice import Advice, Held, Reason, Recommended
    from advisor.reasoning.engine import Engine
    from advisor.reasoning.questions import Question

    JSON = dict[str, Any]
else:
    JSON = dict

MOST_EXCLUDED = 60


def envelope(base: Base, kind: str) -> JSON:
    """The `ask` envelope with every part empty."""
    return {
        "schema": "advisor/answer/1",
        "knowledge": {"version": base.version, "digest": base.digest},
        "kind": kind,
        "answer": {"verdict": "none", "text": "", "cites": []},
        "asked": None,
        "understood": {},
        "unclear": [],
        "noticed": [],
        "unused": [],
        "assumed": [],
        "recommended": [],
        "conditional": [],
        "excluded": [],
        "cautions": [],
        "requires": [],
        "open_questions": [],
        "referral": {"required": False, "because": [], "to": ""},
        "path": [],
        "citations": {},
        "closing": base.phrase("say-closing"),
    }


LEFT_OUT = ("excluded", "conditional", "path")
"""What a brief answer does not carry."""


def advice_json(engine: Engine, advice: Advice, brief: bool = False) -> JSON:
    """The advice part of the envelope (what was understood is added by the caller).

    A `brief` one leaves out what is not offered and all open questions but the next.
    """
    base = engine.base
    out = envelope(base, "advice")
    cites: dict[str, None] = {}
    out["assumed"] = [{"slot": a.slot, "value": _plain(a.value), "because": a.because} for a in advice.assumed]
    out["recommended"] = [_recommended(engine, r, cites) for r in advice.recommended]
    out["conditional"] = (
        []
        if brief
        else [
            {
                "finish": h.finish,
                "name": base.finishes[h.finish].name,
                "family": h.family,
                "if": "; ".join(r.text for r in h.reasons),
                "because": reasons_json(h.reasons, cites),
            }
            for h in advice.conditional
        ]
    )
    out["excluded"] = [] if brief else [_held(base, h, cites) for h in advice.excluded[:MOST_EXCLUDED]]
    out["cautions"] = [
        {"id": c.id, "topic": c.topic, "severity": c.severity, "text": c.text, "cites": cite(c.cites, cites)}
        for c in advice.cautions
    ]
    out["requires"] = reasons_json(advice.requires, cites)
    out["notes"] = reasons_json(advice.notes, cites)
    asked = advice.next_question
    out["asked"] = {"decision": asked.decision, "slot": asked.slot} if asked else None
    questions = advice.open_questions if not brief else (asked,) if asked else ()
    out["open_questions"] = [_question(base, q) for q in questions]
    out["referral"] = {
        "required": bool(advice.refer),
        "because": [{"text": r.text, "rule": r.rule, "cites": cite(r.cites, cites)} for r in advice.referral],
        "to": "; ".join(advice.referral_to),
    }
    out["cheapest"] = advice.cheapest
    out["longest_lived"] = advice.longest
    out["first_place_falls_with"] = list(advice.topples)
    out["path"] = [d.id for d in base.decisions.values() if d.slot in advice.case.enquiry.said]
    out["citations"] = citations(base, cites)
    if advice.refer:
        out["closing"] = base.phrase("say-closing-referral") + " " + out["closing"]
    for key in LEFT_OUT if brief else ():
        del out[key]
    return out


def _question(base: Base, q: Question) -> JSON:
    from advisor.reasoning.questions import worth_asking  # a reading is told without the engine

    d = base.decisions[q.decision]
    return {
        "decision": q.decision,
        "slot": q.slot,
        "text": d.text,
        "would_change": d.changes,
        "options": dict(q.outcomes),
        "aloud": worth_asking(q),
    }


def _recommended(engine: Engine, r: Recommended, cites: dict[str, None]) -> JSON:
    finish = engine.base.finishes[r.ranked.finish]
    for f in r.figures.values():
        cite(f.cites, cites)
    return {
        "rank": r.rank,
        "finish": r.ranked.finish,
        "name": finish.name,
        "family": r.ranked.family,
        "hexavalent_chromium": finish.hexavalent_chromium or "no",
        "designations": [d.write for d in written_today(finish)],
        "score": round(r.ranked.score, 4),
        "contributions": {k: round(v, 4) for k, v in r.contributions.items()},
        "lasts": "well" if r.ranked.level else "short",
        "holds_for_every_unknown": r.holds_for_every_unknown,
        "reasons": reasons_json(r.reasons, cites),
        "requires": reasons_json(r.requires, cites),
        "notes": reasons_json(r.notes, cites),
        "figures": {k: [f.low, f.high] for k, f in r.figures.items()},
        "figure_cites": {k: cite(f.cites, cites) for k, f in r.figures.items()},
        "cautions": list(r.cautions),
    }


def _held(base: Base, h: Held, cites: dict[str, None]) -> JSON:
    return {
        "finish": h.finish,
        "name": base.finishes[h.finish].name,
        "family": h.family,
        "because": [{"rule": r.rule, "text": r.text, "cites": cite(r.cites, cites)} for r in h.reasons],
    }


def reasons_json(reasons: Iterable[Reason], cites: dict[str, None]) -> list[JSON]:
    return [{"text": r.text, "rule": r.rule, "cites": cite(r.cites, cites)} for r in reasons]


def cite(ids: Iterable[str], cites: dict[str, None]) -> list[str]:
    listed = list(ids)
    cites.update(dict.fromkeys(listed))
    return listed


def citations(base: Base, ids: Iterable[str]) -> JSON:
    """Every cited node in full."""
    out: JSON = {}
    for i in ids:
        c = base.citation(i)
        out[i] = {
            "text": c.text,
            "source": c.source,
            "title": c.title,
            "edition": c.edition,
            "where": c.where,
            "basis": c.basis,
            "shop": c.shop,
        }
        if c.layer:
            out[i]["overlay"] = c.layer
    return out


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def calculation_json(base: Base, c: Calculation) -> JSON:
    """A calculation as the contract's JSON."""
    return {
        "schema": f"advisor/{c.command}/1",
        "inputs": dict(c.inputs),
        "results": dict(c.results),
        "method": c.method,
        "lines": list(c.lines),
        "cites": list(c.cites),
        "citations": citations(base, [*c.cites, *caution_cites(base, c.cautions)]),
        "cautions": caution_list(base, c.cautions),
        "closing": base.phrase("say-closing"),
    }


def caution_cites(base: Base, ids: Iterable[str]) -> list[str]:
    """The facts behind some cautions."""
    nodes = base.cautions
    return list(dict.fromkeys(f for i in ids if i in nodes for f in nodes[i].because))


def caution_list(base: Base, ids: Iterable[str]) -> list[JSON]:
    """Cautions by id, with their own severity."""
    return [
        {
            "id": c.id,
            "topic": c.topic.removeprefix("topic-"),
            "severity": c.severity,
            "text": c.text,
            "cites": list(c.because),
        }
        for c in (base.cautions[i] for i in ids if i in base.cautions)
    ]


def add_cards(base: Base, out: JSON, cards: Iterable[Any]) -> None:
    """Cards into an envelope, with their citations and the cautions among them."""
    cites: dict[str, None] = {}
    listed = [
        {
            "id": c.id,
            "kind": c.kind,
            "name": c.name,
            "lines": [{"label": x.label, "text": x.text, "cites": cite(x.cites, cites)} for x in c.lines],
            "neighbours": [{"edge": e, "node": o, "direction": d} for e, o, d in c.neighbours],
        }
        for c in cards
    ]
    out["cards"] = listed
    out["citations"].update(citations(base, cites))
    have = {c["topic"] for c in out["cautions"]}
    found = caution_list(base, [c.id for c in cards if c.kind == "caution"])
    out["cautions"].extend(c for c in found if c["topic"] not in have)
    for c in found:
        out["citations"].update(citations(base, c["cites"]))


def add_calculation(base: Base, out: JSON, c: Calculation) -> None:
    """A calculation or decoding into an envelope."""
    whole = calculation_json(base, c)
    out["calculation"] = {
        "command": c.command,
        **{k: whole[k] for k in ("schema", "inputs", "results", "method", "lines", "cites")},
    }
    out["citations"].update(whole["citations"])
    out["cautions"].extend(whole["cautions"])
    if c.command == "decode":
        out["readings"] = c.results.get("readings", [])


def understanding(reading: Reading) -> JSON:
    """The understood, unclear, noticed and unused parts of the envelope."""
    return {
        "understood": {
            s: {"value": i.value, "words": i.words, "certainty": round(i.certainty, 2)}
            for s, i in reading.understood.items()
        },
        "unclear": [{"slot": u.slot, "words": u.words, "candidates": list(u.candidates)} for u in reading.unclear],
        "noticed": [{"value": c.slug, "words": c.words} for c in reading.circumstances],
        "unused": list(reading.unused),
        **({"to_come": list(reading.to_come)} if reading.to_come else {}),
    }
