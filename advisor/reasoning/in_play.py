"""What is in play: what is made and sold as that part, size and strength, and that something speaks for.

All else is silent. Knowledge says what is offered (`offer` nodes), and which finishes want a positive reason (role
`wants-a-reason`): the rare metals and coats, which nothing forbids in most places and nobody stocks for them either.
What the customer names is never silent: it gets its verdict, "not made as that" where that is so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.graph.base import Base
from advisor.reasoning.case import Case
from advisor.reasoning.enquiry import UNKNOWN, listed
from advisor.reasoning.remembered import Remembered
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

NOT_MADE = "not-made"
MOST_KEPT = 500
ANY_MM = 1e6
"""An offer without a limit of size."""


class Sold(NamedTuple):
    """One offer as it is compared: its finishes as a mask, its limits, and its node."""

    mask: int
    refused: bool
    low_mm: float
    high_mm: float
    threads: tuple[str, ...]
    strengths: tuple[str, ...]
    offer: str

    def fits_only_if_told(self, sized: bool, threaded: bool, strength: str) -> bool:
        """Whether all that a refusal names was told: it refuses nothing on silence."""
        limited = self.low_mm > 0 or self.high_mm < ANY_MM
        return (
            (sized or not limited)
            and (threaded or not self.threads)
            and (not self.strengths or strength in self.strengths)
        )


class Made(NamedTuple):
    """What is made as a part: a mask of finishes, and the offers that say that something is not."""

    mask: int
    refusals: tuple[Sold, ...]


class InPlay(NamedTuple):
    """The finishes that are silent, those named though nobody makes them, and the refusals behind."""

    silent: int
    unmade: int
    made: Made


class Offers:
    """What is made and sold, prepared once per base. Holds nothing of any enquiry but a bounded memory of parts."""

    def __init__(self, base: Base, everything: int, names: Mapping[str, int], family_of: Iterable[str]) -> None:
        section = base.section("offers-by-part")
        self._everything = everything
        self._lines: Mapping[str, tuple[Sold, ...]] = {
            part: tuple(Sold(*entry) for entry in entries) for part, entries in section["parts"].items()
        }
        self._unnamed = base.role("parts-unnamed")
        self._steel = names.get(base.role("coats-on-steel")[0], 0)
        self._wants_reason = 0
        for name in base.role("wants-a-reason"):
            self._wants_reason |= names.get(name, 0)
        offered = 0
        for entries in self._lines.values():
            for x in entries:
                offered |= x.mask
        # a finish that no offer speaks of, such as a branch's own of a new family, is limited by none
        self._unlisted = everything & ~offered
        coated = {base.families[f].material for f in family_of if names[f] & self._steel}
        self._steel_grades = frozenset(g for g, material in section["grades"].items() if material in coated)
        self._made: Remembered[tuple[object, ...], Made] = Remembered(MOST_KEPT)

    READS = frozenset(("part", "size", "strength", "diameter_mm", "thread_series"))
    """The slots that say what is made."""

    def made(self, case: Case) -> Made:
        """What is made as the part, thread and strength of a case; what is not told limits nothing."""
        part, size, strength = (_text(case.known.get(s)) for s in ("part", "size", "strength"))
        diameter = case.known.get("diameter_mm")
        series = _text(case.known.get("thread_series"))
        key = (part, diameter, series, size, strength)
        found = self._made.get(key)
        if found is None:
            parts = [part] if part in self._lines else self._unnamed
            each = [self._of(self._lines[p], diameter, (size, series), strength) for p in parts if p in self._lines]
            mask = self._everything if not each else 0
            for made in each:
                mask |= made.mask
            refusals = [x for made in each for x in made.refusals]
            found = self._made[key] = Made(mask | self._unlisted, tuple(refusals))
        return found

    def _of(self, lines: tuple[Sold, ...], diameter: Any, threads: tuple[str, str], strength: str) -> Made:
        """What is made as one part."""
        listed_at_all = any(strength in x.strengths for x in lines)
        made = 0
        refusals = []
        for x in lines:
            if isinstance(diameter, (int, float)) and not x.low_mm <= diameter <= x.high_mm:
                continue
            if x.threads and any(threads) and not set(threads) & set(x.threads):
                continue
            if x.refused:
                if x.fits_only_if_told(diameter is not None, any(threads), strength):
                    refusals.append(x)
            elif not x.strengths or not strength or not listed_at_all or strength in x.strengths:
                made |= x.mask
            elif strength in self._steel_grades:
                made |= x.mask & ~self._steel  # another metal has grades of its own; what it loses is told
        for x in refusals:
            made &= ~x.mask
        return Made(made, tuple(refusals))

    def of(self, made: Made, favoured: int, named: int, inside: int) -> InPlay:
        """What is silent: `inside` no rule takes away, for `favoured` something speaks, `named` was named."""
        refused = 0
        for x in made.refusals:
            refused |= x.mask & ~made.mask  # what one of the unnamed parts is made in is not refused
        unmade, rare = self._everything & ~made.mask, self._wants_reason & ~favoured
        # better a rare metal with its price than nothing, and better one made to order than none that is stocked
        for silent in (unmade | rare, unmade, refused | rare, refused):
            if inside & ~silent & ~named:
                break
        return InPlay(silent & ~named, refused & named, made)


def offers_section(sections: Mapping[str, Any]) -> dict[str, Any]:
    """Made when the base is compiled: the offers of each part with their finishes as masks, and the grades of steel."""
    names: Mapping[str, int] = sections["masks"]["names"]
    bits = {f: 1 << i for i, f in enumerate(sections["masks"]["finishes"])}
    parts: dict[str, list[list[Any]]] = {}
    for i, d in sections["offer"].items():
        mask = 0
        for name in d["finish"]:
            mask |= names.get(name, 0) | bits.get(name, 0)
        size = d.get("size", {})
        line = [
            mask,
            d["availability"] == NOT_MADE,
            float(size.get("low_mm", 0.0)),
            float(size.get("high_mm", ANY_MM)),
            tuple(d.get("threads", ())),
            tuple(d.get("strength", ())),
            i,
        ]
        for part in d["part"]:
            parts.setdefault(part, []).append(line)
    return {
        "offers-by-part": {"parts": parts, "grades": {s["grade"]: s["material"] for s in sections["strength"].values()}}
    }


def _text(value: object) -> str:
    found = listed(value)
    return str(found[0]) if found and found[0] != UNKNOWN else ""
