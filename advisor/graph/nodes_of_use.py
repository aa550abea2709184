"""The nodes of use, sale and trouble as typed records, beside those of nodes.py."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.nodes import NOTHING
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

BEARABLE = 0.9
"""The favour of a metal that bears a substance: it speaks for it, but alone brings nothing rare into play."""


class Application(NamedTuple):
    """A thing that fasteners hold: the words for it, what follows surely, what has to be asked, the usual families."""

    id: str
    name: str
    is_a: tuple[str, ...] = ()
    say: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    not_beside: tuple[str, ...] = ()
    environment: tuple[str, ...] = ()
    environment_ask: tuple[str, ...] = ()
    circumstance: tuple[str, ...] = ()
    mating: tuple[str, ...] = ()
    part: str = ""
    wetted: str = ""
    temperature_c: float | None = None
    temperature_min_c: float | None = None
    cathodic_protection: str = ""
    duty: tuple[str, ...] = ()
    endangered: str = ""
    chemical: tuple[str, ...] = ()
    decides: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    text: str = ""
    lang: str = ""
    note: str = ""
    source: str = ""
    basis: str = ""
    where: str = ""
    seen: str = ""


class Document(NamedTuple):
    """A product standard, assembly or rule that people name. `says`: slot -> value that naming it says for sure."""

    id: str
    name: str
    say: tuple[str, ...]
    about: str
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    title: str = ""
    says: Mapping[str, Any] = NOTHING
    strengths: tuple[str, ...] = ()
    coats: tuple[str, ...] = ()
    forbids: tuple[str, ...] = ()
    set: str = ""
    lubricated: str = ""
    text: str = ""
    notes: tuple[str, ...] = ()
    edition: str = ""
    status: str = ""
    superseded_by: str = ""


class Offer(NamedTuple):
    """Which kind of part is made and sold in which finishes, from `low_mm` to `high_mm`, in which strengths."""

    id: str
    part: tuple[str, ...]
    finish: tuple[str, ...]
    availability: str
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    name: str = ""
    low_mm: float | None = None
    high_mm: float | None = None
    sizes: tuple[str, ...] = ()
    threads: tuple[str, ...] = ()
    strength: tuple[str, ...] = ()
    market: tuple[str, ...] = ()
    text: str = ""
    note: str = ""


class Supply(NamedTuple):
    """What a branch has or can get: pieces on the shelf, a price for so many, the working days it takes."""

    id: str
    name: str
    finish: tuple[str, ...]
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    part: tuple[str, ...] = ()
    low_mm: float = 0.0
    high_mm: float = 1e9
    strength: tuple[str, ...] = ()
    pieces: int | None = None
    price: float | None = None
    currency: str = ""
    per: int = 1
    working_days: tuple[float, float] | float | None = None
    note: str = ""


class Hazard(NamedTuple):
    """A danger of a substance to people or bolts, for all families or for some."""

    text: str
    severity: str
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    families: tuple[str, ...] = ()
    caution: str = ""


class Band(NamedTuple):
    """What a substance does within one range of concentration (per cent by mass) and temperature (°C)."""

    verdicts: Mapping[str, str]
    source: str
    basis: str
    where: str = ""
    seen: str = ""
    concentration_pct: Any = None
    temperature_c: Any = None
    text: str = ""


class Chemical(NamedTuple):
    """A substance that reaches the fastener: its dangers, and what it does to metals and coats."""

    id: str
    name: str
    say: tuple[str, ...]
    beside: tuple[str, ...] = ()
    not_beside: tuple[str, ...] = ()
    formula: str = ""
    hazards: tuple[Hazard, ...] = ()
    bands: tuple[Band, ...] = ()
    unknown: str = ""
    decides: tuple[str, ...] = ()
    text: str = ""
    note: str = ""
    source: str = ""
    basis: str = ""
    where: str = ""
    seen: str = ""


class Complaint(NamedTuple):
    """Something that went wrong, as people tell it: what to do now, and what may stand behind it.

    `told`: word classes that stand together where it is told. `stop`: everything stops; `first_of_all`: before whatever
    else is asked. `circumstance`: what is told with it.
    """

    id: str
    name: str
    say: tuple[str, ...]
    problem: str
    causes: tuple[str, ...]
    now: tuple[str, ...]
    beside: tuple[str, ...] = ()
    not_beside: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()
    text: str = ""
    stop: bool = False
    first_of_all: bool = False
    told: tuple[tuple[str, ...], ...] = ()
    circumstance: tuple[str, ...] = ()
    source: str = ""
    basis: str = ""
    where: str = ""
    seen: str = ""


class Evidence(NamedTuple):
    """What speaks for or against a cause when a condition holds."""

    when: Any
    text: str
    weight: str
    source: str = ""
    basis: str = ""
    where: str = ""
    seen: str = ""


class Cause(NamedTuple):
    """What may stand behind complaints, what speaks for and against it, what to order or change next time."""

    id: str
    name: str
    of: tuple[str, ...]
    speaks_for: tuple[Evidence, ...] = ()
    speaks_against: tuple[Evidence, ...] = ()
    tell_apart: str = ""
    next: tuple[str, ...] = ()
    who_decides: str = ""
    likely: float | None = None
    text: str = ""
    source: str = ""
    basis: str = ""
    where: str = ""
    seen: str = ""
