"""Checks that every field of every kind of node is read by something: what nothing reads misleads whoever writes it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.audit.faults import Finding
from advisor.graph.base import Base
from advisor.graph.compile import PLAIN

IDLE: Mapping[str, tuple[str, ...]] = {
    "application": ("decides", "environment_ask"),
    "cause": ("of",),
    "chemical": ("decides", "formula"),
    "document": ("strengths", "superseded_by"),
    "finish": ("equivalent_to", "notes", "supersedes"),
    "offer": ("market",),
    "strength": ("hardness_scale",),
    "term": ("lang",),
}
"""Fields that nothing reads yet, by kind.

A test runs the program with every look at a field written down and holds this list to what it saw: a field that is
read now must go from it, and no field may join it unseen.
"""


def check_fields_are_read(base: Base) -> Iterator[Finding]:
    """Notes: fields in use that nothing reads, each once, at the first node that carries it."""
    for kind in PLAIN:
        idle = set(IDLE.get(kind, ()))
        for i, record in base.kind(kind).items():
            for field in sorted(idle & set(record)):
                idle.discard(field)
                text = f"nothing reads the field '{field}' of a {kind}"
                yield Finding(i, "KB107", text, "make something read it, or take it out of the kind", fault=False)


CHECKS = (check_fields_are_read,)
