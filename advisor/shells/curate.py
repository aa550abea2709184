"""audit and map: the curating engineer's tools. They load the whole graph and may take a minute."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from advisor.audit.structure import Finding, counts, structural_findings
from advisor.errors import Fault, UsageError
from advisor.graph.base import Base, knowledge_folder, open_base
from advisor.graph.build import Built, build
from advisor.shells.arguments import Helped, Parser
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.opening import EXTENSIONS
from advisor.shells.screen import write
from advisor.views.layout import clean


class Report(NamedTuple):
    """What the audit found."""

    counts: Mapping[str, Any]
    faults: tuple[Fault, ...]
    notes: tuple[Fault, ...]
    coverage: Mapping[str, Any]
    seconds: float


class Progress:
    """One line on standard error that says what is being done; rewritten on a terminal, one line a step elsewhere."""

    def __init__(self) -> None:
        self._live = sys.stderr.isatty()
        self._step = ""

    def step(self, name: str) -> None:
        """Begin a step."""
        self._step = name
        self._show(name)

    def more(self, text: str) -> None:
        """Say how far the step is; only on a terminal."""
        if self._live:
            self._show(f"{self._step}: {text}")

    def _show(self, text: str) -> None:
        if self._live:
            print(f"\r\033[K{text}", end="", file=sys.stderr, flush=True)
        else:
            print(text, file=sys.stderr, flush=True)

    def done(self) -> None:
        """Clear the line."""
        if self._live:
            print("\r\033[K", end="", file=sys.stderr, flush=True)


def audit(settings: Settings, argv: list[str]) -> int:
    """advisor audit [--json] [--quick] [--schema FILE] [--compare FOLDER]"""
    p = Parser("audit", COMMANDS["audit"].does, "example: advisor audit --quick")
    p.add_argument("--json", action="store_true", help="the whole report as JSON")
    p.add_argument("--quick", action="store_true", help="without the walks and proofs (a few seconds)")
    p.add_argument("--notes", action="store_true", help="list every note, not only their number")
    p.add_argument("--schema", metavar="FILE", help="write the JSON Schema of the knowledge files there and end")
    p.add_argument("--compare", metavar="FOLDER", help="how the advice differs from that of another knowledge folder")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    if n.schema:
        return _write_schema(Path(n.schema))
    folder = Path(settings.knowledge or knowledge_folder())
    layers = [Path(o) for o in settings.overlays]
    if n.compare:
        return _compare(folder, layers, Path(n.compare), n.json)
    found = examine(folder, layers, quick=n.quick, progress=Progress())
    if n.json:
        write(json.dumps(report_json(found), ensure_ascii=False))
    else:
        for line in report_text(found, folder, n.notes):
            write(clean(line))
    return 1 if found.faults else 0


def _compare(folder: Path, overlays: Iterable[Path], other: Path, as_json: bool) -> int:
    """Print how the advice of this folder differs from that of another."""
    from advisor.audit import comparing
    from advisor.reasoning.engine import Engine

    now = Engine(open_base(folder, list(overlays), EXTENSIONS))
    was = Engine(open_base(other, (), EXTENSIONS))
    found, total = comparing.differences(was, now)
    if as_json:
        write(json.dumps(comparing.comparison_json(found, total), ensure_ascii=False))
    else:
        for line in comparing.comparison_text(found, total, str(other)):
            write(clean(line))
    return 0


def examine(folder: Path, overlays: Iterable[Path], quick: bool, progress: Progress) -> Report:
    """Read, check and prove a knowledge folder."""
    began = time.monotonic()
    if not folder.is_dir():
        raise UsageError(f"'{folder}' is not a folder; name the folder that holds the knowledge files")
    layers = list(overlays)
    progress.step("reading the files: schema, references, citations")
    built = build(folder, layers)
    if built.faults:
        progress.done()
        unproved = {"proofs": "not run: the files have faults"}
        return Report(_built_counts(built), built.faults, (), unproved, time.monotonic() - began)
    base = open_base(folder, layers, EXTENSIONS)
    progress.step("reachability, words, evidence")
    findings = list(structural_findings(base))
    coverage: dict[str, Any] = {"proofs": "left out (--quick)"}
    findings.extend(_prove(base, quick, progress, coverage))
    progress.done()
    placed = [_placed(base, f) for f in findings]
    faults = sorted({x for f, x in zip(findings, placed, strict=True) if f.fault})
    notes = sorted({x for f, x in zip(findings, placed, strict=True) if not f.fault})
    return Report(counts(base), tuple(faults), tuple(notes), coverage, time.monotonic() - began)


def _prove(base: Base, quick: bool, progress: Progress, coverage: dict[str, Any]) -> list[Finding]:
    """The proofs that need the engine; fills in the coverage."""
    from advisor.audit import safety
    from advisor.audit import walks as proof
    from advisor.reasoning.engine import Engine

    engine = Engine(base)
    progress.step("the rules' own cases")
    findings = [*proof.check_cases(engine), *proof.check_dead_actions(engine)]
    cases = base.section("case").values()
    coverage["rules"] = {"total": len(cases), "cases_run": sum(len(c) for x in cases for c in x.values())}
    progress.step("reference enquiries")
    findings.extend(_references(engine, coverage))
    if quick:
        return findings
    coverage.pop("proofs")
    progress.step("walks over all pairs and triples of answers")
    walks, contradictions = proof.walk_everything(engine, progress.more)
    findings += [*walks.findings, *contradictions]
    coverage["walks"] = {k: getattr(walks, k) for k in ("walked", "singles", "pairs", "triples")}
    progress.step("safety: no plate on hard steel, no coat that a bolt standard bars")
    coverage["safety"] = {}
    for name, prove in (("hydrogen", safety.prove_hydrogen), ("structural", safety.prove_structural)):
        proved = prove(engine, progress.more)
        findings.extend(proved.findings)
        coverage["safety"][f"{name}_lines"] = proved.lines
        coverage["safety"][f"{name}_walks_covered"] = proved.walks
    progress.step("questions that can be asked")
    findings.extend(proof.check_decisions(engine))
    progress.step("finishes that can be recommended")
    winners = proof.find_winners(engine, walks.recommended, walks.inside, progress.more)
    findings.extend(winners.findings)
    rules = engine.rules
    coverage["finishes"] = {
        "total": len(rules.finishes),
        "legacy": rules.legacy.bit_count(),
        "recommended_for_some_enquiry": (winners.recommended & ~rules.legacy).bit_count(),
        "let_in_behind_a_sister": winners.second.bit_count(),
        "families_first_for_some_enquiry": len(walks.first),
    }
    return findings


def _references(engine: Any, coverage: dict[str, Any]) -> list[Finding]:
    """The reference enquiries against the advice."""
    from advisor.audit.references import agreement, check_references

    outcomes = check_references(engine)
    coverage["references"] = {
        "total": len(outcomes),
        "first_place_agrees": round(agreement(outcomes), 4),
        "argued_deviations": sum(not o.agrees and bool(o.argued) for o in outcomes),
    }
    out: list[Finding] = []
    for o in outcomes:
        if o.forbidden:
            out.append(Finding(o.id, f"offers what must never be offered here: {', '.join(o.forbidden)}"))
        if o.referral_missing:
            out.append(Finding(o.id, "a qualified engineer should have been called"))
        if not o.agrees:
            text = (
                f"first place is {o.offered[0] if o.offered else 'empty'}, expected {', '.join(o.expected) or 'none'}"
            )
            out.append(Finding(o.id, f"{text}; {o.argued or 'no deviation is argued'}", fault=not o.argued))
    return out


def _built_counts(built: Built) -> dict[str, Any]:
    from collections import Counter

    facts = Counter(str(n.data.get("basis")) for n in built.nodes.values() if n.kind == "fact")
    return {
        "nodes": dict(sorted(Counter(n.kind for n in built.nodes.values()).items())),
        "edges": len(built.edges),
        "facts_by_basis": dict(sorted(facts.items())),
    }


def _placed(base: Base, found: Finding) -> Fault:
    """A finding with its file and line."""
    place = base.section("places").get(found.node) if found.node else None
    file, line = (str(place[1]), int(place[2])) if place else ("knowledge", 1)
    named = f"{found.node.removeprefix('slot/')}: " if found.node else ""
    return Fault(file, line, 1, f"{named}{found.text}")


def report_json(found: Report) -> dict[str, Any]:
    """The report as the contract has it."""
    return {
        "schema": "advisor/audit/1",
        "ok": not found.faults,
        "counts": found.counts,
        "faults": [{"file": f.file, "line": f.line, "text": f.text} for f in found.faults],
        "coverage": found.coverage,
        "notes": [{"file": f.file, "line": f.line, "text": f.text} for f in found.notes],
        "seconds": round(found.seconds, 1),
    }


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


def _write_schema(path: Path) -> int:
    from advisor.graph.json_schema import schema_text

    _save(path, schema_text())
    write(f"written: {path}")
    return 0


def _save(path: Path, text: str) -> None:
    try:
        path.write_text(text, "utf-8")
    except OSError as e:
        raise UsageError(f"'{path}' cannot be written ({e.strerror}); name another file") from None


def draw_map(settings: Settings, argv: list[str]) -> int:
    """advisor map [NODE] --out FILE.(svg|graphml|json|mmd)"""
    p = Parser("map", COMMANDS["map"].does, "example: advisor map zinc-flake --out zinc-flake.svg")
    p.add_argument("node", nargs="?", help="a node; its neighbourhood is drawn, else the whole graph by kinds")
    p.add_argument("--out", metavar="FILE", required=True, help="the file to write: .svg, .graphml, .json or .mmd")
    p.add_argument("--depth", type=int, default=1, help="how many edges away (1 to 3)")
    p.add_argument("--most", type=int, default=60, help="how many nodes at most (5 to 300)")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    out = Path(n.out)
    if not 1 <= n.depth <= 3:
        raise UsageError(f"--depth {n.depth} is outside 1 to 3")
    if not 5 <= n.most <= 300:
        raise UsageError(f"--most {n.most} is outside 5 to 300")
    from advisor.graph import drawing, trace

    makers: dict[str, Callable[..., str]] = {
        ".svg": drawing.svg,
        ".graphml": drawing.graphml,
        ".json": drawing.node_link_json,
        ".mmd": drawing.mermaid,
    }
    make = makers.get(out.suffix.lower())
    if make is None:
        raise UsageError(f"'{out.name}' names no known form; end it in {', '.join(makers)}")
    base = open_base(settings.knowledge or knowledge_folder(), settings.overlays, EXTENSIONS)
    if base.notice:
        print(f"advisor: {base.notice}", file=sys.stderr)
    graph = trace.build_graph(base)
    if n.node is not None:
        node = trace.known_node(base, n.node)
        part = trace.neighbourhood(base, node, n.depth, n.most, graph)
        text = make(part, node)
        shown = part.number_of_nodes()
    else:
        text = make(graph, None)
        shown = graph.number_of_nodes()
    _save(out, text)
    write(f"written: {out} ({shown} nodes)")
    return 0
