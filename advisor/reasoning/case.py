"""The case made of an enquiry: what was told, what follows from it, and what is assumed where it is silent.

`told` was said in words or answers, `known` is that and what follows, `full` is that and what is assumed for silence.
Rules of safety look at `known` with its possible sets; what rests on an assumption is marked by the difference between
`known` and `full`.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.graph.conditions import Possible
from advisor.reasoning.bands import possible_bands
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, listed
from advisor.reasoning.judging import Judging, join
from advisor.reasoning.measures import lot, thread_of
from advisor.reasoning.orders import Orders
from advisor.reasoning.places import Places
from advisor.reasoning.remembered import Remembered
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

CHROMATE_ORDERED = "chromate-callout"
"""The circumstance that a code orders a hexavalent film."""

ASKS = "asks"
"""The slot of what a line asks outright; always told, for most lines ask nothing."""

HARDNESS = frozenset(("band", "band_told"))
LOT = frozenset(("length_ratio", "mass_g", "lot_kg"))
FOLLOWS: Mapping[str, frozenset[str]] = {
    "size": LOT | {"diameter_mm", "pitch_mm", "thread_system", "thread_series", "length_mm"},
    "diameter_mm": LOT,
    "length_mm": LOT,
    "quantity": LOT,
    "strength": HARDNESS,
    "hardness_hrc": HARDNESS,
    "part": HARDNESS,
    "circumstance": HARDNESS | {"corrosivity"},
    "environment": frozenset(("corrosivity",)),
    "finish_asked": frozenset(("named",)),
    "ordered": frozenset(("named",)),
    "callout": HARDNESS | {"corrosivity", "ordered", "circumstance", "named"},
}
"""What this module works out from a slot; what the derivations of the knowledge fill comes on top."""


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


def classes_of(case: Case) -> tuple[str, ...]:
    """The possible corrosivity classes of a case."""
    return tuple(listed(case.full.get("corrosivity")))


class Casework:
    """Makes cases: derivations, defaults and what else follows, prepared once per base."""

    MOST_KEPT = 500

    def __init__(self, base: Base) -> None:
        section = base.section("deriving")
        self._base = base
        self._judging = Judging(section)
        self._fills: list[tuple[Mapping[str, Any], str]] = section["fills"]
        self._defaults = tuple(
            Assumed(d["slot"], a["value"], a["because"])
            for d in base.kind("decision").values()
            if (a := d.get("assume", {})).get("value") not in (None, UNKNOWN, [])
        )
        self._wholes = [self._judging.span(n, n + 1) for n in range(len(self._fills))]
        self.orders = Orders(base)
        self.places = Places(base)
        self._filled = frozenset(slot for fills, _ in self._fills for slot in fills)
        self._touched = {slot: self._followers(slot) for slot in base.kind("slot")}
        stirred = self._filled | frozenset(self._judging.slots) | {"corrosivity", "named"}
        self.stirring = frozenset(
            s for s, t in self._touched.items() if s in self._judging.slots or (t - {s}) & stirred
        )
        self._threads: Remembered[str, Mapping[str, Any]] = Remembered(self.MOST_KEPT)
        self._bands: Remembered[object, tuple[tuple[str, ...], bool]] = Remembered(self.MOST_KEPT)

    def _followers(self, slot: str) -> frozenset[str]:
        """A slot with all that follows from it, and from that."""
        found = frozenset((slot,))
        while True:
            more = found.union(*(FOLLOWS.get(s, ()) for s in found))
            if more & {*self._judging.slots}:
                more |= self._filled
            if more == found:
                return found
            found = more

    def touched_by(self, slot: str) -> frozenset[str]:
        """Every slot that can hold something else when one is told."""
        return self._touched[slot]

    def answered(self, case: Case, slot: str, value: Any) -> Case:
        """A case with a slot told that is not `stirring`: what follows from it is put in place, all else stays.

        What was assumed is left as it stood: this is for trying an answer, not for showing it.
        """
        told = {**case.told, slot: value}
        touched = self._touched[slot]
        if len(touched) == 1 and value is not None and value != UNKNOWN:
            # most slots stand alone
            return Case(case.enquiry, told, {**case.known, slot: value}, {**case.full, slot: value}, case.assumed)
        known = {s: v for s, v in case.known.items() if s not in touched}
        full = {s: v for s, v in case.full.items() if s not in touched}
        known.update({s: told[s] for s in touched if s in told})
        self._follow(known, told)
        full.update({s: known[s] for s in touched if s in known})
        for default in self._defaults:
            if default.slot in touched and full.get(default.slot) in (None, UNKNOWN):
                full[default.slot] = default.value
        return Case(case.enquiry, told, known, full, case.assumed)

    def complete(self, enquiry: Enquiry) -> Case:
        """Derive and assume: the case that the rules judge."""
        told = self._told(enquiry)
        known = dict(told)
        self._follow(known, told)
        assumed = [
            Assumed(slot, s.value, self._base.phrase("say-because-object", words=s.words))
            for slot, s in enquiry.said.items()
            if s.origin == "object"
        ]
        assumed += self._derive(known, told)
        full = dict(known)
        for default in self._defaults:
            if full.get(default.slot) in (None, UNKNOWN):
                full[default.slot] = default.value
                assumed.append(default)
        assumed += self._derive(full, told)
        for values in (known, full):
            if values.get("corrosivity") in (None, UNKNOWN):
                classes = self.places.corrosivity(listed(values.get("environment")), told["circumstance"])
                if classes:
                    values["corrosivity"] = Possible(classes)
        return Case(enquiry, told, known, full, tuple(assumed))

    def _told(self, enquiry: Enquiry) -> dict[str, Any]:
        told = {
            slot: list(s.value) if isinstance(s.value, tuple) else s.value
            for slot, s in enquiry.said.items()
            if s.value is not None
        }
        told["circumstance"] = circumstances = [*enquiry.circumstances]
        told.setdefault(ASKS, [])
        named = [*listed(told.get("finish_asked")), *enquiry.mentioned]
        callout = told.get("callout")
        if isinstance(callout, str) and callout != UNKNOWN:
            order = self.orders.of(callout)
            if order.ordered and "ordered" not in told:
                told["ordered"] = list(order.ordered)
            if order.hexavalent:
                circumstances.append(CHROMATE_ORDERED)
            named += order.families
        named += listed(told.get("ordered"))
        told["named"] = sorted(set(named))
        return told

    def _follow(self, known: dict[str, Any], told: Mapping[str, Any]) -> None:
        """Put in what follows from size, length, number and hardness."""
        known.update({k: v for k, v in self._thread(told.get("size")).items() if known.get(k) in (None, UNKNOWN)})
        known.update(lot(known))
        bands, settled = self._possible_bands(told)
        known.setdefault("band", bands)
        known.setdefault("band_told", "yes" if settled else "no")

    def _thread(self, size: Any) -> Mapping[str, Any]:
        if not isinstance(size, str) or size == UNKNOWN:
            return {}
        found = self._threads.get(size)
        if found is None:
            found = self._threads[size] = thread_of(self._base, size)
        return found

    def _possible_bands(self, told: Mapping[str, Any]) -> tuple[Possible, bool]:
        key = (told.get("strength"), told.get("hardness_hrc"), told.get("part"), *told["circumstance"])
        found = self._bands.get(key)
        if found is None:
            found = self._bands[key] = possible_bands(self._base, told)
        return Possible(found[0]), found[1]

    def _derive(self, values: dict[str, Any], told: Mapping[str, Any]) -> list[Assumed]:
        """Fill silent slots by the derivations whose conditions hold; a later one sees what an earlier one filled."""
        judging = self._judging
        pairs = judging.pairs(values, told)
        false, opened = join(pairs)
        out: list[Assumed] = []
        for whole, (fills, why) in zip(self._wholes, self._fills, strict=True):
            if not whole & ~(false | opened):
                continue
            for slot, value in fills.items():
                if values.get(slot) in (None, UNKNOWN):
                    values[slot] = value
                    out.append(Assumed(slot, value, why))
                    at = judging.index.get(slot)
                    if at is not None:
                        pair = judging.pair(slot, values, told)
                        if pair != pairs[at]:
                            pairs[at] = pair
                            false, opened = join(pairs)
        return out
