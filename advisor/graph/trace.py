"""The knowledge as a networkx graph: paths and neighbourhoods for audit, maps and tracing."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

import networkx as nx

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

FOLLOWED = 4
"""Longest path, in edges, that is of interest to a reader."""


class PathStep(NamedTuple):
    """One edge on a path, in the direction it is drawn in the knowledge."""

    start: str
    edge: str
    end: str


def build_graph(base: Base) -> Any:
    """The knowledge as a directed multigraph; nodes carry kind, name, file, line, edges their kind (also as key)."""
    graph: Any = nx.MultiDiGraph()
    for node_id, (kind, file, line) in base.section("places").items():
        graph.add_node(node_id, kind=kind, name=name_of(base, node_id), file=file, line=line)
    for node_id, links in base.section("neighbours").items():
        for edge, other, direction in links:
            if direction == "out" and node_id in graph and other in graph:
                graph.add_edge(node_id, other, key=edge, kind=edge)
    return graph


def name_of(base: Base, node_id: str) -> str:
    """What a person calls a node: its name, title, or the first words of its text."""
    d = base.node(node_id)
    shown = d.get("name") or d.get("title") or d.get("text") or ", ".join(d.get("say", ())) or node_id
    return str(shown)


def known_node(base: Base, word: str) -> str:
    """The id of a node for an id as typed; UsageError names the nearest ids otherwise."""
    places = base.section("places")
    key = word.strip().lower()
    for candidate in (key, f"topic-{key}", f"slot/{key}"):
        if candidate in places:
            return candidate
    from rapidfuzz import process

    near = ", ".join(h[0] for h in process.extract(key, list(places), limit=3))
    raise UsageError(f"'{word[:60]}' is no node of the knowledge; nearest: {near}")


def paths(base: Base, start: str, end: str, longest: int = FOLLOWED, most: int = 20) -> list[list[PathStep]]:
    """The shortest ways from one node to another, edges followed in both directions, shortest first."""
    graph = build_graph(base)
    for node in (start, end):
        if node not in graph:
            raise UsageError(f"'{node[:60]}' is no node of the knowledge")
    plain = nx.Graph(graph)
    if not nx.has_path(plain, start, end):
        return []
    found: list[list[PathStep]] = []
    for nodes in nx.shortest_simple_paths(plain, start, end):
        if len(nodes) - 1 > longest or len(found) == most:
            break
        found.append([_step(graph, a, b) for a, b in itertools.pairwise(nodes)])
    return found


def _step(graph: Any, a: str, b: str) -> PathStep:
    if graph.has_edge(a, b):
        return PathStep(a, min(graph[a][b]), b)
    return PathStep(b, min(graph[b][a]), a)


def neighbourhood(base: Base, node: str, depth: int = 1, most: int = 60, graph: Any = None) -> Any:
    """The part of the graph within some edges of a node; of more than `most` nodes the best linked stay.

    How many there are in all stands in the graph's own attribute `near`.
    """
    whole = graph if graph is not None else build_graph(base)
    if node not in whole:
        raise UsageError(f"'{node[:60]}' is no node of the knowledge")
    near = nx.single_source_shortest_path_length(whole.to_undirected(as_view=True), node, cutoff=depth)
    ranked = sorted(near, key=lambda n: (near[n], -whole.degree(n), n))
    part = whole.subgraph(ranked[:most]).copy()
    part.graph["near"] = len(near)
    return part


def reachable(base: Base, roots: Iterable[str], graph: Any = None) -> frozenset[str]:
    """The nodes that some edge path joins to a root, whatever the direction."""
    plain = (graph if graph is not None else build_graph(base)).to_undirected(as_view=True)
    seen: set[str] = set()
    for root in roots:
        if root in plain and root not in seen:
            seen |= nx.node_connected_component(plain, root)
    return frozenset(seen)
