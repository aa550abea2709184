"""The rules and finishes of the base made ready for fast screening: bit masks, viability by place, limits."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from advisor.graph.base import Base
from advisor.graph.conditions import Check, later
from advisor.trade.zinc_life import LifeTable


class Action(NamedTuple):
    """One consequence of a rule. `mask` is None where the action speaks of no finish."""

    verb: str
    value: Any
    mask: int | None
    text: str
    severity: str
    to: str
    condition: Check | None
    exception: Check | None


class Rule(NamedTuple):
    """A rule with its condition, what it reads, and the places its condition names."""

    id: str
    group: str
    strength: str
    text: str
    when: Check
    if_unknown: str
    actions: tuple[Action, ...]
    because: tuple[str, ...]
    reads: tuple[str, ...]
    places: frozenset[str]
    needs: tuple[str, ...]
    conditional: bool


class Rulebase:
    """Everything that screening reads, prepared once per base."""

    def __init__(self, base: Base) -> None:
        self.base = base
        masks = base.section("masks")
        self.finishes: tuple[str, ...] = tuple(masks["finishes"])
        self.bit: dict[str, int] = {f: 1 << i for i, f in enumerate(self.finishes)}
        self.names: Mapping[str, int] = masks["names"]
        self.everything = (1 << len(self.finishes)) - 1
        self.family: tuple[str, ...] = tuple(masks["family"])
        self.process: tuple[str, ...] = tuple(masks["process"])
        self.stock: tuple[str, ...] = tuple(masks["stock"])
        self.index: dict[str, int] = {f: i for i, f in enumerate(self.finishes)}
        self.family_mask: dict[str, int] = {}
        for f, family in zip(self.finishes, self.family, strict=True):
            self.family_mask[family] = self.family_mask.get(family, 0) | self.bit[f]
        members: dict[str, list[int]] = {}
        for i, family in enumerate(self.family):
            members.setdefault(family, []).append(i)
        self.family_members: tuple[tuple[int, ...], ...] = tuple(tuple(members[f]) for f in self.family_mask)
        self.colours: dict[str, int] = masks["colours"]
        self.remembered: dict[str, dict[object, Any]] = {}
        self.none_in: dict[str, int] = masks["none"]
        self.weak_in: dict[str, int] = masks["weak"]
        self.legacy: int = masks["legacy"]
        self._columns: Mapping[str, list[Any]] = masks["columns"]
        self._usual = {f: self.bit.get(n["usual"], 0) for f, n in base.kind("family").items() if "usual" in n}
        self._base = base
        tables = base.kind("table")
        basis, rates = (base.table(t) if t in tables else None for t in map(self.role, ("life-basis", "zinc-rates")))
        thickness = dict(zip(self.finishes, self._columns["thickness_um"], strict=True))
        self.life = LifeTable(basis, rates, dict(zip(self.finishes, self.family, strict=True)), thickness)
        self._room = base.kind("table").get(self.role("thread-room"))
        self.needs_room = self.names.get(self.role("needs-room"), 0)
        self.kept_open = self.names.get(self.role("open-without-place"), 0)
        self.rules: tuple[Rule, ...] = tuple(
            _rule(r) for r in base.section("rule").values() if not r["derives"] or len(r["then"]) > 1
        )
        self.by_id = {r.id: r for r in self.rules}

    def role(self, name: str) -> str:
        """The id of the node that plays a part in the program's own checks (kind `role`)."""
        return self._base.role(name)[0]

    def figure(self, finish: str, quantity: str) -> Any:
        """The figure to use as [fact, low, high, basis, unit], or None where there is no number."""
        return self._columns[quantity][self.index[finish]]

    def room_um(self, diameter_mm: float | None) -> float | None:
        """The thickest plate an ordinary thread of this diameter takes (ISO 4042:1999 Table 2 by size); None if unknown."""
        if diameter_mm is None or self._room is None:
            return None
        for over, to, room in self._room["rows"]:
            if over < diameter_mm <= to:
                return float(room)
        return None

    def too_thick(self, finish: str, diameter_mm: float | None) -> bool:
        """Whether a plated finish needs more room than the thread gives. Thick zinc goes with oversize nuts and is not asked."""
        room = self.room_um(diameter_mm)
        thickness = self.figure(finish, "thickness_um")
        if room is None or thickness is None:
            return False
        return bool(self.needs_room & self.bit[finish]) and thickness[1] > room

    def mask_of(self, names: Iterable[str]) -> int:
        """The finishes that set, family or finish names stand for; an unknown name stands for none."""
        mask = 0
        for n in names:
            mask |= self.names.get(n, 0) | self.bit.get(n, 0)
        return mask

    def members(self, mask: int) -> Iterator[str]:
        """The finishes in a mask, in the order of the base."""
        i = 0
        while mask:
            low = mask & -mask
            i = low.bit_length() - 1
            yield self.finishes[i]
            mask ^= low

    def usual_in(self, mask: int) -> int:
        """One finish of every family in a mask: its usual member where that is in, else the first."""
        out = 0
        for family, whole in self.family_mask.items():
            part = whole & mask
            if part:
                usual = self._usual.get(family, 0) & part
                out |= usual or (part & -part)
        return out

    def families_in(self, mask: int) -> list[str]:
        """The families that have a finish in a mask."""
        return [family for family, m in self.family_mask.items() if m & mask]


def _rule(d: Mapping[str, Any]) -> Rule:
    actions = tuple(
        Action(
            a["verb"],
            a["value"],
            a.get("mask"),
            a.get("text", d["text"]),
            a.get("severity", ""),
            a.get("to", ""),
            later(a["if"]) if "if" in a else None,
            later(a["unless"]) if "unless" in a else None,
        )
        for a in d["then"]
        if a["verb"] != "derive"
    )
    return Rule(
        d["id"],
        d["group"],
        d["strength"],
        d["text"],
        later(d["when"]),
        d["if_unknown"],
        actions,
        tuple(d["because"]),
        tuple(d["reads"]),
        frozenset(d["places"]),
        tuple(d["needs"]),
        any(a.condition is not None or a.exception is not None for a in actions),
    )
