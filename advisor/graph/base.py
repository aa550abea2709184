"""The read-only view of the compiled knowledge: its nodes typed, its sections read on demand."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from advisor import __version__
from advisor.errors import UsageError
from advisor.graph import making, nodes, nodes_of_use, nodes_of_words
from advisor.graph.making import Nodes
from advisor.graph.nodes import Figure
from advisor.graph.sections import Sections
from advisor.records import NamedTuple
from advisor.trade.tables import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Citation(NamedTuple):
    """What stands behind a figure: the statement, the document, the place in it, and how sure it is."""

    text: str
    source: str
    title: str
    edition: str
    where: str
    basis: str
    seen: str
    shop: bool = False
    layer: str = ""


class Base:
    """A read-only view of the knowledge. Sections are read when first asked for."""

    def __init__(self, digest: str, sections: Sections, notice: str = "") -> None:
        self.digest = digest
        self.version = __version__
        self.notice = notice
        self._sections = sections
        self._parsed: dict[str, Any] = {}
        self._typed: dict[str, Nodes[Any]] = {}
        self._cited: dict[str, Citation] = {}

    def section(self, name: str) -> Any:
        """A whole section; KeyError when there is none of the name."""
        if name not in self._parsed:
            self._parsed[name] = self._sections.load(name)
        return self._parsed[name]

    def names_of_sections(self) -> tuple[str, ...]:
        """What sections there are."""
        return tuple(self._sections)

    def kind(self, kind: str) -> Mapping[str, Mapping[str, Any]]:
        """All nodes of a kind by id."""
        result: Mapping[str, Mapping[str, Any]] = self.section(kind)
        return result

    def role(self, name: str) -> tuple[str, ...]:
        """The ids of the nodes that play a part in the program's own checks; KeyError when there is no such role."""
        return self.roles[name].of

    def role_words(self, name: str) -> tuple[str, ...]:
        """The words that play a part in the program's own checks; KeyError when there is no such role."""
        return self.roles[name].words

    # the nodes of each kind, by id, in reading order

    def _nodes(self, kind: str, make: Callable[[Mapping[str, Any]], Any]) -> Nodes[Any]:
        if kind not in self._typed:
            self._typed[kind] = Nodes(self.section(kind), make)
        return self._typed[kind]

    @property
    def sources(self) -> Nodes[nodes.Source]:
        return self._nodes("source", making.plain(nodes.Source))

    @property
    def facts(self) -> Nodes[nodes.Fact]:
        return self._nodes("fact", making.plain(nodes.Fact))

    @property
    def tables(self) -> Nodes[nodes.Published]:
        return self._nodes("table", making.table)

    @property
    def families(self) -> Nodes[nodes.Family]:
        return self._nodes("family", making.plain(nodes.Family))

    @property
    def finishes(self) -> Nodes[nodes.Finish]:
        return self._nodes("finish", making.finish)

    @property
    def sets(self) -> Nodes[nodes.Group]:
        return self._nodes("set", making.group)

    @property
    def slots(self) -> Nodes[nodes.Slot]:
        return self._nodes("slot", making.slot)

    @property
    def strengths(self) -> Nodes[nodes.Strength]:
        return self._nodes("strength", making.strength)

    @property
    def exposures(self) -> Nodes[nodes.Exposure]:
        return self._nodes("exposure", making.plain(nodes.Exposure))

    @property
    def topics(self) -> Nodes[nodes.Topic]:
        return self._nodes("topic", making.plain(nodes.Topic))

    @property
    def cautions(self) -> Nodes[nodes.Caution]:
        return self._nodes("caution", making.plain(nodes.Caution))

    @property
    def roles(self) -> Nodes[nodes_of_words.Role]:
        return self._nodes("role", making.plain(nodes_of_words.Role))

    @property
    def rules(self) -> Nodes[nodes.Rule]:
        return self._nodes("rule", making.rule)

    @property
    def codes(self) -> Nodes[nodes_of_words.Code]:
        return self._nodes("code", making.code)

    @property
    def decisions(self) -> Nodes[nodes.Decision]:
        return self._nodes("decision", making.decision)

    @property
    def terms(self) -> Nodes[nodes_of_words.Term]:
        return self._nodes("term", making.term)

    @property
    def applications(self) -> Nodes[nodes_of_use.Application]:
        return self._nodes("application", making.application)

    @property
    def documents(self) -> Nodes[nodes_of_use.Document]:
        return self._nodes("document", making.plain(nodes_of_use.Document))

    @property
    def offers(self) -> Nodes[nodes_of_use.Offer]:
        return self._nodes("offer", making.offer)

    @property
    def supplies(self) -> Nodes[nodes_of_use.Supply]:
        return self._nodes("supply", making.supply)

    @property
    def chemicals(self) -> Nodes[nodes_of_use.Chemical]:
        return self._nodes("chemical", making.chemical)

    @property
    def complaints(self) -> Nodes[nodes_of_use.Complaint]:
        return self._nodes("complaint", making.plain(nodes_of_use.Complaint))

    @property
    def causes(self) -> Nodes[nodes_of_use.Cause]:
        return self._nodes("cause", making.cause)

    @property
    def headings(self) -> Nodes[nodes_of_words.Heading]:
        return self._nodes("heading", making.plain(nodes_of_words.Heading))

    @property
    def references(self) -> Nodes[nodes_of_words.Reference]:
        return self._nodes("reference", making.plain(nodes_of_words.Reference))

    @property
    def weights(self) -> Nodes[nodes_of_words.Weight]:
        return self._nodes("weight", making.plain(nodes_of_words.Weight))

    def node(self, node_id: str) -> Mapping[str, Any]:
        """The data of any node; KeyError when there is none of the id."""
        kind = self.kind_of(node_id)
        return self.kind(kind)[node_id.removeprefix(kind + "/")]

    def kind_of(self, node_id: str) -> str:
        """The kind of a node."""
        return str(self.section("places")[node_id][0])

    def table(self, table_id: str) -> Table:
        """A published table."""
        d = self.kind("table")[table_id]
        return Table(table_id, tuple(d["columns"]), tuple(tuple(r) for r in d["rows"]))

    def finish(self, finish_id: str) -> Mapping[str, Any]:
        """A finish with what it inherits from its family."""
        return self.kind("finish")[finish_id]

    def figures(self, finish_id: str, quantity: str) -> tuple[Figure, ...]:
        """All figures of one quantity, the one to use first."""
        return self.finishes[finish_id].figures.get(quantity, ())

    def figure(self, finish_id: str, quantity: str) -> Figure | None:
        """The figure to use, or None."""
        found = self.figures(finish_id, quantity)
        return found[0] if found else None

    def resolve_finish(self, name: str) -> str:
        """The finish id for a finish id, or for a family its usual member."""
        key = name.strip().lower()
        if key in self.kind("finish"):
            return key
        family = self.kind("family").get(key)
        if family is not None:
            if "usual" in family:
                return str(family["usual"])
            for i, f in self.kind("finish").items():
                if f["family"] == key:
                    return i
        near = _nearest(key, [*self.kind("family"), *self.kind("finish")])
        raise UsageError(f"'{name}' is not a finish or finish family; nearest: {near}")

    def citation(self, node_id: str) -> Citation:
        """The citation of a fact, table or strength class; made once, the answers of a list cite the same ones."""
        held = self._cited.get(node_id)
        if held is None:
            held = self._cited[node_id] = self._citation(node_id)
        return held

    def _citation(self, node_id: str) -> Citation:
        kind = next((k for k in ("fact", "table", "strength") if node_id in self.kind(k)), None)
        d = self.kind(kind)[node_id] if kind else self.node(node_id)
        source = self.kind("source").get(d.get("source", ""), {})
        text = d.get("text") or d.get("name", node_id)
        return Citation(
            str(text),
            str(d.get("source", "")),
            str(source.get("title", "")),
            str(source.get("edition", "")),
            str(d.get("where", "")),
            str(d.get("basis", "")),
            str(d.get("seen", "")),
            self._is_shop(d),
            self.layer_of(node_id),
        )

    def layer_of(self, node_id: str) -> str:
        """The branch's own layer that a node comes from; empty for the base."""
        return str(self.section("layers").get(node_id, ""))

    def _is_shop(self, record: Mapping[str, Any]) -> bool:
        """Whether a fact is of the shop (price, delivery, look), which no document can settle."""
        shop = self.roles.get("shop-facts")
        return shop is not None and (record.get("quantity") in shop.words or record.get("id") in shop.of)

    def phrase(self, phrase_id: str, **values: object) -> str:
        """A sentence of the program with its blanks filled."""
        text = str(self.kind("phrase")[phrase_id]["text"])
        return text.format(**values) if values else text


def _nearest(key: str, names: list[str]) -> str:
    from rapidfuzz import process

    hits = process.extract(key, names, limit=3)
    return ", ".join(h[0] for h in hits)
