"""The finishes of the base made ready for fast screening: bit masks, how they last by place, figures in columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.graph.base import Base
from advisor.graph.nodes import Rule
from advisor.reasoning.enquiry import UNKNOWN
from advisor.reasoning.in_play import Offers
from advisor.reasoning.remembered import Remembered
from advisor.reasoning.spoken import Spoken, Voices
from advisor.records import NamedTuple
from advisor.trade.zinc_life import LifeTable

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Members(NamedTuple):
    """The finishes of one family: their mask, the usual one's, the lowest number, and the mask shifted down to it."""

    mask: int
    usual: int
    first: int
    own: int


class Rulebase:
    """Everything that screening reads, prepared once per base."""

    def __init__(self, base: Base) -> None:
        self.base = base
        masks = base.section("masks")
        self.finishes: tuple[str, ...] = tuple(masks["finishes"])
        self.bit: dict[str, int] = {f: 1 << i for i, f in enumerate(self.finishes)}
        self.names: Mapping[str, int] = masks["names"]
        self._mask_of: dict[str, int] = {**self.bit, **self.names}
        self.everything = (1 << len(self.finishes)) - 1
        self.family: tuple[str, ...] = tuple(masks["family"])
        self.process: tuple[str, ...] = tuple(masks["process"])
        self.stock: tuple[str, ...] = tuple(masks["stock"])
        self.index: dict[str, int] = {f: i for i, f in enumerate(self.finishes)}
        members: dict[str, list[int]] = {}
        for i, family in enumerate(self.family):
            members.setdefault(family, []).append(i)
        self.family_mask: dict[str, int] = {f: sum(1 << i for i in m) for f, m in members.items()}
        usual = {f: self.bit.get(n["usual"], 0) for f, n in base.kind("family").items() if "usual" in n}
        self.families: tuple[Members, ...] = tuple(
            Members(mask, usual.get(f, 0), members[f][0], mask >> members[f][0]) for f, mask in self.family_mask.items()
        )
        number = {f: n for n, f in enumerate(self.family_mask)}
        self.family_number: tuple[int, ...] = tuple(number[f] for f in self.family)
        self.colours: Mapping[str, int] = masks["colours"]
        self.none_in: Mapping[str, int] = masks["none"]
        self.weak_in: Mapping[str, int] = masks["weak"]
        self.legacy: int = masks["legacy"]
        self._columns: Mapping[str, list[Any]] = masks["columns"]
        tables = base.kind("table")
        basis, rates = (base.table(t) if t in tables else None for t in map(self.role, ("life-basis", "zinc-rates")))
        thickness = dict(zip(self.finishes, self._columns["thickness_um"], strict=True))
        self.life = LifeTable(basis, rates, dict(zip(self.finishes, self.family, strict=True)), thickness)
        self._room = tables.get(self.role("room-by-diameter"))
        self._too_thick: dict[float, int] = {}
        self.lasting: Remembered[tuple[str, tuple[Spoken, ...]], tuple[int, int]] = Remembered(500)
        self.viable: Remembered[object, tuple[int, int, int]] = Remembered(500)
        self.needs_room = self.names.get(self.role("needs-room"), 0)
        self.kept_open = self.names.get(self.role("open-without-place"), 0)
        self.offers = Offers(base, self.everything, self.names, self.family_mask)
        self.voices = Voices(base, self.everything)

    @property
    def by_id(self) -> Mapping[str, Rule]:
        """The rules that can speak, by id; those that only fill silent slots are not among them."""
        return {i: self.base.rules[i] for i in self.voices.ids}

    def role(self, name: str) -> str:
        """The id of the node that plays a part in the program's own checks (kind `role`)."""
        return self.base.role(name)[0]

    def figure(self, finish: str, quantity: str) -> Any:
        """The figure to use as [fact, low, high, basis, unit], or None where there is no number."""
        return self._columns[quantity][self.index[finish]]

    def room_um(self, diameter_mm: float | None) -> float | None:
        """The thickest plate an ordinary thread of a diameter takes (ISO 4042:1999 Table 2); None if unknown."""
        if diameter_mm is None or self._room is None:
            return None
        for over, to, room in self._room["rows"]:
            if over < diameter_mm <= to:
                return float(room)
        return None

    def too_thick(self, diameter_mm: float | None) -> int:
        """The plated finishes that need more room than the thread gives; thick zinc goes with oversize nuts."""
        room = self.room_um(diameter_mm)
        if room is None:
            return 0
        if room not in self._too_thick:
            # as many entries as the table of rooms has figures
            self._too_thick[room] = self.needs_room & sum(
                1 << i for i, f in enumerate(self._columns["thickness_um"]) if f is not None and f[1] > room
            )
        return self._too_thick[room]

    def mask_of(self, names: Iterable[str] | None) -> int:
        """The finishes that set, family or finish names stand for; an unknown name stands for none, as does None."""
        mask = 0
        if not names or names == UNKNOWN:
            return mask
        if isinstance(names, str):
            return self._mask_of.get(names, 0)
        for n in names:
            mask |= self._mask_of.get(n, 0)
        return mask

    def members(self, mask: int) -> Iterator[str]:
        """The finishes in a mask, in the order of the base."""
        while mask:
            low = mask & -mask
            yield self.finishes[low.bit_length() - 1]
            mask ^= low

    def families_at(self, mask: int) -> Iterator[int]:
        """The numbers of the families that have a finish in a mask, in the order of their first finish there."""
        families, number = self.families, self.family_number
        while mask:
            n = number[(mask & -mask).bit_length() - 1]
            yield n
            mask &= ~families[n].mask

    def has_families(self, mask: int, many: int) -> bool:
        """Whether so many families have a finish in a mask."""
        while mask and many:
            mask &= ~self.families[self.family_number[(mask & -mask).bit_length() - 1]].mask
            many -= 1
        return not many

    def usual_in(self, mask: int) -> int:
        """One finish of every family in a mask: its usual member where that is in, else the first."""
        out = 0
        for n in self.families_at(mask):
            family = self.families[n]
            part = family.mask & mask
            out |= family.usual & part or (part & -part)
        return out

    def families_in(self, mask: int) -> list[str]:
        """The families that have a finish in a mask."""
        return [family for family, m in self.family_mask.items() if m & mask]
