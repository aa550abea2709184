"""Runs every check of the audit in order over a knowledge folder, and puts together what was found and covered."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any, Protocol

from advisor.audit import (
    cases,
    decisions,
    evidence,
    fields_read,
    references,
    safety,
    selling,
    slot_values,
    structure,
    walks,
    winners,
    words,
)
from advisor.audit.faults import Finding, placed
from advisor.errors import Fault
from advisor.graph.base import Base
from advisor.graph.build import Built, build
from advisor.reasoning.engine import Engine
from advisor.records import NamedTuple

CHECKS = (*structure.CHECKS, *fields_read.CHECKS, *slot_values.CHECKS, *words.CHECKS, *evidence.CHECKS)
"""The checks that look at the base alone, without the engine."""


class Report(NamedTuple):
    """What the audit found."""

    counts: Mapping[str, Any]
    faults: tuple[Fault, ...]
    notes: tuple[Fault, ...]
    coverage: Mapping[str, Any]
    seconds: float


class Watched(Protocol):
    """Somebody who is told what is being done."""

    def step(self, name: str) -> None:
        """A step begins."""

    def more(self, text: str) -> None:
        """How far the step is."""


def examine(
    folder: Path, overlays: Iterable[Path], opened: Callable[[], Base], watched: Watched, quick: bool = False
) -> Report:
    """Read, check and prove a knowledge folder; `opened` opens its compiled base once the files have no fault."""
    began = time.monotonic()
    watched.step("reading the files: schema, references, citations")
    built = build(folder, list(overlays))
    if built.faults:
        unproved = {"proofs": "not run: the files have faults"}
        return Report(_built_counts(built), built.faults, (), unproved, time.monotonic() - began)
    base = opened()
    watched.step("reachability, words, evidence")
    findings = [f for check in CHECKS for f in check(base)]
    coverage: dict[str, Any] = {}
    engine = Engine(base)
    findings += _by_cases(engine, watched, coverage)
    if quick:
        coverage["proofs"] = "left out (--quick)"
    else:
        findings += _by_walks(engine, watched, coverage)
    faults = sorted({placed(base, f) for f in findings if f.fault})
    notes = sorted({placed(base, f) for f in findings if not f.fault})
    return Report(structure.counts(base), tuple(faults), tuple(notes), coverage, time.monotonic() - began)


def _by_cases(engine: Engine, watched: Watched, coverage: dict[str, Any]) -> list[Finding]:
    """What the rules' own cases and the reference enquiries show; fills in the coverage."""
    watched.step("the rules' own cases")
    findings = [*cases.check_cases(engine), *cases.check_dead_actions(engine)]
    written = engine.base.section("case").values()
    coverage["rules"] = {"total": len(written), "cases_run": sum(len(c) for x in written for c in x.values())}
    watched.step("reference enquiries")
    outcomes = references.check_references(engine)
    coverage["references"] = {
        "total": len(outcomes),
        "first_place_agrees": round(references.agreement(outcomes), 4),
        "argued_deviations": sum(not o.agrees and bool(o.argued) for o in outcomes),
    }
    rests_on = evidence.evidence_of(engine)
    coverage["evidence_share"] = round(rests_on.share, 3)
    coverage["evidence"] = {**dict(sorted(rests_on.used.items())), "shop": rests_on.shop}
    layered = bool(engine.base.section("layers"))
    return [*findings, *references.reference_findings(outcomes, layered)]


def _by_walks(engine: Engine, watched: Watched, coverage: dict[str, Any]) -> list[Finding]:
    """What walks and proofs show; fills in the coverage."""
    watched.step("walks over all pairs and triples of answers")
    walked, contradictions = walks.walk_everything(engine, watched.more)
    findings = [*walked.findings, *contradictions]
    coverage["walks"] = {k: getattr(walked, k) for k in ("walked", "singles", "pairs", "triples")}
    watched.step("safety: no plate on hard steel, no barred coat, nothing unmade, stopped or overstretched")
    coverage["safety"] = {}
    proofs = (
        ("hydrogen", safety.prove_hydrogen),
        ("structural", safety.prove_structural),
        ("selling", selling.prove_selling),
        ("torque", selling.prove_torque),
    )
    for name, prove in proofs:
        proved = prove(engine, watched.more)
        findings += proved.findings
        coverage["safety"][f"{name}_lines"] = proved.lines
        coverage["safety"][f"{name}_walks_covered"] = proved.walks
    watched.step("questions that can be asked")
    findings += decisions.check_decisions(engine)
    watched.step("finishes that can be recommended")
    won = winners.find_winners(engine, walked.recommended, walked.inside, watched.more)
    findings += won.findings
    rules = engine.rules
    coverage["finishes"] = {
        "total": len(rules.finishes),
        "legacy": rules.legacy.bit_count(),
        "recommended_for_some_enquiry": (won.recommended & ~rules.legacy).bit_count(),
        "let_in_behind_a_sister": won.second.bit_count(),
        "families_first_for_some_enquiry": len(walked.first),
    }
    return findings


def _built_counts(built: Built) -> dict[str, Any]:
    facts = Counter(str(n.data.get("basis")) for n in built.nodes.values() if n.kind == "fact")
    return {
        "nodes": dict(sorted(Counter(n.kind for n in built.nodes.values()).items())),
        "edges": len(built.edges),
        "facts_by_basis": dict(sorted(facts.items())),
    }


# what is shown ------------------------------------------------------------------------------------------------------


def report_json(found: Report) -> dict[str, Any]:
    """The report as the contract has it."""
    return {
        "schema": "advisor/audit/1",
        "ok": not found.faults,
        "counts": found.counts,
        "faults": [_fault_json(f) for f in found.faults],
        "coverage": found.coverage,
        "notes": [_fault_json(f) for f in found.notes],
        "seconds": round(found.seconds, 1),
    }


def _fault_json(f: Fault) -> dict[str, Any]:
    return {"code": f.code, "file": f.file, "line": f.line, "text": f.text, "remedy": f.remedy}


def report_text(found: Report, folder: Path, all_notes: bool) -> list[str]:
    """The report for a person."""
    nodes = found.counts["nodes"]
    out = [f"Knowledge in {folder}: {sum(nodes.values())} nodes, {found.counts['edges']} edges"]
    out.append("  " + ", ".join(f"{n} {kind}" for kind, n in nodes.items()))
    facts = found.counts["facts_by_basis"]
    share = found.counts.get("published_share")
    out.append(
        "  facts: "
        + ", ".join(f"{n} {basis}" for basis, n in facts.items())
        + (f" ({share:.0%} published)" if share else "")
    )
    for name, value in found.coverage.items():
        shown = ", ".join(f"{k.replace('_', ' ')} {v}" for k, v in value.items()) if isinstance(value, dict) else value
        out.append(f"  {name}: {shown}")
    out += ["", *(str(f) for f in found.faults)] if found.faults else []
    if all_notes:
        out += ["", *(f"note: {f}" for f in found.notes)]
    out.append("")
    verdict = "no fault" if not found.faults else f"{len(found.faults)} fault{'s' * (len(found.faults) != 1)}"
    hint = "" if all_notes or not found.notes else " (advisor audit --notes lists them)"
    out.append(f"{verdict}, {len(found.notes)} notes{hint}, {found.seconds:.1f} s")
    return out
