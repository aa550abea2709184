"""A rule as it is compiled: its conditions in one form, its actions with the masks of the finishes they concern."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.graph.build import Built
from advisor.graph.conditions import Condition, slots_of
from advisor.graph.fields import VERBS
from advisor.graph.masks import Masks
from advisor.graph.parts import Node

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def rule(built: Built, masks: Masks, node: Node) -> dict[str, Any]:
    """The compiled form of a rule."""
    d = node.data
    v = node.item.value
    when = built.conditions[id(v["when"])]
    reads = set(slots_of(when))
    actions: list[dict[str, Any]] = []
    for action, item in zip(d["then"], v["then"].value, strict=True):
        verb = next(k for k in action if k in VERBS)
        out: dict[str, Any] = {"verb": verb, "value": action[verb]}
        if verb in ("exclude", "conditional"):
            out["mask"] = masks.of_selector(action[verb])
        elif "of" in action:
            out["mask"] = masks.of_selector(action["of"])
        for key in ("if", "unless"):
            if key in action:
                condition = built.conditions[id(item.value[key])]
                out[key] = condition
                reads.update(slots_of(condition))
        for key in ("text", "severity", "to"):
            if key in action:
                out[key] = action[key]
        actions.append(out)
    return {
        "id": node.id,
        "group": d["group"],
        "strength": d["strength"],
        "text": d["text"],
        "when": when,
        "if_unknown": d.get("if_unknown", "ignore"),
        "then": actions,
        "because": list(d["because"]),
        "reads": sorted(reads),
        "needs": list(dict.fromkeys(_needs(when))) if d.get("if_unknown", "ignore") == "ignore" else [],
        "places": list(dict.fromkeys(_places(when))),
        "derives": any(a["verb"] == "derive" for a in actions),
        "cases": d.get("cases", {}),
    }


def _needs(condition: Condition) -> Iterator[str]:
    """The slots without which a condition cannot be true."""
    if condition[0] == "test":
        if condition[2] not in ("known", "told"):
            yield condition[1]
    elif condition[0] == "all":
        for c in condition[1:]:
            yield from _needs(c)


def _places(condition: Condition) -> Iterator[str]:
    """The environments that a condition asks for (not those it denies)."""
    if condition[0] == "test":
        if condition[1] == "environment" and condition[2] in ("in", "only"):
            yield from condition[3]
    elif condition[0] != "not":
        for c in condition[1:]:
            yield from _places(c)
