"""Builds the checked graph from the YAML files: nodes, inline facts written out, references resolved, edges drawn."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from advisor.errors import Fault
from advisor.graph import schema
from advisor.graph.coherence import check_slot
from advisor.graph.conditions import Condition, normalise
from advisor.graph.fields import VERBS
from advisor.graph.model import BY_KEY, BY_NAME, Kind
from advisor.graph.source import Item, read_file, strip_marks

SLOT_PREFIX = "slot/"
PREFIXES = {"slot": SLOT_PREFIX, "role": "role/"}
"""Kinds with names of their own: the slot `cadmium` and the finish family `cadmium` are two things."""


class Node(NamedTuple):
    """One checked node: its kind, plain data, and the place it was written."""

    kind: str
    id: str
    data: Mapping[str, Any]
    file: str
    line: int
    item: Item


class Edge(NamedTuple):
    """A typed link between two nodes."""

    start: str
    kind: str
    end: str


class Built(NamedTuple):
    """The graph as read: nodes by id, edges, and every fault found on the way."""

    nodes: Mapping[str, Node]
    edges: tuple[Edge, ...]
    faults: tuple[Fault, ...]
    conditions: Mapping[int, Condition]

    def of_kind(self, kind: str) -> dict[str, Node]:
        """All nodes of one kind, by id, in reading order."""
        return {i: n for i, n in self.nodes.items() if n.kind == kind}


def yaml_files(folder: Path) -> list[Path]:
    """The knowledge files below a folder, in a fixed order; links out of the folder are not followed."""
    return sorted(p for p in folder.rglob("*.yaml") if p.is_file() and not p.is_symlink())


def build(folder: Path, overlays: Iterable[Path] = ()) -> Built:
    """Read, check and link all files of a knowledge folder (and overlay folders, whose nodes replace the base's)."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        return _Builder().run(folder, list(overlays))
    finally:
        if was_on:
            gc.enable()


class _Builder:
    def __init__(self) -> None:
        self.nodes: dict[str, Node] = {}
        self.faults: list[Fault] = []
        self.edges: dict[Edge, None] = {}
        self.conditions: dict[int, Condition] = {}

    def run(self, folder: Path, overlays: list[Path]) -> Built:
        if not yaml_files(folder):
            self.faults.append(
                Fault(str(folder), 1, 1, "the folder holds no knowledge file (*.yaml); name another with --knowledge")
            )
        for depth, root in enumerate([folder, *overlays]):
            for path in yaml_files(root):
                self._file(
                    path, path.relative_to(root).as_posix() if depth == 0 else path.as_posix(), overlay=depth > 0
                )
        for node in list(self.nodes.values()):
            self._write_out_facts(node)
        for node in list(self.nodes.values()):
            self._link(node)
        return Built(self.nodes, tuple(self.edges), tuple(sorted(set(self.faults))), self.conditions)

    # reading ---------------------------------------------------------------------------------------------------

    def _file(self, path: Path, shown: str, overlay: bool) -> None:
        document, faults = read_file(path, shown)
        self.faults.extend(faults)
        if document is None:
            return
        if not isinstance(document.value, dict):
            self.faults.append(
                Fault(shown, document.line, document.column, "a file is a mapping such as `facts:` with lists below")
            )
            return
        for key, listed in document.value.items():
            kind = BY_KEY.get(key)
            if kind is None:
                self._fault(shown, listed, f"unknown key '{key}'; allowed: {', '.join(BY_KEY)}")
            elif not isinstance(listed.value, list):
                self._fault(shown, listed, f"'{key}' takes a list of nodes, each beginning with `- id:`")
            else:
                for item in listed.value:
                    self._node(kind, item, shown, overlay)

    def _fault(self, shown: str, item: Item, text: str) -> None:
        self.faults.append(Fault(shown, item.line, item.column, text))

    def _node(self, kind: Kind, item: Item, shown: str, overlay: bool) -> None:
        before = len(self.faults)
        schema.check(kind.type, item, lambda where, text: self._fault(shown, where, text))
        if len(self.faults) > before and not (isinstance(item.value, dict) and isinstance(_id(item), str)):
            return
        node_id = _id(item)
        if not isinstance(node_id, str):
            return
        node_id = PREFIXES.get(kind.name, "") + node_id
        if node_id in self.nodes and not (overlay and self.nodes[node_id].kind == kind.name):
            first = self.nodes[node_id]
            self._fault(
                shown, item, f"the id '{node_id}' is taken already by {first.file}:{first.line}; choose another"
            )
            return
        if len(self.faults) > before:
            return
        self.nodes[node_id] = Node(kind.name, node_id, strip_marks(item), shown, item.line, item)
        if kind.name in ("fact", "table", "strength"):
            self._check_citation(shown, item)

    def _check_citation(self, shown: str, item: Item) -> None:
        v = item.value
        basis = v["basis"].value if "basis" in v else None
        if basis == "published":
            for key in ("where", "seen"):
                if key not in v:
                    self._fault(shown, item, f"a published fact needs '{key}'; add it or change the basis")

    # inline facts ----------------------------------------------------------------------------------------------

    def _write_out_facts(self, node: Node) -> None:
        v = node.item.value
        changed: dict[str, Any] = {}
        if "figures" in v:
            changed["figures"] = {
                q: [
                    self._inline(node, x, q, f"{node.id}-{q.replace('_', '-')}" + (f"-{n + 1}" if n else ""))
                    for n, x in enumerate(f.value if isinstance(f.value, list) else [f])
                ]
                for q, f in v["figures"].value.items()
            }
        if "anodic_index_v" in v:
            changed["anodic_index_v"] = self._inline(
                node, v["anodic_index_v"], "anodic_index_v", f"{node.id}-anodic-index-v"
            )
        if "because" in v:
            changed["because"] = [
                self._inline(node, x, "statement", f"{node.id}-fact-{n + 1}") for n, x in enumerate(v["because"].value)
            ]
        if changed:
            self.nodes[node.id] = node._replace(data={**node.data, **changed})

    def _inline(self, owner: Node, item: Item, quantity: str, new_id: str) -> str:
        if isinstance(item.value, str):
            return item.value
        data = strip_marks(item)
        data.setdefault("quantity", quantity)
        data["id"] = new_id
        data["about"] = [owner.id]
        if "text" not in data:
            data["text"] = _figure_text(owner, data)
        if new_id in self.nodes:
            self._fault(
                owner.file,
                item,
                f"the inline fact would be called '{new_id}', which is taken; give it a name of its own",
            )
            return new_id
        self.nodes[new_id] = Node("fact", new_id, data, owner.file, item.line, item)
        self._check_citation(owner.file, item)
        return new_id

    # links -----------------------------------------------------------------------------------------------------

    def _edge(self, start: str, kind: str, end: str) -> None:
        self.edges[Edge(start, kind, end)] = None

    def _link(self, node: Node) -> None:
        kind = BY_NAME[node.kind]
        if node.kind == "fact" and "id" not in node.item.value:
            self._references(node, schema.Struct(dict(kind.fields.items())), node.item)
            for about in node.data["about"]:
                self._edge(node.id, "supports", about)
        else:
            self._references(node, kind.type, node.item)
            if node.kind in ("fact", "table"):
                for about in node.data.get("about", []):
                    self._edge(node.id, "supports", about)
        d = node.data
        if "source" in d and isinstance(d["source"], str):
            self._edge(node.id, "cites", d["source"])
        for q in d.get("figures", {}).values():
            for fact in q:
                self._edge(fact, "supports", node.id)
        for fact in d.get("because", []):
            self._edge(fact, "supports", node.id)
        if isinstance(d.get("anodic_index_v"), str):
            self._edge(d["anodic_index_v"], "supports", node.id)
        match node.kind:
            case "finish":
                self._edge(node.id, "broader", d["family"])
                for x in d.get("supersedes", []):
                    self._edge(node.id, "supersedes", x)
                for x in d.get("equivalent_to", []):
                    self._edge(node.id, "equivalent-to", x)
                for x in d.get("designations", []):
                    self._edge(node.id, "about", x["standard"])
            case "family" if "usual" in d:
                self._edge(node.id, "leads-to", d["usual"])
            case "source" if "superseded_by" in d:
                self._edge(d["superseded_by"], "supersedes", node.id)
            case "caution":
                self._edge(node.id, "broader", d["topic"])
            case "decision":
                self._edge(node.id, "fills", SLOT_PREFIX + d["slot"])
                for o in d["options"]:
                    if "leads_to" in o:
                        self._edge(node.id, "leads-to", o["leads_to"])
            case "term":
                for key in ("slot", "names"):
                    if key in d:
                        self._edge(
                            node.id,
                            "names" if key == "names" else "fills",
                            d[key] if key == "names" else SLOT_PREFIX + d[key],
                        )
            case "reference":
                for x in d["expect"]:
                    self._edge(node.id, "favours", x)
            case "exposure":
                for fact in d.get("facts", []):
                    self._edge(fact, "supports", node.id)
            case "code":
                self._edge(node.id, "cites", d["source"])
                for step in d.get("steps", []):
                    self._edge(step["table"], "supports", node.id)
            case "set":
                self._selector(node, node.item.value["of"], "broader")
            case "role":
                for x in d.get("of", []):
                    self._edge(node.id, "names", x)
            case "slot":
                check_slot(node.item, lambda where, text: self._fault(node.file, where, text))
            case "rule":
                self._rule(node)
        if node.kind == "decision" and "relevant" in node.item.value:
            self._condition(node, node.item.value["relevant"])

    def _references(self, node: Node, t: schema.Type, item: Item) -> None:
        v = item.value
        match t:
            case schema.Ref(kinds=kinds):
                known_as = SLOT_PREFIX + v if isinstance(v, str) and kinds == ("slot",) else v
                target = self.nodes.get(known_as) if isinstance(v, str) else None
                if target is None:
                    self._fault(node.file, item, f"'{v}' does not exist; it should be the id of a {' or '.join(kinds)}")
                elif target.kind not in kinds:
                    self._fault(node.file, item, f"'{v}' is a {target.kind}; here stands a {' or '.join(kinds)}")
            case schema.Names() if node.kind == "reference":
                self._selector(node, item, None)
            case schema.ListOf(item=inner):
                for x in v if isinstance(v, list) else []:
                    self._references(node, inner, x)
            case schema.MapOf(value=inner):
                for x in v.values() if isinstance(v, dict) else []:
                    self._references(node, inner, x)
            case schema.Struct(fields=fields):
                for key, x in v.items() if isinstance(v, dict) else []:
                    if key in fields:
                        self._references(node, fields[key], x)
            case schema.OneOf(types=types):
                for x in types:
                    if schema._shape_fits(x, item):
                        self._references(node, x, item)
                        break
            case _:
                pass

    def _slots(self) -> Mapping[str, Mapping[str, Any]]:
        if not hasattr(self, "_slot_cache"):
            self._slot_cache = {n.data["id"]: n.data for n in self.nodes.values() if n.kind == "slot"}
        return self._slot_cache

    def _condition(self, node: Node, item: Item) -> None:
        self.conditions[id(item)] = normalise(
            item, self._slots(), lambda where, text: self._fault(node.file, where, text)
        )

    def _selector(self, node: Node, item: Item, edge: str | None) -> None:
        v = item.value
        if isinstance(v, dict):
            for key in ("of", "except"):
                if key in v:
                    self._selector(node, v[key], edge if key == "of" else None)
            return
        for x in [item] if isinstance(v, str) else v:
            target = self.nodes.get(x.value)
            if x.value == "all":
                continue
            if target is None or target.kind not in ("set", "family", "finish"):
                self._fault(node.file, x, f"'{x.value}' is not a set, family or finish")
            elif edge:
                self._edge(node.id, edge, x.value)

    def _rule(self, node: Node) -> None:
        v = node.item.value
        self._edge(node.id, "broader", node.data["group"])
        self._condition(node, v["when"])
        for action in v["then"].value:
            a = action.value
            verbs = [k for k in a if k in VERBS]
            if len(verbs) != 1:
                self._fault(node.file, action, f"an action has exactly one of {', '.join(VERBS)}; found {len(verbs)}")
                continue
            verb = verbs[0]
            for key in ("if", "unless"):
                if key in a:
                    self._condition(node, a[key])
            if verb in ("exclude", "conditional"):
                self._selector(node, a[verb], "excludes" if verb == "exclude" else "requires")
            if verb == "conditional" and "text" not in a:
                self._fault(node.file, action, "a conditional action needs 'text': the condition in words")
            if verb == "warn":
                self._edge(node.id, "warns", a[verb].value)
            if verb == "refer":
                self._edge(node.id, "refers", node.data["group"])
            if verb == "favour" and "of" not in a:
                self._fault(node.file, action, "favour needs 'of': which finishes")
            if "of" in a:
                self._selector(node, a["of"], "favours" if verb == "favour" else None)
            if verb == "derive":
                for slot in a[verb].value:
                    if slot not in self._slots():
                        self._fault(node.file, a[verb], f"unknown slot '{slot}'")
        for case in (c for part in node.item.value.get("cases", Item({}, 0, 0)).value.values() for c in part.value):
            for slot, x in case.value.items():
                if slot not in self._slots():
                    self._fault(node.file, x, f"unknown slot '{slot}' in a case")


def _id(item: Item) -> Any:
    v = item.value
    return v["id"].value if isinstance(v, dict) and "id" in v else None


def _figure_text(owner: Node, data: Mapping[str, Any]) -> str:
    value = data["value"]
    shown = (
        f"{value[0]:g} to {value[1]:g}"
        if isinstance(value, list)
        else f"{value:g}"
        if not isinstance(value, str)
        else value
    )
    unit = f" {data['unit']}" if "unit" in data else ""
    when = f" ({data['when']})" if "when" in data else ""
    quantity = str(data["quantity"]).replace("_", " ")
    return f"{owner.data.get('name', owner.id)}: {quantity} {shown}{unit}{when}"
