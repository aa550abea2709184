"""Bit masks over the finishes: what sets, families, finishes and tests of attributes stand for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.graph.build import Built

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Masks:
    """Bit masks over the finishes for the selectors that rules use."""

    def __init__(self, built: Built, finishes: list[dict[str, Any]]) -> None:
        self._built = built
        self._finishes = finishes
        self._bit = {f["id"]: 1 << i for i, f in enumerate(finishes)}
        self._names: dict[str, int] = {}
        self.everything = (1 << len(finishes)) - 1

    def of_name(self, name: str, seen: frozenset[str] = frozenset()) -> int:
        """The finishes that a set, family or finish name stands for."""
        if name == "all":
            return self.everything
        if name in self._names:
            return self._names[name]
        node = self._built.nodes.get(name)
        if node is None or name in seen:
            return 0
        if node.kind == "finish":
            return self._bit.get(name, 0)
        if node.kind == "family":
            mask = 0
            for f in self._finishes:
                if f["family"] == name:
                    mask |= self._bit[f["id"]]
        elif node.kind == "set":
            mask = self._union(node.data["of"], seen | {name})
            mask &= ~self._union(node.data.get("except", []), seen | {name})
            mask &= self._where(node.data.get("where"))
        else:
            return 0
        self._names[name] = mask
        return mask

    def _union(self, names: Iterable[str], seen: frozenset[str]) -> int:
        mask = 0
        for n in names:
            mask |= self.of_name(n, seen)
        return mask

    def of_selector(self, selector: Any) -> int:
        """The finishes that a selector as written stands for."""
        if isinstance(selector, str):
            return self.of_name(selector)
        if isinstance(selector, list):
            return self._union(selector, frozenset())
        mask = self._union(selector.get("of", ["all"]), frozenset())
        mask &= ~self._union(selector.get("except", []), frozenset())
        return mask & self._where(selector.get("where"))

    def _where(self, where: Mapping[str, Any] | None) -> int:
        if not where:
            return self.everything
        mask = 0
        for f in self._finishes:
            if all(_attribute_holds(f, name, test) for name, test in where.items()):
                mask |= self._bit[f["id"]]
        return mask


def _attribute_holds(finish: Mapping[str, Any], name: str, test: Any) -> bool:
    """Whether one attribute of a finish satisfies a test; a missing attribute satisfies only `not` style tests."""
    value: Any = finish.get(name)
    if value is None and name in finish["figures"]:
        value = finish["figures"][name][0][1]
    tests = test if isinstance(test, dict) else {"is": test}
    return all(_holds(op, value, operand) for op, operand in tests.items())


def _holds(op: str, value: Any, operand: Any) -> bool:
    """One test of one value; None is a missing attribute, which counts as false where false is allowed."""
    if op == "known":
        return (value is not None) is operand
    values = value if isinstance(value, list) else [value]
    if op == "not_in":
        return not any(v in operand for v in values)
    if op in ("is", "in"):
        allowed = operand if isinstance(operand, list) else [operand]
        return any((False if v is None else v) in allowed for v in values)
    if not isinstance(value, (int, float)):
        return False
    match op:
        case "above":
            return bool(value > operand)
        case "at_least":
            return bool(value >= operand)
        case "below":
            return bool(value < operand)
        case "at_most":
            return bool(value <= operand)
    return False
