"""Builds the checked graph from the YAML files: nodes read, inline facts written out, then linked."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path
from types import MappingProxyType

from advisor.errors import Fault
from advisor.graph import schema
from advisor.graph.conditions import Condition
from advisor.graph.kind import Kind
from advisor.graph.layers import check_layer
from advisor.graph.linking import Linker
from advisor.graph.model import BY_KEY
from advisor.graph.parts import PREFIXES, Edge, Node
from advisor.graph.source import Item, read_file, strip_marks
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Built(NamedTuple):
    """The graph as read: nodes by id, edges, and every fault found on the way."""

    nodes: Mapping[str, Node]
    edges: tuple[Edge, ...]
    faults: tuple[Fault, ...]
    conditions: Mapping[int, Condition]
    layers: Mapping[str, str] = MappingProxyType({})
    """Of files of overlays: the name of the layer, which is that of its folder."""

    def of_kind(self, kind: str) -> dict[str, Node]:
        """All nodes of one kind, by id, in reading order."""
        return {i: n for i, n in self.nodes.items() if n.kind == kind}


def yaml_files(folder: Path) -> list[Path]:
    """The knowledge files below a folder, in a fixed order; links out of the folder are not followed."""
    return sorted(p for p in folder.rglob("*.yaml") if p.is_file() and not p.is_symlink())


def build(folder: Path, overlays: Iterable[Path] = ()) -> Built:
    """Read, check and link all files of a knowledge folder, and of overlay folders, which add to it."""
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
        self.layers: dict[str, str] = {}
        self._below: Mapping[str, Node] = {}

    def run(self, folder: Path, overlays: list[Path]) -> Built:
        if not yaml_files(folder):
            self.faults.append(
                Fault(
                    str(folder),
                    1,
                    1,
                    "KB001",
                    "the folder holds no knowledge file (*.yaml)",
                    "name another with --knowledge",
                )
            )
        for depth, root in enumerate([folder, *overlays]):
            self._below = dict(self.nodes)
            for path in yaml_files(root):
                shown = path.relative_to(root).as_posix() if depth == 0 else path.as_posix()
                if depth:
                    self.layers[shown] = root.resolve().name
                self._file(path, shown)
        for node in list(self.nodes.values()):
            self._write_out_facts(node)
        linker = Linker(self.nodes, self._fault)
        linker.link_all()
        faults = tuple(sorted(set(self.faults)))
        return Built(self.nodes, tuple(linker.edges), faults, linker.conditions, self.layers)

    # reading ---------------------------------------------------------------------------------------------------

    def _file(self, path: Path, shown: str) -> None:
        document, faults = read_file(path, shown)
        self.faults.extend(faults)
        if document is None:
            return
        if not isinstance(document.value, dict):
            self.faults.append(
                Fault(
                    shown,
                    document.line,
                    document.column,
                    "KB003",
                    "a file is a mapping such as `facts:` with lists below",
                )
            )
            return
        for key, listed in document.value.items():
            kind = BY_KEY.get(key)
            if kind is None:
                self._fault(shown, listed, "KB011", f"unknown key '{key}'", f"allowed: {', '.join(BY_KEY)}")
            elif not isinstance(listed.value, list):
                self._fault(shown, listed, "KB012", f"'{key}' takes a list of nodes, each beginning with `- id:`")
            else:
                for item in listed.value:
                    self._node(kind, item, shown)

    def _fault(self, shown: str, where: Item, code: str, text: str, remedy: str = "") -> None:
        self.faults.append(Fault(shown, where.line, where.column, code, text, remedy))

    def _node(self, kind: Kind, item: Item, shown: str) -> None:
        before = len(self.faults)
        schema.check(kind.type, item, partial(self._fault, shown))
        if len(self.faults) > before and not (isinstance(item.value, dict) and isinstance(_id(item), str)):
            return
        node_id = _id(item)
        if not isinstance(node_id, str):
            return
        node_id = PREFIXES.get(kind.name, "") + node_id
        if node_id in self.nodes and node_id not in self._below:
            first = self.nodes[node_id]
            self._fault(
                shown,
                item,
                "KB013",
                f"the id '{node_id}' is taken already by {first.file}:{first.line}",
                "choose another",
            )
            return
        if len(self.faults) > before:
            return
        node = Node(kind.name, node_id, strip_marks(item), shown, item.line, item)
        if shown in self.layers:
            check_layer(node, self._below, partial(self._fault, shown))
        self.nodes[node_id] = node
        if kind.name in ("fact", "table", "strength"):
            self._check_citation(shown, item)

    def _check_citation(self, shown: str, item: Item) -> None:
        v = item.value
        basis = v["basis"].value if "basis" in v else None
        for key in {"published": ("where", "seen"), "derived": ("where",)}.get(str(basis), ()):
            if key not in v:
                self._fault(shown, item, "KB031", f"a {basis} fact needs '{key}'", "add it or change the basis")

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
                "KB013",
                f"the inline fact would be called '{new_id}', which is taken",
                "give it a name of its own",
            )
            return new_id
        self.nodes[new_id] = Node("fact", new_id, data, owner.file, item.line, item)
        self._check_citation(owner.file, item)
        return new_id


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
