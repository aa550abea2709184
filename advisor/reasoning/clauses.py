"""Conditions brought to "any of (all of tests)", negation pushed down to the tests: the form that is judged by bits.

Strong Kleene logic is a distributive lattice in which De Morgan's laws hold, so the truth stays what it was, unknown
included.
"""

from __future__ import annotations

from advisor.graph.conditions import Condition
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Literal(NamedTuple):
    """One test of one slot, denied or not."""

    slot: str
    test: str
    operand: Any
    denied: bool


def clauses(condition: Condition, denied: bool = False) -> list[list[Literal]]:
    """The clauses of a condition: true when all tests of any clause are. No clause: never; an empty one: always.

    >>> a, b, c = (["test", s, "in", ["x"]] for s in "abc")
    >>> [[x.slot for x in clause] for clause in clauses(["all", a, ["any", b, c]])]
    [['a', 'b'], ['a', 'c']]
    >>> [(x.slot, x.denied) for clause in clauses(["not", ["any", a, b]]) for x in clause]
    [('a', True), ('b', True)]
    >>> clauses(["all"]), clauses(["any"])
    ([[]], [])
    """
    op = condition[0]
    if op == "test":
        return [[Literal(condition[1], condition[2], condition[3], denied)]]
    if op == "not":
        return clauses(condition[1], not denied)
    parts = [clauses(c, denied) for c in condition[1:]]
    if (op == "all") == denied:
        return [clause for part in parts for clause in part]
    out: list[list[Literal]] = [[]]
    for part in parts:
        out = [[*before, *clause] for before in out for clause in part]
    return out
