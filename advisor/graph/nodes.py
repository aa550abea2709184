"""The nodes of the knowledge as typed, unchanging records: one shape a kind."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

NOTHING: Mapping[str, Any] = MappingProxyType({})
"""What a mapping holds that was not written."""


class Figure(NamedTuple):
    """One figure: a range in `unit`, or words where no number stands, and the fact that is cited for it."""

    quantity: str
    low: float | None
    high: float | None
    text: str | None
    unit: str
    when: str
    basis: str
    cite: str


class Source(NamedTuple):
    """A document that facts cite."""

    id: str
    title: str
    body: str = ""
    edition: str = ""
    status: str = ""
    superseded_by: str = ""
    note: str = ""


class Fact(NamedTuple):
    """A figure or statement with the document behind it. `value` is a number, (low, high), a text, or None."""

    id: str
    text: str
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    about: tuple[str, ...] = ()
    quantity: str = ""
    value: Any = None
    unit: str = ""
    when: str = ""


class Published(NamedTuple):
    """What a table is called and where it was printed; its cells are read with `Base.table`."""

    id: str
    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    note: str = ""
    about: tuple[str, ...] = ()


class Family(NamedTuple):
    """A finish family: metal, process, and what its finishes have in common. `figures` are ids of facts by quantity."""

    id: str
    name: str
    material: str
    process: str
    text: str
    charges_hydrogen: str = ""
    legacy: bool = False
    stock: str = ""
    usual: str = ""
    film: str = ""
    sized_by: str = ""
    oversize_from_um: float | None = None
    viability: Mapping[str, str] = NOTHING
    figures: Mapping[str, tuple[str, ...]] = NOTHING
    notes: tuple[str, ...] = ()


class Designation(NamedTuple):
    """How a finish is written after one document, and whether that document is still current."""

    standard: str
    write: str
    status: str = ""
    note: str = ""


class Finish(NamedTuple):
    """One buyable finish with what it inherits from its family. `viability`: place -> good, weak or none."""

    id: str
    name: str
    family: str
    material: str = ""
    process: str = ""
    charges_hydrogen: str = ""
    text: str = ""
    legacy: bool = False
    hexavalent_chromium: str = ""
    cadmium: str = ""
    pfas: str = ""
    lead: str = ""
    substances: tuple[str, ...] = ()
    colour: tuple[str, ...] = ()
    passivation: str = ""
    film: str = ""
    salt: str = ""
    sealed: bool = False
    lubricated: bool = False
    top_coat: bool = False
    grade: str = ""
    strength_classes: tuple[str, ...] = ()
    stock: str = ""
    conducts: str = ""
    paint_base: str = ""
    designations: tuple[Designation, ...] = ()
    viability: Mapping[str, str] = NOTHING
    figures: Mapping[str, tuple[Figure, ...]] = NOTHING
    notes: tuple[str, ...] = ()
    supersedes: tuple[str, ...] = ()
    equivalent_to: tuple[str, ...] = ()


class Group(NamedTuple):
    """A named set of families and finishes that rules speak of."""

    id: str
    name: str
    of: tuple[str, ...]
    leaving_out: tuple[str, ...] = ()
    where: Mapping[str, Any] = NOTHING


class Bare(NamedTuple):
    """How a bare number answers the question for a slot.

    `low` to `high` is what can be meant, in the slot's unit; `units` are words for other units that may follow, each
    with the unit it means; a number followed by one of `other` is no answer; of several numbers `takes` says which
    counts (first, last, highest).
    """

    low: float
    high: float
    units: Mapping[str, str] = NOTHING
    other: tuple[str, ...] = ()
    takes: str = "first"


class Slot(NamedTuple):
    """Something an enquiry can say, and how it is read.

    `denial` maps a value to what its denial means; `may_be_denied` is true too where a denial only rules the value out.
    `two_told`: ask back, or the first or last value counts. `nothing_means`: what "none" answers, an empty list or
    unknown. `one_of`: values of a list of which a later one takes the place of an earlier one. `settable`: may be given
    from outside. `screened`: read by screening and ranking themselves, not only by
    rules. `values_of`: its values are the ids of the nodes of this kind. `read_by`: whether rules read it, or the talk
    alone.
    """

    id: str
    name: str
    type: str
    text: str = ""
    says: str = ""
    values: tuple[str, ...] = ()
    values_of: str = ""
    unit: str = ""
    low: float | None = None
    high: float | None = None
    safety: bool = False
    derived: bool = False
    denial: Mapping[str, str] = NOTHING
    may_be_denied: bool = False
    two_told: str = "last"
    bare: Bare | None = None
    nothing_means: str = "unknown"
    settable: bool = True
    screened: bool = False
    read_by: str = "rules"
    one_of: tuple[tuple[str, ...], ...] = ()

    @property
    def takes_one(self) -> bool:
        """Whether it holds one value at a time."""
        return self.type != "choices"


class SizeRange(NamedTuple):
    """The properties of a strength class over one range of diameters, in mm (`over_mm` excluded, `to_mm` included)."""

    over_mm: float | None = None
    to_mm: float | None = None
    tensile_mpa: Any = None
    yield_mpa: float | None = None
    proof_mpa: float | None = None
    hardness_hrc: Any = None
    hardness_hv: Any = None
    hardness_hb: Any = None
    hardness_hrb: Any = None


class Strength(NamedTuple):
    """A strength class or grade. A single number as hardness is a maximum, as tensile strength a minimum."""

    id: str
    name: str
    grade: str
    product: str
    material: str
    band: str
    text: str
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    head_mark: str = ""
    structural: bool = False
    system: str = ""
    by_size: tuple[SizeRange, ...] = ()
    tensile_mpa: Any = None
    yield_mpa: float | None = None
    proof_mpa: float | None = None
    hardness_hrc: Any = None
    hardness_hv: Any = None
    hardness_hb: Any = None
    hardness_hrb: Any = None
    case_hv: float | None = None
    case_hrc: float | None = None
    also: tuple[str, ...] = ()
    hardness_scale: str = ""
    note: str = ""


class Exposure(NamedTuple):
    """A place, category, regulation, metal in contact, part or circumstance. `anodic_index_v` is the id of a fact."""

    id: str
    name: str
    group: str
    text: str
    corrosivity: tuple[str, ...] = ()
    harshness: float | None = None
    anodic_index_v: str = ""
    figures: Mapping[str, tuple[str, ...]] = NOTHING
    facts: tuple[str, ...] = ()
    possible_bands: tuple[str, ...] = ()
    valid_from: str = ""
    valid_until: str = ""
    because: tuple[str, ...] = ()


class Topic(NamedTuple):
    """A caution topic or a group of rules."""

    id: str
    name: str
    text: str
    order: float | None = None


class Caution(NamedTuple):
    """A warning in plain words, what to do about it, and the facts behind it."""

    id: str
    topic: str
    severity: str
    text: str
    do: str = ""
    because: tuple[str, ...] = ()


class Action(NamedTuple):
    """What one rule does to the finishes of its mask; `only_if` and `unless` are conditions of its own."""

    verb: str
    value: Any
    mask: int | None = None
    only_if: Any = None
    unless: Any = None
    text: str = ""
    severity: str = ""
    to: str = ""


class Rule(NamedTuple):
    """A rule: when something holds, what follows, and why. Conditions as in graph/conditions.py."""

    id: str
    group: str
    strength: str
    text: str
    when: Any
    if_unknown: str
    then: tuple[Action, ...]
    because: tuple[str, ...]
    reads: tuple[str, ...]
    needs: tuple[str, ...]
    places: tuple[str, ...]
    derives: bool


class AnswerOption(NamedTuple):
    """One answer that a question offers; `only_with`, `not_with`: slot -> values beside which it is (not)."""

    id: str
    text: str
    value: Any
    only_with: Mapping[str, Any] = NOTHING
    not_with: Mapping[str, Any] = NOTHING


class Assumption(NamedTuple):
    """What is taken when nobody knows the answer, why, and how likely it is (0 to 1)."""

    because: str
    value: Any = None
    likely: float | None = None


class Decision(NamedTuple):
    """A question that fills a slot: text, help for people who do not know, options, and when it matters at all."""

    id: str
    slot: str
    text: str
    help: str
    order: float
    options: tuple[AnswerOption, ...]
    safety: bool = False
    relevant: Any = None
    changes: str = ""
    assume: Assumption | None = None
    free: str = ""
    shown: int = 9
