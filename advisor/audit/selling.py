"""The proofs of what is sold: made as that part, never beside its own STOP, never tightened above its own yield.

Every part is walked with every strength, and both with every place, as an enquiry that says just these.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.audit.faults import Finding, Progress
from advisor.audit.safety import MOST_FOUND, Proof
from advisor.calculations.registry import run
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import from_values
from advisor.reasoning.figures import torque_of
from advisor.reasoning.trials import MOST_SHOWN

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

STOP = "stop"
SIZES = {"metric": "M12", "inch": "1/2-13"}
"""A size of each kind of thread in which nearly every part is made."""


def walked(engine: Engine) -> Iterator[dict[str, Any]]:
    """Every part with every strength (and none), every part and every strength with every place."""
    base = engine.base
    parts, places = base.slots["part"].values, base.slots["environment"].values
    grades = tuple(dict.fromkeys(s.grade for s in base.strengths.values()))
    for part in parts:
        yield {"part": part}
        yield from ({"part": part, "strength": g} for g in grades)
        yield from ({"part": part, "environment": [p]} for p in places)
    for grade in grades:
        yield from ({"strength": grade, "environment": [p]} for p in places)


def prove_selling(engine: Engine, progress: Progress) -> Proof:
    """No walk ends with a finish that is not made as that part, or with one that a STOP speaks against."""
    findings: list[Finding] = []
    lines = 0
    for told in walked(engine):
        lines += 1
        if lines % 200 == 0:
            progress(f"{lines} lines")
        if len(findings) >= MOST_FOUND:
            break
        judged = engine.judge(from_values(told))
        said = ", ".join(f"{k} {v}" for k, v in told.items())
        for finish in unmade(engine, judged) if "part" in told else ():
            findings.append(Finding(finish, "KB603", f"offered, but not made as that: {said}", "write the offer"))
        for finish, rule in stopped(engine, judged):
            findings.append(Finding(finish, "KB604", f"offered beside its own STOP of {rule}: {said}", "exclude it"))
    return Proof(lines, lines, tuple(findings))


def unmade(engine: Engine, judged: Judged) -> list[str]:
    """The finishes shown that nobody makes as the part and strength of the case."""
    made, bit = judged.screened.play.made.mask, engine.rules.bit
    return [r.finish for r in judged.ranked[:MOST_SHOWN] if not made & bit[r.finish]]


def stopped(engine: Engine, judged: Judged) -> list[tuple[str, str]]:
    """The finishes shown that a STOP is tied to, with its rule; a STOP that names them as the way out is none."""
    rules, base = engine.rules, engine.base
    shown = sum(rules.bit[r.finish] for r in judged.ranked[:MOST_SHOWN])
    ways_out = base.role("proof-stop-names-way-out")
    out: list[tuple[str, str]] = []
    for e in judged.screened.effects:
        if e.verb != "warn" or e.assumed or e.pending or e.mask is None or str(e.value) in ways_out:
            continue
        severity = e.severity or base.kind("caution")[str(e.value)]["severity"]
        if severity == STOP and e.mask & shown:
            out += [(f, e.rule) for f in rules.members(e.mask & shown)]
    return out


def prove_torque(engine: Engine, progress: Progress) -> Proof:
    """No torque that is shown stretches the bolt that is offered, at the lowest friction of its coat.

    The clamp is reckoned back from the torque by F = T / (K d) and held against the yield of the offered bolt's own
    grade, whatever class was told: A4-70 offered for 8.8 yields at 450 MPa (ISO 3506-1), not at 640.
    """
    base = engine.base
    findings: list[Finding] = []
    proved: set[tuple[str, str]] = set()
    lines = 0
    for node in base.strengths.values():
        size = SIZES.get(node.system or "metric", SIZES["metric"])
        for place in base.slots["environment"].values:
            told = {"size": size, "strength": node.grade, "environment": [place]}
            judged = engine.judge(from_values(told))
            if not judged.ranked or len(findings) >= MOST_FOUND:
                continue
            lines += 1
            finish = judged.ranked[0].finish
            if (node.id, finish) in proved:
                continue
            proved.add((node.id, finish))
            shown = torque_of(engine, judged.case, finish)
            if shown is None:
                continue
            share = share_of_yield(base, size, offered_grade(engine, finish, node.grade), finish, shown.low)
            if share > 1:
                text = f"{shown.low:g} N·m stretches the bolt offered ({share:.0%} of its yield): {told}"
                findings.append(Finding(finish, "KB605", text, "reckon with the yield of the bolt that is offered"))
        progress(node.grade)
    return Proof(lines, lines, tuple(findings))


def offered_grade(engine: Engine, finish: str, told: str) -> str:
    """The grade of the bolt that is offered: a metal of its own has its own."""
    return str(engine.base.finish(finish).get("grade") or told)


def share_of_yield(base: Base, size: str, grade: str, finish: str, torque_nm: float) -> float:
    """The share of the yield of a grade that a torque reaches at the lowest friction of a coat; 0 where unknown."""
    node = base.strengths.get(grade.lower())
    try:
        results = run(base, "torque", {"size": size, "strength": grade, "finish": finish}).results
    except UsageError:
        return 0.0
    if node is None or node.yield_mpa is None:
        return 0.0
    k, area_mm2 = results["k"], results["stress_area_mm2"]
    assert isinstance(k, list)
    assert isinstance(area_mm2, float)
    diameter_m = 0.012 if size == SIZES["metric"] else 0.0127
    return torque_nm / (float(k[0]) * diameter_m) / (area_mm2 * node.yield_mpa)
