"""Turns the checked graph into the form that answers enquiries: finishes with what they inherit, rules with masks."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from advisor.errors import Fault
from advisor.graph.build import Built, build
from advisor.graph.compile_rules import rule
from advisor.graph.implied import implied
from advisor.graph.lineage import with_inherited
from advisor.graph.masks import Masks
from advisor.graph.parts import PREFIXES, Node
from advisor.graph.sections import Entries

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

ATTRIBUTES = ("material", "process", "charges_hydrogen", "legacy", "stock")
"""What a finish inherits from its family when it does not say it itself."""


PLAIN = (
    "family",
    "slot",
    "exposure",
    "strength",
    "topic",
    "caution",
    "decision",
    "phrase",
    "heading",
    "weight",
    "source",
    "fact",
    "table",
    "reference",
    "set",
    "term",
    "ask",
    "code",
    "role",
    "application",
    "document",
    "offer",
    "supply",
    "chemical",
    "complaint",
    "cause",
)
"""Kinds that go into the base much as they are written."""
WHOLE = frozenset(("family", "slot", "topic", "decision", "weight", "set", "role"))
"""Sections of which an answer wants most entries; of all other kinds it wants few, and reads them one by one."""
ENTRY_BY_ENTRY = frozenset(("finish", "rule", "case", "neighbours", "places", "says", "postings", *PLAIN)) - WHOLE
"""Sections of which an answer wants few entries."""


def compiled_knowledge(
    roots: list[str], extensions: Mapping[str, Callable[[Mapping[str, Any]], Mapping[str, Any]]]
) -> tuple[dict[str, Any], tuple[Fault, ...]]:
    """All sections of a knowledge folder and its overlays, those of the extensions too; or the faults of its files."""
    was_on = gc.isenabled()
    gc.disable()  # nothing made here is garbage before the end; collecting would go over a growing heap again and again
    try:
        built = build(Path(roots[0]), [Path(r) for r in roots[1:]])
        if built.faults:
            return {}, built.faults
        sections = compile_sections(built)
        for extend in extensions.values():
            sections.update(extend(sections))
        stored = {name: Entries(s) if name in ENTRY_BY_ENTRY else s for name, s in sections.items()}
        return stored, ()
    finally:
        if was_on:
            gc.enable()


def compile_sections(built: Built) -> dict[str, Any]:
    """The sections of the compiled base, of plain values alone."""
    finishes = [_finish(built, n) for n in built.of_kind("finish").values() if n.data["family"] in built.nodes]
    masks = Masks(built, finishes)
    plain = {kind: {i: n.data for i, n in built.of_kind(kind).items()} for kind in PLAIN}
    for kind, prefix in PREFIXES.items():
        plain[kind] = {i.removeprefix(prefix): n for i, n in plain[kind].items()}
    more = implied(plain, masks.of_name)
    plain["fact"] = {**plain["fact"], **more.facts}
    plain["caution"] = {**plain["caution"], **more.cautions}
    rules = [*(rule(built, masks, n) for n in built.of_kind("rule").values()), *more.rules]
    order = {i: float(n.get("order", 99)) for i, n in plain["topic"].items()}
    rules.sort(key=lambda r: order.get(r["group"], 99.0))
    for i, n in built.of_kind("decision").items():
        if "relevant" in n.item.value:
            plain["decision"][i] = {**n.data, "relevant": built.conditions[id(n.item.value["relevant"])]}
    plain["application"] = with_inherited(plain["application"])
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
    sections["neighbours"] = _neighbours([*((e.start, e.kind, e.end) for e in built.edges), *more.edges])
    sections["layers"] = {i: built.layers[n.file] for i, n in built.nodes.items() if n.file in built.layers}
    sections["places"] = {i: [n.kind, n.file, n.line] for i, n in built.nodes.items()}
    for kind, nodes in (("fact", more.facts), ("caution", more.cautions), ("rule", {r["id"]: r for r in more.rules})):
        sections["places"].update((i, [kind, *_where(built, i)]) for i in nodes)
    return sections


def _where(built: Built, node_id: str) -> tuple[str, int]:
    """File and line of the node that an implied node comes from: the longest id that begins its own."""
    parts = node_id.split("-")
    for n in range(len(parts) - 1, 0, -1):
        node = built.nodes.get("-".join(parts[:n]))
        if node is not None:
            return node.file, node.line
    return "", 0


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


def _neighbours(edges: Iterable[tuple[str, str, str]]) -> dict[str, list[list[str]]]:
    """Per node its links in both directions: [edge kind, node, out|in]."""
    out: dict[str, list[list[str]]] = {}
    for start, kind, end in edges:
        out.setdefault(start, []).append([kind, end, "out"])
        out.setdefault(end, []).append([kind, start, "in"])
    return out
