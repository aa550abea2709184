"""Checks what the knowledge rests on: editions that are no longer current, reasons from memory, exclusions without
proof.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.audit.faults import Finding
from advisor.graph.base import Base

OUTDATED = ("superseded", "withdrawn")


def check_designations(base: Base) -> Iterator[Finding]:
    """A superseded edition is kept for decoding; what is written on an order must not be called current in it."""
    sources = base.sources
    for i, finish in base.finishes.items():
        if finish.legacy:
            continue
        for x in finish.designations:
            status = sources[x.standard].status
            if (x.status or "current") == "current" and status in OUTDATED:
                text = f"the designation '{x.write}' counts as current, but {x.standard} is {status}"
                yield Finding(i, "KB301", text, "give it that status or name the current edition")


def check_facts_are_confirmed(base: Base) -> Iterator[Finding]:
    """Notes: facts from memory."""
    for i, fact in base.facts.items():
        if fact.basis == "memory":
            text = f"from memory, unconfirmed: {fact.text}"
            yield Finding(i, "KB302", text, "confirm it in a document and cite the place", fault=False)


def check_reasons(base: Base) -> Iterator[Finding]:
    """Notes: exclusions that rest on memory only, rules that cite editions no longer current."""
    for i, rule in base.rules.items():
        reasons = [base.facts[f] if f in base.facts else base.tables[f] for f in rule.because]
        if any(a.verb == "exclude" for a in rule.then) and {f.basis for f in reasons} == {"memory"}:
            text = "excludes on memory alone; the answer prints it as unconfirmed"
            yield Finding(i, "KB303", text, "find a document for it", fault=False)
        old = sorted({f.source for f in reasons if base.sources[f.source].status in OUTDATED})
        if old:
            text = f"cites editions that are no longer current: {', '.join(old)}"
            yield Finding(i, "KB304", text, "cite the current edition where it says the same", fault=False)


CHECKS = (check_designations, check_facts_are_confirmed, check_reasons)
