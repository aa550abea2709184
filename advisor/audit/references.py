"""Runs the reference enquiries: does the ranking choose what competent engineers choose?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.audit.faults import Finding
from advisor.reasoning.advice import advise
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

FIRST_PLACES = 2
"""The first recommendation must be among this many of the families named first."""


class Outcome(NamedTuple):
    """One reference enquiry against the advice on it.

    `agrees`: the first place is right. `forbidden`: families offered that must never be. `referral_missing`: an
    engineer
    should have been called. `argued`: why a known deviation stands, empty where none is claimed.
    """

    id: str
    expected: tuple[str, ...]
    offered: tuple[str, ...]
    agrees: bool
    forbidden: tuple[str, ...]
    referral_missing: bool
    argued: str


def check_reference(engine: Engine, node: Mapping[str, Any]) -> Outcome:
    """One reference enquiry.

    Where a referral is expected an empty list agrees, and so does any survivor when no family is expected; elsewhere
    the
    first place must be one of the first two families named.
    """
    advice = advise(engine, from_values(node["enquiry"]), ask=False)
    offered = tuple(r.ranked.family for r in advice.recommended)
    expected = tuple(node["expect"])
    refer = bool(node.get("refer"))
    if not offered:
        agrees = refer or not expected
    else:
        agrees = offered[0] in expected[:FIRST_PLACES] or (refer and not expected)
    never = engine.rules.mask_of(node.get("never", ()))
    bits = engine.rules.bit
    everything = [*advice.judged.ranked]
    forbidden = tuple(dict.fromkeys(r.family for r in everything if bits[r.finish] & never))
    return Outcome(
        str(node["id"]),
        expected,
        offered,
        agrees,
        forbidden,
        refer and not advice.refer,
        str(node.get("deviation", "")),
    )


def check_references(engine: Engine, ids: Iterable[str] | None = None) -> list[Outcome]:
    """All reference enquiries of the base (or those with the given ids), in the order of the base."""
    wanted = None if ids is None else set(ids)
    return [
        check_reference(engine, node)
        for id_, node in engine.base.kind("reference").items()
        if wanted is None or id_ in wanted
    ]


def agreement(outcomes: Iterable[Outcome]) -> float:
    """The share of reference enquiries whose first place is right.

    >>> a = Outcome("a", ("brass",), ("brass",), True, (), False, "")
    >>> agreement([a, a._replace(agrees=False)])
    0.5
    """
    listed = list(outcomes)
    return sum(o.agrees for o in listed) / len(listed) if listed else 1.0


def reference_findings(outcomes: Iterable[Outcome], layered: bool = False) -> list[Finding]:
    """What of the reference enquiries is a fault, and which deviations are argued.

    Under a branch's layer (`layered`) another first place is only noted: what the branch prefers may stand before what
    the trade expects. What must never be offered, and who must be called, is a fault there too.
    """
    out: list[Finding] = []
    for o in outcomes:
        if o.forbidden:
            text = f"offers what must never be offered here: {', '.join(o.forbidden)}"
            out.append(Finding(o.id, "KB801", text, "write the rule that keeps it off"))
        if o.referral_missing:
            text = "a qualified engineer should have been called"
            out.append(Finding(o.id, "KB802", text, "write the rule that refers"))
        if not o.agrees:
            first = o.offered[0] if o.offered else "empty"
            text = f"first place is {first}, expected {', '.join(o.expected) or 'none'}"
            out.append(
                Finding(o.id, "KB803", text, o.argued or "no deviation is argued", fault=not (o.argued or layered))
            )
    return out
