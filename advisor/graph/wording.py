"""How a person says a value, a slot's content or a node."""

from __future__ import annotations

from advisor.graph.base import Base

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.graph.nodes import Designation, Finish

UNKNOWN = "unknown"
"""The value of a slot that the customer cannot tell."""
CURRENT = "current"
"""The status of an edition that is in force; a designation that tells none has it."""
NAMED_BY = ("family", "exposure", "finish", "application", "chemical", "document")
"""Kinds whose ids stand as values, in the order in which a name is looked for."""


def worded(base: Base, slot_id: str, value: Any) -> str:
    """A slot's value as a person says it, from the slot's own template and the names of the nodes."""
    slot = base.slots.get(slot_id)
    name, says = (slot.name, slot.says) if slot else (slot_id, "")
    own = f"{'unknown' if value == UNKNOWN else 'none'}-{slot_id.replace('_', '-')}"
    if (value == UNKNOWN or value in ([], ())) and own in base.kind("phrase"):
        return base.phrase(own)
    if value == UNKNOWN:
        return base.phrase("say-slot-unknown", slot=name)
    if isinstance(value, (list, tuple)):
        if not value:
            return base.phrase("say-slot-none", slot=name)
        glue = f"joined-{slot_id}"
        shown = (base.phrase(glue) if glue in base.kind("phrase") else ", ").join(said(base, slot_id, v) for v in value)
    else:
        shown = said(base, slot_id, value)
    return (says or "{value}").format(value=shown)


def said(base: Base, slot_id: str, value: Any) -> str:
    """One value of a slot as a person says it back: its own words, or the name of its node within a sentence."""
    own = f"said-{slot_id}-{value}"
    return base.phrase(own) if own in base.kind("phrase") else inside(named(base, value))


def written_today(finish: Finish) -> tuple[Designation, ...]:
    """How a finish is written on an order today: without the designations of editions that are no longer current."""
    return tuple(d for d in finish.designations if (d.status or CURRENT) == CURRENT)


def inside(name: str) -> str:
    """A name within a sentence: it begins small, unless it is written with capitals anyway.

    >>> inside("Hot-dip galvanized"), inside("RoHS"), inside("M10"), inside("CCA")
    ('hot-dip galvanized', 'RoHS', 'M10', 'CCA')
    """
    first = name.split(" ", 1)[0]
    return name[:1].lower() + name[1:] if first[1:].islower() and len(first) > 1 else name


def capital(sentence: str) -> str:
    """A sentence with its first letter great."""
    return sentence[:1].upper() + sentence[1:]


def named(base: Base, value: Any) -> str:
    """A value by the name of its node, where it has one; a number without needless digits."""
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, str):
        for kind in NAMED_BY:
            node = base.kind(kind).get(value)
            if node is not None:
                return str(node["name"])
    return str(value)
