"""How the advice of two knowledge folders differs over the reference enquiries: what a change of the base does."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class AnswerChange(NamedTuple):
    """One reference enquiry whose advice differs: what was said before and what is said now."""

    id: str
    enquiry: Mapping[str, Any]
    before: Mapping[str, Any]
    after: Mapping[str, Any]


def comparison_json(found: list[AnswerChange], total: int) -> dict[str, Any]:
    """The differences for a program."""
    return {"schema": "advisor/comparison/1", "enquiries": total, "differences": [d._asdict() for d in found]}


def comparison_text(found: list[AnswerChange], total: int, other: str) -> list[str]:
    """The differences for a person; `other` names the folder that was before."""
    out = []
    for d in found:
        out.append(f"{d.id}: " + ", ".join(f"{k} {_words(v)}" for k, v in d.enquiry.items()))
        for key in d.after:
            if d.before[key] != d.after[key]:
                out.append(f"  {key}: {_words(d.before[key])}  ->  {_words(d.after[key])}")
    out.append(f"{len(found)} of {total} reference enquiries are answered differently than from {other}")
    return out


def differences(was: Engine, now: Engine) -> tuple[list[AnswerChange], int]:
    """The reference enquiries of both bases whose advice differs, and how many there are."""
    enquiries: dict[str, Mapping[str, Any]] = {}
    for engine in (was, now):
        for i, node in engine.base.kind("reference").items():
            enquiries[i] = node["enquiry"]
    out = []
    for i, values in enquiries.items():
        before = summary(advise(was, from_values(values), ask=False))
        after = summary(advise(now, from_values(values), ask=False))
        if before != after:
            out.append(AnswerChange(i, values, before, after))
    return out, len(enquiries)


def summary(advice: Advice) -> dict[str, Any]:
    """What of an advice counts: the finishes in order, the cautions, the referral."""
    return {
        "recommended": [r.ranked.finish for r in advice.recommended],
        "conditional": [h.family for h in advice.conditional],
        "cautions": sorted(f"{c.topic} ({c.severity})" for c in advice.cautions),
        "referral": advice.refer or "none",
    }


def _words(value: Any) -> str:
    return (", ".join(map(str, value)) or "nothing") if isinstance(value, list) else str(value)
