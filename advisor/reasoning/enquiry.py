"""An enquiry: what the customer told, and the case made of it by deriving and, where silent, assuming.

`Enquiry` is what was said (immutable). `Case` is what the rules read: `told` (said in words or answers), `known` (told
and what follows from it), `full` (known and what is assumed for silence). Rules of safety look at `known` with its
possible sets; what rests on an assumption is marked by the difference between `known` and `full`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple, TypeVar

from advisor.graph.base import Base
from advisor.graph.conditions import Check, Possible, ready
from advisor.reasoning.bands import possible_bands
from advisor.reasoning.orders import NOTHING, order_of
from advisor.trade.sizes import size_of

T = TypeVar("T")

UNKNOWN = "unknown"
CHROMATE_ORDERED = "chromate-callout"
"""The circumstance that a code orders a hexavalent film."""


class Said(NamedTuple):
    """One thing the customer said: value, words, certainty, and how it came (words, answer, object, set)."""

    value: Any
    words: str = ""
    certainty: float = 1.0
    origin: str = "words"


class Enquiry(NamedTuple):
    """What was said so far. `mentioned` are families named without being wished (fitted now, offered elsewhere)."""

    said: Mapping[str, Said] = {}
    circumstances: Mapping[str, str] = {}
    mentioned: tuple[str, ...] = ()

    def with_slot(self, slot: str, said: Said) -> Enquiry:
        """The enquiry with one slot said anew."""
        return self._replace(said={**self.said, slot: said})

    def without(self, slot: str) -> Enquiry:
        """The enquiry with one slot unsaid."""
        return self._replace(said={k: v for k, v in self.said.items() if k != slot})


class Assumed(NamedTuple):
    """A slot filled without being told: the value and why."""

    slot: str
    value: Any
    because: str


class Case(NamedTuple):
    """What the rules read (see the module's first lines)."""

    enquiry: Enquiry
    told: Mapping[str, Any]
    known: Mapping[str, Any]
    full: Mapping[str, Any]
    assumed: tuple[Assumed, ...]

    def is_told(self, slot: str) -> bool:
        """Whether the customer told a usable value."""
        return self.told.get(slot) not in (None, UNKNOWN)


def from_values(values: Mapping[str, Any], origin: str = "set") -> Enquiry:
    """An enquiry from plain slot values (reference enquiries, rule cases, --set). `circumstance` and `named` go to their place."""
    said: dict[str, Said] = {}
    circumstances: dict[str, str] = {}
    mentioned: tuple[str, ...] = ()
    for slot, value in values.items():
        if slot == "circumstance":
            circumstances = dict.fromkeys(value if isinstance(value, list) else [value], "")
        elif slot == "named":
            mentioned = tuple(value)
        else:
            said[slot] = Said(value, "", 1.0, origin)
    return Enquiry(said, circumstances, mentioned)


def complete(base: Base, enquiry: Enquiry) -> Case:
    """Derive and assume: the case that the rules judge."""
    told = {slot: _plain(s.value) for slot, s in enquiry.said.items() if s.value is not None}
    assumed: list[Assumed] = [
        Assumed(slot, s.value, base.phrase("say-because-object", words=s.words))
        for slot, s in enquiry.said.items()
        if s.origin == "object"
    ]
    told["circumstance"] = [*enquiry.circumstances]
    callout = told.get("callout")
    order = order_of(base, callout) if isinstance(callout, str) and callout != UNKNOWN else NOTHING
    if order.ordered and "ordered" not in told:
        told["ordered"] = list(order.ordered)
    if order.hexavalent:
        told["circumstance"].append(CHROMATE_ORDERED)
    named = [*_listed(told.get("finish_asked")), *order.families, *_listed(told.get("ordered")), *enquiry.mentioned]
    told["named"] = sorted(set(named))
    known = dict(told)
    sized = _remembered(base, "size", str(told.get("size")), lambda: _size(base, told))
    known.update({k: v for k, v in sized.items() if known.get(k) in (None, UNKNOWN)})
    known.update(_lot(known))
    hardness = (told.get("strength"), told.get("hardness_hrc"), told.get("part"), *told["circumstance"])
    bands, settled = _remembered(base, "bands", hardness, lambda: possible_bands(base, told))
    known.setdefault("band", Possible(bands))
    known.setdefault("band_told", "yes" if settled else "no")
    for slot, value, why in _derived_by_rules(base, known, told):
        known[slot] = value
        assumed.append(Assumed(slot, value, why))
    full = dict(known)
    for slot, value, why in _defaults(base, told):
        if full.get(slot) in (None, UNKNOWN):
            full[slot] = value
            assumed.append(Assumed(slot, value, why))
    for slot, value, why in _derived_by_rules(base, full, told):
        full[slot] = value
        assumed.append(Assumed(slot, value, why))
    for values in (known, full):
        if values.get("corrosivity") in (None, UNKNOWN):
            classes = corrosivity(base, _listed(values.get("environment")), told["circumstance"])
            if classes:
                values["corrosivity"] = Possible(classes)
    return Case(enquiry, told, known, full, tuple(assumed))


MOST_REMEMBERED = 500


def _remembered(base: Base, what: str, key: object, make: Callable[[], T]) -> T:
    """The result for a key, made once: what-ifs ask the same size and class hundreds of times."""
    kept: dict[object, T] = base.memo.setdefault(what, {})
    if key not in kept:
        if len(kept) >= MOST_REMEMBERED:
            kept.clear()
        kept[key] = make()
    return kept[key]


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def _listed(value: Any) -> list[Any]:
    if value is None or value == UNKNOWN:
        return []
    return list(value) if isinstance(value, (list, tuple)) else [value]


def _size(base: Base, told: Mapping[str, Any]) -> dict[str, Any]:
    """diameter_mm, pitch_mm, thread_system, thread_series and the length that follow from the size told."""
    text = told.get("size")
    size = size_of(base.table("thread-sizes"), text) if isinstance(text, str) and text != UNKNOWN else None
    if size is None:
        return {}
    out: dict[str, Any] = {"thread_system": size.system, "diameter_mm": size.diameter_mm}
    if size.pitch_mm is not None:
        out["pitch_mm"] = round(size.pitch_mm, 4)
    if size.series:
        out["thread_series"] = size.series
    if size.length_mm is not None:
        out["length_mm"] = size.length_mm
    return out


def diameter_mm(base: Base, size: str) -> float | None:
    """The diameter in mm that a size names; None when it cannot be read."""
    found = _size(base, {"size": size}).get("diameter_mm")
    return float(found) if found is not None else None


def _lot(values: Mapping[str, Any]) -> dict[str, float]:
    """length_ratio, mass_g and lot_kg where size, length and number are told.

    Mass of a hexagon bolt roughly: steel of 7.85 g/cm³, shank d²·π/4 over the length and a head worth 1.8 d; where no
    length is told, 4 d. Only good for telling a handful from a plating lot.
    """
    d = values.get("diameter_mm")
    if not isinstance(d, (int, float)):
        return {}
    length, count = values.get("length_mm"), values.get("quantity")
    out: dict[str, float] = {}
    if isinstance(length, (int, float)):
        out["length_ratio"] = round(length / d, 2)
    each = 0.00617 * d * d * ((length if isinstance(length, (int, float)) else 4 * d) + 1.8 * d)
    out["mass_g"] = round(each, 2)
    if isinstance(count, (int, float)):
        out["lot_kg"] = round(each * count / 1000, 3)
    return out


def _derived_by_rules(base: Base, known: dict[str, Any], told: Mapping[str, Any]) -> list[tuple[str, Any, str]]:
    """Silent slots that a derivation rule fills."""
    out: list[tuple[str, Any, str]] = []
    values = known
    for when, condition, action, text in _prepared(base):
        if all(values.get(slot) not in (None, UNKNOWN) for slot in action):
            continue
        if when(values, told) is not True or (condition is not None and condition(values, told) is not True):
            continue
        for slot, value in action.items():
            if values.get(slot) in (None, UNKNOWN):
                if values is known:
                    values = dict(known)
                values[slot] = value
                out.append((slot, value, text))
    return out


def _prepared(base: Base) -> list[tuple[Check, Check | None, Mapping[str, Any], str]]:
    """The derivation rules made ready, once per base."""
    if "derivations" not in base.memo:
        base.memo["derivations"] = [
            (ready(r["when"]), ready(a["if"]) if "if" in a else None, a["value"], a.get("text", r["text"]))
            for r in base.section("derivations")
            for a in r["then"]
            if a["verb"] == "derive"
        ]
    prepared: list[tuple[Check, Check | None, Mapping[str, Any], str]] = base.memo["derivations"]
    return prepared


def derivations(sections: Mapping[str, Any]) -> list[Any]:
    """The rules that fill silent slots, picked out once when the base is compiled."""
    return [r for r in sections["rule"].values() if r["derives"]]


def _defaults(base: Base, told: Mapping[str, Any]) -> Iterable[tuple[str, Any, str]]:
    """What silence means, from the decisions."""
    if "defaults" not in base.memo:
        assumes = [(d["slot"], d.get("assume", {})) for d in base.kind("decision").values()]
        base.memo["defaults"] = [
            (s, a["value"], a["because"]) for s, a in assumes if a.get("value") not in (None, UNKNOWN, [])
        ]
    defaults: list[tuple[str, Any, str]] = base.memo["defaults"]
    return defaults


def places(base: Base, environment: Iterable[str]) -> list[str]:
    """The environments that count: an indoor place beside a harsher one is dropped, except a dry anchor in concrete."""
    listed = list(environment)
    indoors = base.role("plain-indoors")
    dry_beside = base.role("dry-anchor-beside")
    harsher = [e for e in listed if e not in indoors]
    if not harsher or set(harsher) <= set(dry_beside):
        return listed
    return harsher


def corrosivity(base: Base, environment: list[str], circumstances: Iterable[str]) -> tuple[str, ...]:
    """The possible corrosivity classes of the harshest place (ISO 9223 Table C.1 by way of the exposure nodes)."""
    nodes = base.kind("exposure")
    best: tuple[float, tuple[str, ...]] = (-1.0, ())
    for e in places(base, environment):
        node = nodes.get(e)
        if node is None:
            continue
        classes = tuple(c for c in node.get("corrosivity", ()) if c.startswith("C"))
        if classes and node.get("harshness", 0.0) > best[0]:
            best = (node.get("harshness", 0.0), classes)
    changed = best[1]
    for c in circumstances:
        node = nodes.get(f"circumstance-{c}")
        if node and node.get("corrosivity"):
            changed = tuple(node["corrosivity"])
    return changed
