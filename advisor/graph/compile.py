"""Turns the checked graph into the form that answers enquiries: finishes with what they inherit, rules with masks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from advisor.graph.build import Built
from advisor.graph.conditions import Condition, slots_of
from advisor.graph.fields import VERBS
from advisor.graph.parts import PREFIXES, Node
from advisor.graph.source import Item

ATTRIBUTES = ("material", "process", "charges_hydrogen", "legacy", "stock")
"""What a finish inherits from its family when it does not say it itself."""


def compile_sections(built: Built) -> dict[str, Any]:
    """The sections of the compiled base, each JSON-ready."""
    finishes = [_finish(built, n) for n in built.of_kind("finish").values() if n.data["family"] in built.nodes]
    masks = Masks(built, finishes)
    plain = {
        kind: {i: n.data for i, n in built.of_kind(kind).items()}
        for kind in (
            "family",
            "slot",
            "exposure",
            "strength",
            "topic",
            "caution",
            "decision",
            "phrase",
            "weight",
            "source",
            "fact",
            "table",
            "reference",
            "set",
            "term",
            "code",
            "role",
            "application",
            "document",
            "offer",
            "chemical",
            "complaint",
            "cause",
        )
    }
    for kind, prefix in PREFIXES.items():
        plain[kind] = {i.removeprefix(prefix): n for i, n in plain[kind].items()}
    rules = [_rule(built, masks, n) for n in built.of_kind("rule").values()]
    order = {i: float(n.get("order", 99)) for i, n in plain["topic"].items()}
    rules.sort(key=lambda r: order.get(r["group"], 99.0))
    for i, n in built.of_kind("decision").items():
        if "relevant" in n.item.value:
            plain["decision"][i] = {**n.data, "relevant": built.conditions[id(n.item.value["relevant"])]}
    for i, n in built.of_kind("cause").items():
        plain["cause"][i] = _cause(built, n)
    for i, d in plain["term"].items():
        plain["term"][i] = _filled(built, d)
    sections: dict[str, Any] = dict(plain.items())
    sections["finish"] = {f["id"]: f for f in finishes}
    sections["rule"] = {r["id"]: r for r in rules}
    sections["masks"] = {
        "finishes": [f["id"] for f in finishes],
        "names": {name: masks.of_name(name) for name in [*plain["family"], *plain["set"]]},
        **_screening(finishes),
    }
    sections["case"] = {i: r.pop("cases") for i, r in sections["rule"].items()}
    sections["neighbours"] = _neighbours(built)
    sections["places"] = {i: [n.kind, n.file, n.line] for i, n in built.nodes.items()}
    return sections


def _cause(built: Built, node: Node) -> dict[str, Any]:
    """A cause with the conditions of its evidence in their one form."""
    out = dict(node.data)
    for side in ("for", "against"):
        entries = node.item.value[side].value if side in node.item.value else ()
        if entries:
            out[side] = [
                {**d, "when": built.conditions[id(x.value["when"])]}
                for d, x in zip(node.data[side], entries, strict=True)
            ]
    return out


def _filled(built: Built, term: Mapping[str, Any]) -> Mapping[str, Any]:
    """A term that only names a node, with the slot that naming it fills: a wish for a finish, a class, a place."""
    if "slot" in term or "names" not in term or "intent" in term or "circumstance" in term:
        return term
    named = built.nodes[term["names"]]
    slots = {n.data["id"]: n.data for n in built.of_kind("slot").values()}
    value: Any
    match named.kind:
        case "family" | "finish":
            slot, value = "finish_asked", [named.data.get("family", named.id)]
        case "strength":
            slot, value = "strength", named.data["grade"]
        case "exposure":
            slot = next((s for s, d in slots.items() if named.id in d.get("values", ()) and s != "circumstance"), "")
            value = [named.id] if slot and slots[slot]["type"] == "choices" else named.id
        case _:
            return term
    return {**term, "slot": slot, "value": value} if slot in slots else term


SCREENED = (
    "thickness_um",
    "salt_spray_white_h",
    "salt_spray_white_push_h",
    "salt_spray_red_h",
    "salt_spray_red_push_h",
    "temperature_ok_c",
    "temperature_limit_c",
    "relative_cost",
    "friction",
)
"""Figures that screening and ranking read for every finish; all others are read when a finish is shown."""


def _screening(finishes: list[dict[str, Any]]) -> dict[str, Any]:
    """What screening reads of the finishes, as masks and columns, so that it need not read the finishes themselves."""
    none: dict[str, int] = {}
    weak: dict[str, int] = {}
    colours: dict[str, int] = {}
    legacy = 0
    for i, f in enumerate(finishes):
        bit = 1 << i
        for place, cell in f["viability"].items():
            if cell != "good":
                store = none if cell == "none" else weak
                store[place] = store.get(place, 0) | bit
        for colour in f.get("colour", ()):
            colours[colour] = colours.get(colour, 0) | bit
        if f.get("legacy"):
            legacy |= bit
    columns: dict[str, list[Any]] = {}
    for q in SCREENED:
        column: list[Any] = []
        for f in finishes:
            first = f["figures"].get(q, [None])[0]
            column.append(
                [first[0], first[1], first[2], first[6], first[4]] if first and first[1] is not None else None
            )
        columns[q] = column
    return {
        "family": [f["family"] for f in finishes],
        "process": [f.get("process", "") for f in finishes],
        "stock": [f.get("stock", "order") for f in finishes],
        "none": none,
        "weak": weak,
        "colours": colours,
        "legacy": legacy,
        "columns": columns,
    }


def _figure(built: Built, fact_id: str) -> list[Any] | None:
    """[fact id, low, high, text, unit, when, basis] of one fact; None when it is missing."""
    node = built.nodes.get(fact_id)
    if node is None:
        return None
    d = node.data
    v = d.get("value")
    low, high, text = None, None, None
    if isinstance(v, list):
        low, high = v
    elif isinstance(v, (int, float)):
        low = high = v
    else:
        text = v if v is not None else d["text"]
    return [fact_id, low, high, text, d.get("unit", ""), d.get("when", ""), d["basis"]]


def _finish(built: Built, node: Node) -> dict[str, Any]:
    """A finish with what it inherits from its family."""
    family = built.nodes[node.data["family"]].data
    out = {k: v for k, v in node.data.items() if k != "figures"}
    for key in ATTRIBUTES:
        if key not in out and key in family:
            out[key] = family[key]
    out["viability"] = {**family.get("viability", {}), **node.data.get("viability", {})}
    figures: dict[str, Any] = {}
    for q, facts in {**family.get("figures", {}), **node.data.get("figures", {})}.items():
        entries = [x for x in (_figure(built, f) for f in facts) if x is not None]
        if entries:
            figures[q] = entries
    out["figures"] = figures
    return out


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


def _rule(built: Built, masks: Masks, node: Node) -> dict[str, Any]:
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


def _neighbours(built: Built) -> dict[str, list[list[str]]]:
    """Per node its links in both directions: [edge kind, node, out|in]."""
    out: dict[str, list[list[str]]] = {}
    for e in built.edges:
        out.setdefault(e.start, []).append([e.kind, e.end, "out"])
        out.setdefault(e.end, []).append([e.kind, e.start, "in"])
    return out


def attribute_names(item: Item) -> list[str]:
    """The attribute names of a `where` mapping (for the audit)."""
    return list(item.value) if isinstance(item.value, dict) else []
