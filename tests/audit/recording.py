"""Runs the program over the knowledge and writes down every field of every kind of node that anything looks at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from advisor.graph.base import Base
from advisor.graph.build import build
from advisor.graph.compile import PLAIN, compile_sections
from advisor.graph.making import Nodes

KINDS = frozenset((*PLAIN, "finish", "rule"))
Seen = set[tuple[str, str]]
"""(kind, field) of everything that was looked at."""


class Watched(dict[str, Any]):
    """A record that writes down which of its fields are looked at; copying it as a whole looks at none."""

    def __init__(self, kind: str, record: Mapping[str, Any], seen: Seen) -> None:
        super().__init__(record)
        self._kind, self._seen = kind, seen

    def __getitem__(self, field: str) -> Any:
        self._seen.add((self._kind, field))
        return super().__getitem__(field)

    def get(self, field: str, default: Any = None) -> Any:
        if field in self:
            self._seen.add((self._kind, field))
        return super().get(field, default)


def watched_records(kind: str, records: Mapping[str, Any], seen: Seen) -> dict[str, Any]:
    return {i: Watched(kind, r, seen) for i, r in records.items()}


class WatchedSection(Mapping[str, Any]):
    """A section whose records are watched when they are taken out."""

    def __init__(self, kind: str, records: Mapping[str, Any], seen: Seen) -> None:
        self._kind, self._records, self._seen = kind, records, seen

    def __getitem__(self, node_id: str) -> Watched:
        return Watched(self._kind, self._records[node_id], self._seen)

    def __iter__(self) -> Iterator[str]:
        return iter(self._records)

    def __len__(self) -> int:
        return len(self._records)

    def __contains__(self, node_id: object) -> bool:
        return node_id in self._records


def watched_node(kind: str, node: Any, seen: Seen, shapes: dict[type, type]) -> Any:
    """A typed node of a shape of its own, whose fields are written down when they are looked at."""
    shape = type(node)
    if shape not in shapes:
        shapes[shape] = type(
            shape.__name__, (shape,), {f: _noted(kind, f, n, seen) for n, f in enumerate(shape._fields)}
        )
    return tuple.__new__(shapes[shape], node)


def _noted(kind: str, field: str, number: int, seen: Seen) -> property:
    def look(self: tuple[Any, ...]) -> Any:
        seen.add((kind, field))
        return tuple.__getitem__(self, number)

    return property(look)


def while_compiling(folder: Path, extensions: Mapping[str, Callable[[Mapping[str, Any]], Any]]) -> Seen:
    """What compiling the knowledge looks at: finishes, masks, words, judging tables, shapes of codes."""
    seen: Seen = set()
    built = build(folder)
    nodes = {i: n._replace(data=Watched(n.kind, n.data, seen)) for i, n in built.nodes.items()}
    sections = compile_sections(built._replace(nodes=nodes))
    for extend in extensions.values():
        again = {
            name: watched_records(name, s, seen) if name in KINDS and isinstance(s, dict) else s
            for name, s in sections.items()
        }
        sections.update(extend(again))
    return seen


@contextmanager
def while_running() -> Iterator[Seen]:
    """What is looked at in a base that is opened inside."""
    seen: Seen = set()
    shapes: dict[type, type] = {}
    plain_section = Base.section
    wrapped: dict[tuple[int, str], Any] = {}

    def section(self: Base, name: str) -> Any:
        found = plain_section(self, name)
        if name not in KINDS:
            return found
        if (id(self), name) not in wrapped:
            wrapped[id(self), name] = WatchedSection(name, found, seen)
        return wrapped[id(self), name]

    def nodes(self: Base, kind: str, make: Callable[[Mapping[str, Any]], Any]) -> Nodes[Any]:
        if kind not in self._typed:

            def watched(record: Mapping[str, Any]) -> Any:
                return watched_node(kind, make(record), seen, shapes)

            self._typed[kind] = Nodes(plain_section(self, kind), watched)
        return self._typed[kind]

    with patch.object(Base, "section", section), patch.object(Base, "_nodes", nodes):
        yield seen
