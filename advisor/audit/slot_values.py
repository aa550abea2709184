"""Checks slots and what fills them: options, assumptions, terms and exposures that a slot cannot take, idle slots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.audit.faults import Finding, listed
from advisor.graph.base import Base
from advisor.graph.conditions import Condition
from advisor.graph.nodes import Rule, Slot

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def tests_of(condition: Condition) -> Iterator[tuple[str, str, Any]]:
    """(slot, test, operand) of every test in a condition.

    >>> list(tests_of(["all", ["test", "part", "in", ["nut"]], ["not", ["test", "size", "known", True]]]))
    [('part', 'in', ['nut']), ('size', 'known', True)]
    """
    if condition[0] == "test":
        yield condition[1], condition[2], condition[3]
    else:
        for c in condition[1:]:
            yield from tests_of(c)


def conditions_of(rule: Rule) -> Iterator[Condition]:
    """A rule's own condition and those of its actions."""
    yield rule.when
    for a in rule.then:
        yield from (c for c in (a.only_if, a.unless) if c is not None)


def tests_of_rules(base: Base) -> Iterator[tuple[str, str, str, Any]]:
    """(node, slot, test, operand) of every test that any rule, or any evidence of a cause, makes."""
    conditions = [(i, c) for i, r in base.rules.items() for c in conditions_of(r)]
    for i, cause in base.causes.items():
        conditions += [(i, e.when) for e in (*cause.speaks_for, *cause.speaks_against)]
    for i, c in conditions:
        for slot, test, operand in tests_of(c):
            yield i, slot, test, operand


# values -------------------------------------------------------------------------------------------------------------


def wrong_value(slot: Slot, value: Any) -> str:
    """Why a slot cannot take a value; empty when it can.

    >>> wrong_value(Slot("life_years", "wanted life", "number", low=0, high=500), 900)
    '900 is outside 0 to 500 of life_years'
    """
    if value is None or value == "unknown":
        return ""
    if slot.type == "number":
        return next((w for w in (_wrong_number(slot, v) for v in listed(value)) if w), "")
    if slot.type == "choices" and not isinstance(value, list):
        return f"{slot.id} takes a list"
    if slot.takes_one and isinstance(value, list):
        return f"{slot.id} takes one value, not a list"
    for v in listed(value):
        if slot.values and v not in slot.values:
            return f"'{v}' is not a value of {slot.id}"
    return ""


def _wrong_number(slot: Slot, value: Any) -> str:
    low, high = slot.low, slot.high
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return f"{slot.id} takes a number, not {value!r}"
    if (low is not None and value < low) or (high is not None and value > high):
        return f"{value} is outside {low} to {high} of {slot.id}"
    return ""


def check_options_fit_their_slot(base: Base) -> Iterator[Finding]:
    """Every option's value must be one the slot takes, and no two options of a question may be the same."""
    slots = base.slots
    for i, d in base.decisions.items():
        seen: dict[str, str] = {}
        for o in d.options:
            wrong = wrong_value(slots[d.slot], o.value)
            if wrong:
                yield Finding(i, "KB201", f"the option '{o.id}': {wrong}", "write a value that the slot takes")
            key = repr(o.value)
            if key in seen:
                text = f"the options '{seen[key]}' and '{o.id}' fill in the same value"
                yield Finding(i, "KB201", text, "merge them if nobody needs both words", fault=False)
            seen[key] = o.id
        wrong = wrong_value(slots[d.slot], d.assume.value if d.assume else None)
        if wrong:
            yield Finding(i, "KB201", f"'assume': {wrong}", "write a value that the slot takes")


def check_exposures_fit_their_slot(base: Base) -> Iterator[Finding]:
    """An environment or part node must be one that an enquiry can name, and every place needs its node."""
    slots = base.slots
    untold = base.roles["part-untold"].of if "part-untold" in base.roles else ()
    for i, d in base.exposures.items():
        slot = d.group if d.group in ("environment", "part") else ""
        if slot in slots and i not in (*slots[slot].values, *untold):
            text = f"no enquiry can name it: it is not a value of the slot {slot}"
            yield Finding(i, "KB202", text, "add it to the slot's values or remove it")
    for value in slots["environment"].values if "environment" in slots else ():
        if value not in base.section("places"):
            yield Finding("slot/environment", "KB202", f"the place '{value}' has no exposure node", "write one")


# what fills a slot, what reads it -----------------------------------------------------------------------------------


def derived(base: Base) -> Iterator[Mapping[str, Any]]:
    """What every deriving action of every rule fills in."""
    for r in base.rules.values():
        yield from (a.value for a in r.then if a.verb == "derive")


def check_slots_are_filled(base: Base) -> Iterator[Finding]:
    """A slot that no word, no question and no derivation fills can never be told: it must be one the program works
    out.
    """
    filled = {d.slot for d in base.decisions.values()}
    for t in base.terms.values():
        filled.update(s for s in (t.slot, *t.also) if s)
    filled.update(s for values in derived(base) for s in values)
    for i, slot in base.slots.items():
        # numbers, sizes and texts are read by the grammars of quantities, which no term lists
        if i not in filled and not (slot.derived or slot.values_of) and slot.type in ("choice", "choices", "yes-no"):
            text = "no word and no question fills this slot"
            # what the talk alone reads does no harm while nothing fills it
            fault = slot.read_by == "rules"
            yield Finding(f"slot/{i}", "KB203", text, "add a term or a question, or mark it derived", fault)


def check_circumstances_are_noticed(base: Base) -> Iterator[Finding]:
    """A circumstance that a rule reads must be noticed in words, or filled by a question, a case or a derivation."""
    noticed = _noticed(base)
    read: dict[str, str] = {}
    for rule, slot, test, operand in tests_of_rules(base):
        if slot == "circumstance" and test in ("in", "only"):
            read.update({x: rule for x in operand if x not in read})
    for x, rule in read.items():
        if x not in noticed:
            text = f"the circumstance '{x}' is noticed by no word and no question"
            yield Finding(rule, "KB204", text, "add a term for it")
    for i, t in base.terms.items():
        name = t.circumstance
        if name and name not in read and f"circumstance-{name}" not in base.section("places"):
            text = f"no rule reads the circumstance '{name}' that this term notices"
            yield Finding(i, "KB204", text, "write the rule or remove the term", fault=False)


def _noticed(base: Base) -> frozenset[str]:
    """Every circumstance that words, answers or derivations can bring about."""
    from advisor.audit.structure import named_in_program

    found: set[str] = set()
    for d in base.decisions.values():
        if d.slot == "circumstance":
            found.update(x for o in d.options for x in listed(o.value))
    found.update(x for values in derived(base) for x in listed(values.get("circumstance")))
    for t in base.terms.values():
        found.update(listed(t.circumstance or None) + listed(t.also.get("circumstance")))
    for a in base.applications.values():
        found.update(a.circumstance if a.say else ())
    return frozenset(found) | named_in_program()


CHECKS = (
    check_options_fit_their_slot,
    check_exposures_fit_their_slot,
    check_slots_are_filled,
    check_circumstances_are_noticed,
)
