"""What the graph is made of: nodes as read, and typed links between them."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.source import Item
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

SLOT_PREFIX = "slot/"
PREFIXES: Mapping[str, str] = {"slot": SLOT_PREFIX, "role": "role/"}
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
