"""Checks what the knowledge rests on: editions, memory, labels that claim too much, and what answers rest on."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from advisor.audit.faults import Finding
from advisor.graph.base import Base
from advisor.graph.nodes import Fact, Published
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.records import NamedTuple

OUTDATED = ("superseded", "withdrawn")
BETRAYING = (
    r"\b(?:recall(?:ed)?|recollection|from memory|unconfirmed|not confirmed|inferred|guessed|computed here"
    r"|worked (?:back|out)|follows? from|own (?:arithmetic|calculation|estimate))\b"
)
"""Words that betray memory or own arithmetic in a record that claims to be published."""
ROW_BY_ROW = ("basis", "recalled")
"""Columns by which a table says row by row, or cell by cell, what it rests on."""


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


def _reason(base: Base, node_id: str) -> Fact | Published:
    return base.facts[node_id] if node_id in base.facts else base.tables[node_id]


def check_reasons(base: Base) -> Iterator[Finding]:
    """Notes: what rules out or refers on memory or trade practice alone, or cites editions no longer current."""
    for i, rule in base.rules.items():
        reasons = [_reason(base, f) for f in rule.because]
        bases = {f.basis for f in reasons}
        if any(a.verb in ("exclude", "refer") for a in rule.then) and not bases & {"published", "derived"}:
            text = f"rules out or refers on {' and '.join(sorted(bases))} alone; the answer says so"
            yield Finding(i, "KB303", text, "find a document for it", fault=False)
        old = sorted({f.source for f in reasons if base.sources[f.source].status in OUTDATED})
        if old:
            text = f"cites editions that are no longer current: {', '.join(old)}"
            yield Finding(i, "KB304", text, "cite the current edition where it says the same", fault=False)


def check_labels(base: Base) -> Iterator[Finding]:
    """A record that claims to be published must hold no memory and no arithmetic of our own."""
    betraying = re.compile(BETRAYING, re.IGNORECASE)
    for i, said in _published(base):
        found = betraying.search(said)
        if found:
            text = f"claims to be published, but says '{found[0]}'"
            yield Finding(i, "KB305", text, "give it the basis memory or derived, or take the doubtful part out")


def _published(base: Base) -> Iterator[tuple[str, str]]:
    """Every record that claims to be published, with its words."""
    for i, f in base.facts.items():
        if f.basis == "published":
            yield i, f"{f.text} {f.where}"
    for i, t in base.tables.items():
        if t.basis == "published" and not set(ROW_BY_ROW) & set(t.columns):
            yield i, f"{t.name} {t.where} {t.note}"
    for i, s in base.strengths.items():
        if s.basis == "published":
            yield i, f"{s.text} {s.where} {s.note}"


# how much of an answer is evidenced ---------------------------------------------------------------------------------


class EvidenceUsed(NamedTuple):
    """What the answers to the reference enquiries rest on, counted once an answer; shop facts apart."""

    used: Counter[str]
    shop: int
    confirmed: int

    @property
    def share(self) -> float:
        """The share of the figures and verdicts that is published, or derived from something published."""
        return self.confirmed / max(1, self.used.total())


def evidence_of(engine: Engine) -> EvidenceUsed:
    """What the advice on every reference enquiry rests on."""
    base, used, shop, confirmed = engine.base, Counter[str](), 0, 0
    for node in base.references.values():
        for cited in cited_by(advise(engine, from_values(node.enquiry), ask=False)):
            citation = base.citation(cited)
            if citation.shop:
                shop += 1
                continue
            used[citation.basis] += 1
            # what is derived counts where it names the document that its figures come from
            documented = citation.basis == "derived" and bool(base.sources[citation.source].body)
            confirmed += citation.basis == "published" or documented
    return EvidenceUsed(used, shop, confirmed)


def cited_by(advice: Advice) -> frozenset[str]:
    """The facts and tables that an advice cites for its figures, verdicts and warnings."""
    reasons = [*advice.requires, *advice.notes, *advice.referral]
    for r in advice.recommended:
        reasons += [*r.reasons, *r.requires, *r.notes]
    for held in (*advice.conditional, *advice.excluded):
        reasons += held.reasons
    cited = {c for reason in reasons for c in reason.cites}
    cited.update(c for r in advice.recommended for figure in r.figures.values() for c in figure.cites)
    cited.update(c for caution in advice.cautions for c in caution.cites)
    return frozenset(cited)


CHECKS = (check_designations, check_facts_are_confirmed, check_reasons, check_labels)
