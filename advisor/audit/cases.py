"""Runs the rules' own cases, and finds actions and conditions that can never do anything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.audit.faults import Finding
from advisor.graph.conditions import Condition
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import Enquiry, from_values

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def check_cases(engine: Engine) -> Iterator[Finding]:
    """Every rule speaks in its own cases, and is silent where it says so."""
    for i in engine.base.rules:
        cases = engine.base.section("case").get(i, {})
        if not cases:
            remedy = "write an enquiry where it speaks and one where it is silent"
            yield Finding(i, "KB401", "this rule has no cases", remedy)
            continue
        for part, expected in (("speaks", True), ("silent", False)):
            for values in cases[part]:
                if speaks(engine, i, from_values(values)) is not expected:
                    what = "is silent in its own case" if expected else "speaks where it says it is silent:"
                    yield Finding(i, "KB402", f"{what} {shown(values)}", "mend the condition or the case")


def shown(values: Mapping[str, Any]) -> str:
    """An enquiry in one line."""
    return (
        "{" + ", ".join(f"{k}: {', '.join(map(str, v)) if isinstance(v, list) else v}" for k, v in values.items()) + "}"
    )


def speaks(engine: Engine, rule_id: str, enquiry: Enquiry) -> bool:
    """Whether a rule has any effect on an enquiry: an action, or a slot filled where it derives."""
    if _derives_something(engine, rule_id, enquiry):
        return True
    if rule_id not in engine.rules.by_id:
        return False
    return any(e.rule == rule_id for e in engine.judge(enquiry).screened.effects)


def _derives_something(engine: Engine, rule_id: str, enquiry: Enquiry) -> bool:
    rule = engine.base.rules[rule_id]
    if not rule.derives:
        return False
    filled = {(a.slot, repr(a.value), a.because) for a in engine.complete(enquiry).assumed}
    return any(
        (slot, repr(value), a.text or rule.text) in filled
        for a in rule.then
        if a.verb == "derive"
        for slot, value in a.value.items()
    )


def check_dead_actions(engine: Engine) -> Iterator[Finding]:
    """An action on no finish at all, or a condition that can never hold, is dead."""
    one_value = {i for i, s in engine.base.slots.items() if s.type in ("choice", "text", "yes-no")}
    for i, rule in engine.base.rules.items():
        for a in rule.then:
            if a.mask == 0:
                what = a.value if a.verb in ("exclude", "conditional", "warn") else a.verb
                text = f"the action '{a.verb}: {str(what)[:40]}' concerns no finish"
                yield Finding(i, "KB403", text, "check its names and 'where'")
        if impossible(rule.when, one_value):
            text = "its condition can never hold: it asks one slot for two values at once"
            yield Finding(i, "KB404", text, "join the values in one 'in'")


def impossible(condition: Condition, one_value: set[str]) -> bool:
    """Whether an all-of condition asks a slot that takes one value for two disjoint choices.

    >>> impossible(["all", ["test", "part", "in", ["nut"]], ["test", "part", "in", ["washer"]]], {"part"})
    True
    """
    if condition[0] != "all":
        return False
    asked: dict[str, set[Any]] = {}
    for c in condition[1:]:
        if c[0] == "test" and c[2] == "in" and c[1] in one_value:
            values = set(c[3])
            asked[c[1]] = asked[c[1]] & values if c[1] in asked else values
            if not asked[c[1]]:
                return True
    return False
