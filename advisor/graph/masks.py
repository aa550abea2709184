"""Bit masks over the finishes: what sets, families, finishes and tests of attributes stand for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from advisor.graph.build import Built


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
    if not isinstance(test, dict):
        test = {"is": test}
    for op, operand in test.items():
        if op == "known":
            if (value is not None) is not operand:
                return False
            continue
        if op == "not_in":
            values = value if isinstance(value, list) else [value]
            if any(v in operand for v in values):
                return False
            continue
        if value is None:
            if op in ("is", "in") and (operand is False or (isinstance(operand, list) and False in operand)):
                continue
            return False
        if op in ("is", "in"):
            allowed = operand if isinstance(operand, list) else [operand]
            values = value if isinstance(value, list) else [value]
            if not any(v in allowed for v in values):
                return False
        elif isinstance(value, (int, float)):
            ok = {
                "above": value > operand,
                "at_least": value >= operand,
                "below": value < operand,
                "at_most": value <= operand,
            }
            if not ok.get(op, False):
                return False
        else:
            return False
    return True
