"""The nodes of words, codes and the program's own parts as typed records, beside those of nodes.py."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.nodes import NOTHING
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Step(NamedTuple):
    """One table to look into when a code is read: by which parts, giving which columns as what."""

    by: Mapping[str, str]
    table: str
    gives: Mapping[str, str] = NOTHING
    only: Mapping[str, str] = NOTHING
    optional: bool = False


class Code(NamedTuple):
    """A written form of a coating designation, and where its letters are explained."""

    id: str
    name: str
    document: str
    rank: float
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    edition: str = ""
    status: str = ""
    named: str = ""
    pattern: str = ""
    parts: Mapping[str, str] = NOTHING
    must: tuple[str, ...] = ()
    alone: bool = False
    talk: str = ""
    defaults: Mapping[str, Any] = NOTHING
    numbers: Mapping[str, str] = NOTHING
    sets: Mapping[str, Any] = NOTHING
    steps: tuple[Step, ...] = ()
    needs: Mapping[str, str] = NOTHING
    asks: Mapping[str, tuple[str, ...]] = NOTHING
    superseded_by: str = ""
    equivalents: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


class Term(NamedTuple):
    """Words people use and what they mean."""

    id: str
    say: tuple[str, ...]
    slot: str = ""
    value: Any = None
    also: Mapping[str, Any] = NOTHING
    names: str = ""
    circumstance: str = ""
    intent: str = ""
    lang: str = ""
    certainty: float = 1.0
    exact: bool = False
    answering: str = ""
    gives_way: bool = False
    from_object: bool = False
    number: int | None = None
    grammar: str = ""
    note: str = ""


class Role(NamedTuple):
    """Which nodes (`of`) or words (`words`) play one part in the program's own checks."""

    id: str
    of: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    note: str = ""


class Heading(NamedTuple):
    """Words above a column of a parts list; `factor` turns its numbers into the slot's unit."""

    id: str
    say: tuple[str, ...]
    slot: str = ""
    factor: float = 1.0
    idle: bool = False


class Reference(NamedTuple):
    """An enquiry with the families that competent engineers choose."""

    id: str
    enquiry: Mapping[str, Any]
    expect: tuple[str, ...]
    text: str
    basis: str
    never: tuple[str, ...] = ()
    source: str = ""
    deviation: str = ""
    refer: bool = False


class Weight(NamedTuple):
    """Weights or scales of the ranking."""

    id: str
    values: Mapping[str, float]
    name: str = ""
    text: str = ""
