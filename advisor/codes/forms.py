"""The written forms of designations, and what reading one gives: the records of the decoder."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from advisor.codes.spelling import Cover
from advisor.records import NamedTuple
from advisor.trade.tables import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class FormStep(NamedTuple):
    """One look into a letter table: the columns to compare and with what, and what the row then says.

    `by` maps columns to captured groups or values already found; `gives` maps columns to the values they set (empty:
    every other column under its own name, but `means`, which explains the letter). `only`: values that must have been
    found before, else the step is left out.
    """

    by: Mapping[str, str]
    table: Table
    gives: Mapping[str, str]
    optional: bool = False
    only: Mapping[str, str] = MappingProxyType({})


class CodeForm(NamedTuple):
    """One written form of a designation, as the knowledge describes it."""

    id: str
    name: str
    document: str
    edition: str
    status: str
    rank: float
    named: str
    pattern: str
    parts: Mapping[str, str]
    must: tuple[str, ...]
    alone: bool
    defaults: Mapping[str, str]
    numbers: Mapping[str, str]
    sets: Mapping[str, Any]
    steps: tuple[FormStep, ...]
    needs: Mapping[str, str]
    asks: Mapping[str, tuple[str, ...]]
    """What each need leaves open, as slugs: coating, thickness, film, chromium, hours, layers."""
    superseded_by: str
    equivalents: tuple[str, ...]
    notes: tuple[str, ...]


class Open(NamedTuple):
    """Something a note does not settle: the sentence that says so, and as slugs what would settle it."""

    text: str
    asks: tuple[str, ...] = ()


class Letter(NamedTuple):
    """One letter or figure of a code and what it means."""

    code: str
    means: str


class DecodedReading(NamedTuple):
    """What one grammar makes of a note. `missing` and `clashes` are what cannot be decided; `notes` what to add."""

    code: CodeForm
    text: str
    values: Mapping[str, Any]
    letters: tuple[Letter, ...]
    missing: tuple[Open, ...]
    clashes: tuple[tuple[str, str, str], ...]
    tables: tuple[str, ...]
    foreign: tuple[str, ...] = ()
    """Names of other documents in the note, of whose forms this code is not one."""
    weight: float = 0.0
    notes: tuple[str, ...] = ()


class Unknown(NamedTuple):
    """A code of which only a part was understood."""

    code: CodeForm
    text: str
    part: str
    allowed: tuple[str, ...]
    letters: tuple[Letter, ...]


class Decoded(NamedTuple):
    """All readings of a note, best first; codes understood in part; and which characters were read."""

    readings: tuple[DecodedReading, ...]
    unknown: tuple[Unknown, ...]
    cover: Cover
