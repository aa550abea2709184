"""Conditions of rules as data: checked, brought to one form, and evaluated in three-valued logic.

The normal form is nested lists, so that it can be stored as JSON:
`["all", c, …]`, `["any", c, …]`, `["not", c]`, `["test", slot, test, value]`.
Truth is True, False or None (unknown), strong Kleene.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.graph.source import Item, TellFault

    Condition = list[Any]
    Tri = bool | None
else:  # names of types alone: whoever imports them at run time needs no typing
    Condition, Tri = list, object

TESTS = ("is", "in", "only", "above", "at_least", "below", "at_most", "known", "told", "empty")
"""Tests of one slot: is/in (equal, or for lists any in common), only (all of the list within), numbers, and whether
it is known (told, derived or assumed) or told (by the customer). They are joined by `all`, `any` and `not`."""

ALWAYS: Condition = ["all"]


class Possible(tuple[str, ...]):
    """A slot whose value is one of several: the possible set of a band, a corrosivity range."""

    __slots__ = ()


def normalise(item: Item, slots: Mapping[str, Mapping[str, Any]], report: TellFault) -> Condition:
    """The normal form of a condition as written; faults are reported at their place."""
    v = item.value
    if not isinstance(v, dict):
        report(item, "KB041", 'a condition is a mapping such as {strength: {in: ["10.9"]}}')
        return ALWAYS
    parts: list[Condition] = []
    for key, inner in v.items():
        if key in ("all", "any"):
            if not isinstance(inner.value, list):
                report(inner, "KB041", f"'{key}' takes a list of conditions")
                continue
            parts.append([key, *(normalise(x, slots, report) for x in inner.value)])
        elif key == "not":
            parts.append(["not", normalise(inner, slots, report)])
        elif key not in slots:
            report(inner, "KB041", f"unknown slot '{key}' in a condition", "slots stand in slots.yaml")
        else:
            parts.extend(_tests(key, inner, slots[key], report))
    return parts[0] if len(parts) == 1 else ["all", *parts]


def _tests(slot: str, item: Item, definition: Mapping[str, Any], report: TellFault) -> list[Condition]:
    v = item.value
    if isinstance(v, list):
        report(item, "KB041", f"write {slot}: {{in: […]}} for a choice of values")
        return []
    tests = v if isinstance(v, dict) else {"is": item}
    out: list[Condition] = []
    for test, operand in tests.items():
        if test not in TESTS:
            report(operand, "KB041", f"unknown test '{test}'", f"allowed: {', '.join(TESTS)}")
            continue
        value = _plain(operand)
        if test == "is":
            test, value = "in", [value]
        if test in ("in", "only") and not isinstance(value, list):
            report(operand, "KB041", f"'{test}' takes a list")
            continue
        if test in ("above", "at_least", "below", "at_most") and (
            isinstance(value, bool) or not isinstance(value, (int, float))
        ):
            report(operand, "KB041", f"'{test}' takes a number")
            continue
        if test in ("known", "told", "empty") and not isinstance(value, bool):
            report(operand, "KB041", f"'{test}' takes true or false")
            continue
        allowed = definition.get("values")
        if test in ("in", "only"):
            if definition.get("type") == "number":
                if any(isinstance(x, (str, bool)) for x in value):
                    report(operand, "KB041", f"{slot} is a number", "write numbers without quotes")
            else:
                for x in value:
                    if not isinstance(x, str):
                        report(operand, "KB041", f"{slot} takes words", f"put {x} in quotes")
                    elif allowed and x not in allowed:
                        report(operand, "KB051", f"'{x}' is not a value of {slot}", f"allowed: {', '.join(allowed)}")
        out.append(["test", slot, test, value])
    return out


def _plain(item: Item) -> Any:
    from advisor.graph.source import strip_marks

    return strip_marks(item)


def slots_of(condition: Condition) -> Iterator[str]:
    """The slots that a condition reads.

    >>> sorted(slots_of(["all", ["test", "a", "in", ["x"]], ["not", ["test", "b", "above", 3]]]))
    ['a', 'b']
    """
    match condition[0]:
        case "test":
            yield condition[1]
        case _:
            for c in condition[1:]:
                yield from slots_of(c)


def evaluate(condition: Condition, facts: Mapping[str, Any], told: Mapping[str, Any] | None = None) -> Tri:
    """Truth of a condition over slot values; a slot that is absent or "unknown" is unknown.

    `told` holds the slots that the customer told (for the test `told`); default: all of them.

    >>> evaluate(["test", "strength", "in", ["10.9"]], {"strength": "10.9"})
    True
    >>> evaluate(["all", ["test", "strength", "in", ["10.9"]], ["test", "part", "in", ["nut"]]], {"part": "bolt"})
    False
    >>> evaluate(["test", "band", "in", ["H3"]], {"band": Possible(("H2", "H3"))}) is None
    True
    """
    op = condition[0]
    if op == "test":
        return _test(condition[1], condition[2], condition[3], facts, told if told is not None else facts)
    if op == "not":
        t = evaluate(condition[1], facts, told)
        return None if t is None else not t
    result: Tri = op == "all"
    for c in condition[1:]:
        t = evaluate(c, facts, told)
        if op == "all":
            if t is False:
                return False
            if t is None:
                result = None
        else:
            if t is True:
                return True
            if t is None:
                result = None
    return result


def _test(slot: str, test: str, operand: Any, facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
    value = facts.get(slot)
    unknown = value is None or value == "unknown"
    if test == "known":
        return (not unknown) is operand
    if test == "told":
        said = told.get(slot)
        return (said is not None and said != "unknown") is operand
    if unknown:
        return None
    if test == "empty":
        return (isinstance(value, (list, tuple)) and len(value) == 0) is operand
    if isinstance(value, Possible):
        if not value:
            return None
        hits = sum(1 for x in value if x in operand)
        return True if hits == len(value) else False if hits == 0 else None
    if test == "in":
        if isinstance(value, (list, tuple)):
            return any(x in operand for x in value)
        return value in operand
    if test == "only":
        if isinstance(value, (list, tuple)):
            return len(value) > 0 and all(x in operand for x in value)
        return value in operand
    if isinstance(value, (list, tuple)):
        if not value or not all(isinstance(x, (int, float)) for x in value):
            return None
        low, high = float(value[0]), float(value[-1])
        a, b = _compare(low, test, operand), _compare(high, test, operand)
        return a if a == b else None
    if not isinstance(value, (int, float)):
        return None
    return _compare(value, test, operand)


def _compare(value: float, test: str, operand: float) -> bool:
    if test == "above":
        return value > operand
    if test == "at_least":
        return value >= operand
    if test == "below":
        return value < operand
    return value <= operand


if TYPE_CHECKING:
    Check = Callable[[Mapping[str, Any], Mapping[str, Any]], Tri]
    """A condition made ready to be asked many times: (facts, told) -> truth."""


def ready(condition: Condition) -> Check:
    """The same as evaluate, as a closure: what can be prepared is prepared once.

    >>> c = ready(["all", ["test", "strength", "in", ["10.9"]], ["test", "band", "in", ["H3"]]])
    >>> c({"strength": "10.9", "band": Possible(("H2", "H3"))}, {}) is None
    True
    """
    op = condition[0]
    if op == "test":
        return _ready_test(condition[1], condition[2], condition[3])
    parts = tuple(ready(c) for c in condition[1:])
    if op == "not":
        inner = parts[0]

        def negation(facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
            t = inner(facts, told)
            return None if t is None else not t

        return negation
    decisive = op == "any"
    if len(parts) == 1:
        return parts[0]

    def junction(facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
        result: Tri = not decisive
        for part in parts:
            t = part(facts, told)
            if t is decisive:
                return decisive
            if t is None:
                result = None
        return result

    return junction


def later(condition: Condition) -> Check:
    """As ready, but made only when it is first asked: most rules of a base are not asked in most enquiries."""
    made: list[Check] = []

    def check(facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
        if not made:
            made.append(ready(condition))
        return made[0](facts, told)

    return check


def _ready_test(slot: str, test: str, operand: Any) -> Check:
    if test == "in":
        allowed = frozenset(operand) if all(isinstance(x, (str, int, float)) for x in operand) else operand

        def within(facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
            value = facts.get(slot)
            if isinstance(value, str):
                return None if value == "unknown" else value in allowed
            if value is None:
                return None
            if isinstance(value, Possible):
                hits = sum(x in allowed for x in value)
                return None if not value else True if hits == len(value) else False if not hits else None
            if isinstance(value, (list, tuple)):
                return any(x in allowed for x in value)
            return value in allowed

        return within
    if test == "known":

        def is_known(facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
            value = facts.get(slot)
            return (value is not None and value != "unknown") is operand

        return is_known
    if test == "told":

        def is_told(facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
            value = told.get(slot)
            return (value is not None and value != "unknown") is operand

        return is_told

    def general(facts: Mapping[str, Any], told: Mapping[str, Any]) -> Tri:
        return _test(slot, test, operand, facts, told)

    return general
