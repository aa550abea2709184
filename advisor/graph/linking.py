"""Links the nodes: references resolved, conditions brought to one form, edges drawn; faults told at their place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from advisor.graph import coherence, schema
from advisor.graph.conditions import Condition, normalise
from advisor.graph.fields import VERBS
from advisor.graph.model import BY_NAME
from advisor.graph.parts import SLOT_PREFIX, Edge, Node
from advisor.graph.source import Item, TellFault

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

FileReport = Callable[..., None]
"""Called with the file, then as `TellFault` is."""

LINKS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "finish": (("family", "broader"), ("supersedes", "supersedes"), ("equivalent_to", "equivalent-to")),
    "family": (("usual", "leads-to"),),
    "caution": (("topic", "broader"),),
    "role": (("of", "names"),),
    "reference": (("expect", "favours"),),
    "rule": (("group", "broader"),),
    "application": (("is_a", "broader"), ("usual", "favours"), ("never", "excludes"), ("chemical", "leads-to")),
    "document": (("coats", "favours"), ("forbids", "excludes"), ("superseded_by", "leads-to")),
    "offer": (("finish", "about"),),
    "supply": (("finish", "about"),),
    "complaint": (("causes", "leads-to"),),
}
"""Per kind the fields that are links: the field, and the kind of edge from the node to what the field names."""


class Linker:
    """Goes over all nodes once; `edges` and `conditions` (by the place where they are written) are its result."""

    def __init__(self, nodes: Mapping[str, Node], report: FileReport) -> None:
        self._nodes = nodes
        self._fault = report
        self._slots = {n.data["id"]: n.data for n in nodes.values() if n.kind == "slot"}
        self.edges: dict[Edge, None] = {}
        self.conditions: dict[int, Condition] = {}

    def link_all(self) -> None:
        """Link every node in reading order."""
        for node in list(self._nodes.values()):
            self._check_references(node)
            self._support(node)
            for field, edge in LINKS.get(node.kind, ()):
                for other in _listed(node.data.get(field)):
                    self._edge(node.id, edge, other)
            self._particular(node)
            coherence.check(node.kind, node.item, self._slots, self._reporter(node))

    def _reporter(self, node: Node) -> TellFault:
        return partial(self._fault, node.file)

    def _edge(self, start: str, kind: str, end: str) -> None:
        self.edges[Edge(start, kind, end)] = None

    def _check_references(self, node: Node) -> None:
        kind = BY_NAME[node.kind]
        inline = node.kind == "fact" and "id" not in node.item.value
        self._references(node, schema.Struct(dict(kind.fields.items())) if inline else kind.type, node.item)

    def _support(self, node: Node) -> None:
        """Facts stand behind what they are about and what names them; whatever has a source cites it."""
        d = node.data
        if node.kind in ("fact", "table"):
            for about in d.get("about", ()):
                self._edge(node.id, "supports", about)
        if isinstance(d.get("source"), str):
            self._edge(node.id, "cites", d["source"])
        for facts in d.get("figures", {}).values():
            for fact in facts:
                self._edge(fact, "supports", node.id)
        for fact in (*d.get("because", ()), *_listed(d.get("anodic_index_v"))):
            self._edge(fact, "supports", node.id)

    def _particular(self, node: Node) -> None:
        """What one kind alone has."""
        d = node.data
        match node.kind:
            case "finish":
                for x in d.get("designations", ()):
                    self._edge(node.id, "about", x["standard"])
            case "source" if "superseded_by" in d:
                self._edge(d["superseded_by"], "supersedes", node.id)
            case "decision":
                self._decision(node)
            case "term":
                self._term(node)
            case "exposure":
                for fact in d.get("facts", ()):
                    self._edge(fact, "supports", node.id)
            case "code":
                for step in d.get("steps", ()):
                    self._edge(step["table"], "supports", node.id)
            case "set":
                self._selector(node, node.item.value["of"], "broader")
            case "cause":
                self._evidence(node)
            case "chemical":
                self._substance(node)
            case "rule":
                self._rule(node)

    def _decision(self, node: Node) -> None:
        self._edge(node.id, "fills", SLOT_PREFIX + node.data["slot"])
        for option in node.data["options"]:
            if "leads_to" in option:
                self._edge(node.id, "leads-to", option["leads_to"])
        if "relevant" in node.item.value:
            self._condition(node, node.item.value["relevant"])

    def _term(self, node: Node) -> None:
        if "slot" in node.data:
            self._edge(node.id, "fills", SLOT_PREFIX + node.data["slot"])
        if "names" in node.data:
            self._edge(node.id, "names", node.data["names"])

    def _evidence(self, node: Node) -> None:
        for side in ("for", "against"):
            for entry in node.item.value[side].value if side in node.item.value else ():
                self._condition(node, entry.value["when"])
                if "source" in entry.value:
                    self._edge(node.id, "cites", entry.value["source"].value)

    def _substance(self, node: Node) -> None:
        """What a chemical does: the documents behind it, the cautions it calls, the metals and coats it judges."""
        v = node.item.value
        for entry in (*_each(v, "hazards"), *_each(v, "bands")):
            self._edge(node.id, "cites", entry["source"].value)
            if "caution" in entry:
                self._edge(node.id, "warns", entry["caution"].value)
            for metal, verdict in entry["verdicts"].value.items() if "verdicts" in entry else ():
                target = self._nodes.get(metal)
                if target is None or target.kind not in ("set", "family", "finish"):
                    self._fault(node.file, verdict, "KB021", f"'{metal}' is not a set, family or finish")

    def _references(self, node: Node, t: schema.Type, item: Item) -> None:
        v = item.value
        match t:
            case schema.Ref(kinds=kinds):
                self._reference(node, kinds, item)
            case schema.Names() if node.kind not in ("set", "rule"):
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

    def _reference(self, node: Node, kinds: tuple[str, ...], item: Item) -> None:
        v = item.value
        known_as = SLOT_PREFIX + v if isinstance(v, str) and kinds == ("slot",) else v
        target = self._nodes.get(known_as) if isinstance(v, str) else None
        if target is None:
            self._fault(
                node.file, item, "KB021", f"'{v}' does not exist", f"it should be the id of a {' or '.join(kinds)}"
            )
        elif target.kind not in kinds:
            self._fault(node.file, item, "KB021", f"'{v}' is a {target.kind}", f"here stands a {' or '.join(kinds)}")

    def _condition(self, node: Node, item: Item) -> None:
        self.conditions[id(item)] = normalise(item, self._slots, self._reporter(node))

    def _selector(self, node: Node, item: Item, edge: str | None) -> None:
        v = item.value
        if isinstance(v, dict):
            for key in ("of", "except"):
                if key in v:
                    self._selector(node, v[key], edge if key == "of" else None)
            return
        for x in [item] if isinstance(v, str) else v:
            target = self._nodes.get(x.value)
            if x.value == "all":
                continue
            if target is None or target.kind not in ("set", "family", "finish"):
                self._fault(node.file, x, "KB021", f"'{x.value}' is not a set, family or finish")
            elif edge:
                self._edge(node.id, edge, x.value)

    def _rule(self, node: Node) -> None:
        v = node.item.value
        self._condition(node, v["when"])
        for action in v["then"].value:
            verbs = [k for k in action.value if k in VERBS]
            if len(verbs) != 1:
                self._fault(
                    node.file,
                    action,
                    "KB042",
                    f"an action has exactly one of {', '.join(VERBS)}",
                    f"found {len(verbs)}",
                )
                continue
            self._action(node, action, verbs[0])
        for where, slot in _slots_in_cases(v):
            if slot not in self._slots:
                self._fault(node.file, where, "KB043", f"unknown slot '{slot}' in a case")

    def _action(self, node: Node, action: Item, verb: str) -> None:
        a = action.value
        for key in ("if", "unless"):
            if key in a:
                self._condition(node, a[key])
        match verb:
            case "exclude" | "conditional":
                self._selector(node, a[verb], "excludes" if verb == "exclude" else "requires")
            case "warn":
                self._edge(node.id, "warns", a[verb].value)
            case "refer":
                self._edge(node.id, "refers", node.data["group"])
            case "derive":
                for slot in a[verb].value:
                    if slot not in self._slots:
                        self._fault(node.file, a[verb], "KB041", f"unknown slot '{slot}'")
        if verb == "conditional" and "text" not in a:
            self._fault(node.file, action, "KB042", "a conditional action needs 'text': the condition in words")
        if verb == "answer" and node.data.get("if_unknown") == "ask":
            self._fault(node.file, action, "KB042", "an answer waits for no question: if_unknown is ignore or apply")
        if verb == "favour" and "of" not in a:
            self._fault(node.file, action, "KB042", "favour needs 'of': which finishes")
        if "of" in a:
            self._selector(node, a["of"], "favours" if verb == "favour" else None)


def _slots_in_cases(rule: Mapping[str, Item]) -> Iterator[tuple[Item, str]]:
    """Every slot that the cases of a rule set, with its place."""
    if "cases" in rule:
        for side in rule["cases"].value.values():
            for case in side.value:
                for slot, where in case.value.items():
                    yield where, slot


def _each(fields: Mapping[str, Item], name: str) -> Iterator[Mapping[str, Item]]:
    """The entries of a list of mappings, none when the field is not there."""
    for entry in fields[name].value if name in fields else ():
        yield entry.value


def _listed(value: Any) -> list[str]:
    """The ids in a field that holds one, several or none."""
    if isinstance(value, list):
        return [x for x in value if isinstance(x, str)]
    return [value] if isinstance(value, str) else []
