"""Checks that every question can be asked: for some enquiry it is relevant and its answers give different advice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from advisor.audit.faults import Finding
from advisor.audit.slot_values import tests_of_rules
from advisor.graph.base import Base
from advisor.graph.conditions import Condition, evaluate, slots_of
from advisor.graph.nodes import Decision
from advisor.reasoning.diagnosis import PROBLEM
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, from_values, listed
from advisor.reasoning.questions import matters
from advisor.reasoning.trials import signature, with_answer

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

MOST_TRIALS = 120
"""Enquiries tried for one question before it counts as never asked."""


def _tells_causes_apart(base: Base, d: Decision) -> bool:
    """Whether a question of trouble asks what went wrong, or an answer to it is a sign for or against some cause."""
    if d.relevant is None or PROBLEM not in slots_of(d.relevant):
        return False
    signs = (e for c in base.causes.values() for e in (*c.speaks_for, *c.speaks_against))
    values = [v for o in d.options for v in listed(o.value)]
    return d.slot == PROBLEM or any(evaluate(e.when, {d.slot: values}) for e in signs)


def check_decisions(engine: Engine) -> Iterator[Finding]:
    """Every question can be asked: for some enquiry it is relevant and its answers give different advice."""
    readers = _readers(engine.base)
    for i, d in engine.base.decisions.items():
        if all(o.value == UNKNOWN for o in d.options):
            continue  # the question has a free answer only: whatever is written there counts
        if _tells_causes_apart(engine.base, d):
            continue
        if not any(_can_be_asked(engine, i, d, judged) for judged in _trials(engine, d, readers.get(d.slot, ()))):
            text = "this question is never asked: no answer to it changes any advice"
            yield Finding(i, "KB503", text, "remove it or write its rule")


def _readers(base: Base) -> Mapping[str, tuple[str, ...]]:
    """Slot -> the rules that read it."""
    out: dict[str, dict[str, None]] = {}
    for rule, slot, _, _ in tests_of_rules(base):
        out.setdefault(slot, {})[rule] = None
    return {slot: tuple(rules) for slot, rules in out.items()}


def _trials(engine: Engine, decision: Decision, readers: tuple[str, ...]) -> Iterator[Judged]:
    """Enquiries in which a question may matter: what makes it relevant, alone and with the speaking cases of the rules
    that read its slot (without the slot)."""
    slot = decision.slot
    grounds = [{}] if decision.relevant is None else list(_satisfying(engine.base, decision.relevant))
    cases = engine.base.section("case")
    spoken = [{}, *(v for i in readers for v in cases.get(i, {}).get("speaks", ())[:3])]
    seen: set[str] = set()
    for values, ground in product(spoken, grounds):
        told = {s: v for s, v in values.items() if s != slot}
        trial = {**ground, **told}  # what a case tells stands: it makes its rule speak
        if repr(trial) not in seen:
            seen.add(repr(trial))
            yield engine.judge(from_values(trial))
            if len(seen) >= MOST_TRIALS:
                return


def _satisfying(base: Base, condition: Condition) -> Iterator[dict[str, Any]]:
    """Enquiries that make a condition true, as far as its plain choices go."""
    op = condition[0]
    if op == "test":
        yield from _fulfilling(base, condition)
    elif op == "any":
        for c in condition[1:]:
            yield from _satisfying(base, c)
    elif op == "all":
        for parts in product(*(list(_satisfying(base, c))[:6] for c in condition[1:])):
            yield {k: v for p in parts for k, v in p.items()}
    else:
        yield {}


def _fulfilling(base: Base, test: Condition) -> Iterator[dict[str, Any]]:
    """Enquiries that make one test true."""
    _, slot, name, operand = test
    kind = base.slots[slot].type
    if name in ("in", "only"):
        yield from ({slot: [x] if kind == "choices" else x} for x in operand)
    elif name in ("at_least", "at_most"):
        yield {slot: operand}
    elif name in ("above", "below"):
        yield {slot: operand + (1 if name == "above" else -1)}
    elif name == "known" and operand and kind == "number":
        yield {slot: 20}
    else:
        yield {}


def _can_be_asked(engine: Engine, decision_id: str, decision: Decision, judged: Judged) -> bool:
    if not matters(engine, judged, engine.base.decisions[decision_id]):
        return False
    now = signature(engine, judged)
    return any(
        signature(engine, engine.vary(judged, with_answer(judged.case.enquiry, decision.slot, o.value))) != now
        for o in decision.options
        if o.value != UNKNOWN
    )
