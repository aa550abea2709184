"""Shows that every finish that is not legacy can be recommended for some enquiry, or is let in behind a sister."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import product

from advisor.audit.faults import Finding, Progress
from advisor.graph.nodes import Finish
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

SUBSTANCES = ("hexavalent_chromium", "cadmium", "pfas", "lead")
"""What a finish may hold and an enquiry may allow."""


class Winners(NamedTuple):
    """Finishes as masks: recommended for some enquiry, and let in for some though a sister always goes before."""

    recommended: int
    second: int
    findings: tuple[Finding, ...]


def find_winners(engine: Engine, recommended: int, inside: int, progress: Progress, seconds: float = 12.0) -> Winners:
    """Every finish that is not legacy can be recommended: those the walks did not meet are looked for one by one.

    A finish that is never let in is a fault. One that is let in, but whose family has a better one in every enquiry
    tried, is a note: it is sold when it is asked for by its designation.
    """
    rules = engine.rules
    began = time.monotonic()
    wanted = rules.everything & ~rules.legacy
    for f in rules.members(wanted & ~recommended):
        progress(f"finishes not yet recommended: {(wanted & ~recommended).bit_count()}")
        for values in _wishes(engine, f):
            if recommended & rules.bit[f] or (time.monotonic() - began > seconds and inside & rules.bit[f]):
                break
            judged = engine.judge(from_values(values))
            inside |= judged.screened.inside(rules.everything)
            for r in judged.ranked:
                recommended |= rules.bit[r.finish]
    findings = [
        Finding(
            f, "KB701", "no enquiry lets this finish in", "give it a place where it lasts, mark it legacy, or remove it"
        )
        for f in rules.members(wanted & ~inside)
    ]
    second = wanted & inside & ~recommended
    findings += [
        Finding(f, "KB702", "let in, but a sister of its family went before it in every enquiry tried", fault=False)
        for f in rules.members(second)
    ]
    return Winners(recommended, second, tuple(findings))


def _wishes(engine: Engine, f: str) -> Iterator[dict[str, Any]]:
    """Enquiries that lean towards one finish: its order, its colour, its hours, its substances, a size, a place."""
    finish = engine.base.finishes[f]
    allowed = {s: "allowed" for s in SUBSTANCES if getattr(finish, s) == "yes"}
    settings: list[dict[str, Any]] = [
        {"environment": ["outdoor-urban"]},
        {"environment": ["indoor-dry"], "priority": "cost"},
        {"environment": ["coastal"], "priority": "life"},
        {"environment": ["outdoor-urban"], "size": "M4"},
        {"environment": ["road-salt"], "size": "M20", "strength": "8.8"},
        {"environment": ["high-temperature"], "temperature_c": 400},
        {"environment": ["immersion-sea"]},
        {"environment": ["chemical-acid"]},
    ]
    settings += [{"strength": s, "environment": ["outdoor-urban"]} for s in finish.strength_classes]
    # the order of this very finish, as a drawing note gives it
    yield from ({**allowed, **s, "ordered": [f]} for s in settings)
    for s, w in product(settings, _demands(engine, finish)):
        yield {"finish_asked": [finish.family], **allowed, **s, **w}


def _demands(engine: Engine, finish: Finish) -> list[dict[str, Any]]:
    """What a customer may demand that this finish fulfils: nothing, its colours, its hours, grease, contact, paint."""
    looks = engine.base.slots["appearance"].values
    out: list[dict[str, Any]] = [{}]
    out += [{"appearance": c} for c in finish.colour if c in looks]
    for rust in ("red", "white"):
        q = engine.rules.figure(finish.id, f"salt_spray_{rust}_h")
        if q is not None and q[2] is not None and q[2] > 0:
            out += [{**w, "salt_spray_hours": q[2], "rust": rust} for w in list(out)]
    return [
        *out,
        {"lubrication": "needed"},
        {"conductivity": "needed"},
        {"paint_over": "needed"},
        {"pfas": "forbidden"},
    ]
