"""Shows that a rule speaks whatever is said: rules judged for a setting with every other slot left open.

Where the truth of a rule hangs on an open test, both outcomes are followed. So one line proved covers every place and
every wish.
"""

from __future__ import annotations

from collections.abc import Iterable

from advisor.audit.slot_values import derived, tests_of
from advisor.graph.base import Base
from advisor.graph.conditions import Condition, Possible, Tri, evaluate
from advisor.graph.nodes import Action, Rule
from advisor.reasoning.bands import possible_bands
from advisor.reasoning.cautions import SEVERITY
from advisor.reasoning.engine import Engine
from advisor.reasoning.rulebase import Rulebase
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Atom = tuple[str, str, str]
"""Slot, test, operand of an open test."""
Pair = tuple[Tri, Tri]
"""Truth on what is known, and on what is known or assumed."""
ALWAYS_SAID = frozenset({"circumstance", "named", "band", "band_told"})
"""Slots that are never unknown: a list may be empty, but it is there."""
MOST_SPLITS = 8


def laws(base: Base) -> tuple[Rule, ...]:
    """The rules of the base that do more than fill slots."""
    return tuple(r for r in base.rules.values() if any(a.verb != "derive" for a in r.then))


class Setting(NamedTuple):
    """What is fixed in one line of a proof; a slot that is None is silent."""

    strength: str | None
    part: str | None
    hardness_hrc: float | None
    circumstance: str | None = None
    absent: tuple[str, ...] = ()

    def values(self) -> dict[str, Any]:
        """As the slots of an enquiry."""
        out: dict[str, Any] = {k: v for k, v in self._asdict().items() if v is not None and k != "absent"}
        if self.circumstance is not None:
            out["circumstance"] = [self.circumstance]
        return out

    def shown(self) -> str:
        """In words for a finding."""
        return ", ".join(f"{k} {v}" for k, v in self.values().items()) or "nothing told"


class _Open:
    """Judges rules for a setting with every other slot open."""

    def __init__(self, rules: Rulebase, setting: Setting, fillable: frozenset[str]) -> None:
        told: dict[str, Any] = setting.values()
        bands, settled = possible_bands(rules.base, told)
        self.bands = bands
        self.fixed: dict[str, Any] = {k: v for k, v in told.items() if k != "circumstance"}
        self.fixed["band"] = Possible(bands)
        self.fixed["band_told"] = "yes" if settled else "no"
        self.silent = frozenset({"strength", "part", "hardness_hrc"} - set(told) - fillable)
        self.defaults = {
            d.slot: d.assume.value
            for d in rules.base.decisions.values()
            if d.slot in self.silent and d.assume and d.assume.value is not None
        }
        self.present = setting.circumstance
        self.absent = frozenset(setting.absent)
        self.assumed: dict[Atom, Pair] = {}

    def outcomes(self, slot: str, test: str, operand: Any) -> list[Pair]:
        """Every truth that a test can have."""
        if slot in self.fixed:
            told = {k: v for k, v in self.fixed.items() if k not in ("band", "band_told")}
            t = evaluate(["test", slot, test, operand], self.fixed, told)
            return [(t, t)]
        if slot in self.silent:
            condition = ["test", slot, test, operand]
            return [(evaluate(condition, {}, {}), evaluate(condition, self.defaults, {}))]
        if slot == "circumstance" and self.present is not None and test == "in" and self.present in operand:
            return [(True, True)]
        if slot == "circumstance" and test == "in" and self.absent.issuperset(operand):
            return [(False, False)]
        if slot in ALWAYS_SAID and test == "known":
            return [(operand, operand)]
        key = (slot, test, repr(operand))
        if key in self.assumed:
            return [self.assumed[key]]
        if slot in ALWAYS_SAID or test == "told":
            return [(True, True), (False, False)]
        if test == "known":
            return [(True, True), (False, False), (not operand, operand)]
        return [(True, True), (False, False), (None, True), (None, False), (None, None)]

    def judge(self, condition: Condition) -> frozenset[Pair]:
        """Every truth that a condition can have (open tests taken as independent, which is on the safe side)."""
        op = condition[0]
        if op == "test":
            return frozenset(self.outcomes(condition[1], condition[2], condition[3]))
        if op == "not":
            return frozenset((_not(a), _not(b)) for a, b in self.judge(condition[1]))
        result: frozenset[Pair] = frozenset({(op == "all", op == "all")})
        join = _and if op == "all" else _or
        for c in condition[1:]:
            found = self.judge(c)
            result = frozenset((join(a, x), join(b, y)) for a, b in result for x, y in found)
            if result == {(op != "all", op != "all")}:
                break
        return result

    def open_atoms(self, conditions: Iterable[Condition]) -> list[Atom]:
        """The open tests in the conditions that are not yet assumed."""
        found: dict[Atom, None] = {}
        for c in conditions:
            for slot, test, operand in tests_of(c):
                if len(self.outcomes(slot, test, operand)) > 1:
                    found[slot, test, repr(operand)] = None
        return list(found)


def _not(a: Tri) -> Tri:
    return None if a is None else not a


def _and(a: Tri, b: Tri) -> Tri:
    if a is False or b is False:
        return False
    return None if a is None or b is None else True


def _or(a: Tri, b: Tri) -> Tri:
    if a is True or b is True:
        return True
    return None if a is None or b is None else False


def _fires(rule: Rule, state: _Open) -> bool:
    """Whether a rule speaks, and not by assumption, whatever the open slots say."""
    return all(
        known is True or (known is None and full is None and rule.if_unknown != "ignore")
        for known, full in state.judge(rule.when)
    )


def _surely(rule: Rule, action: Action, state: _Open) -> bool:
    """Whether an action takes its finishes out (or makes them conditional), whatever the open slots say."""
    if not _fires(rule, state) and not (
        action.verb == "conditional" and all(full is True for _, full in state.judge(rule.when))
    ):
        return False
    if action.only_if is not None:
        for _, full in state.judge(action.only_if):
            if full is False or (full is None and rule.if_unknown == "ignore"):
                return False
    return action.unless is None or all(full is not True for _, full in state.judge(action.unless))


class Prover:
    """Shows that some finishes are never recommended in a setting."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.rules = engine.rules
        self.laws = laws(engine.base)
        self.fillable = _fillable(engine)
        self._used: set[str] = set()

    def _prove(self, setting: Setting, relevant: list[tuple[Rule, Action]], target: int) -> str:
        """First with the few rules that settled earlier lines (if they do, the others need not be asked), then with
        all.
        """
        for listed in ([x for x in relevant if x[0].id in self._used], relevant):
            left = self._follow(_Open(self.rules, setting, self.fillable), listed, target, MOST_SPLITS)
            if not left:
                break
        return left

    def left(self, setting: Setting, target: int) -> str:
        """Empty when the finishes of a mask are always out or conditional; else the answers that leave one in."""
        relevant = [
            (r, a)
            for r in self.laws
            for a in r.then
            if a.verb in ("exclude", "conditional") and a.mask is not None and a.mask & target
        ]
        return self._prove(setting, relevant, target)

    def warned(self, setting: Setting, target: int, topic: str) -> str:
        """Empty when a caution of the topic, warn or stop, always stands beside the finishes of a mask."""
        nodes = self.engine.base.cautions
        relevant = []
        for r in self.laws:
            for a in r.then:
                node = nodes.get(str(a.value)) if a.verb == "warn" else None
                if node and node.topic == topic and SEVERITY.index(a.severity or node.severity) >= 1:
                    relevant.append((r, a._replace(mask=self.rules.everything if a.mask is None else a.mask)))
        return self._prove(setting, relevant, target)

    def _follow(self, state: _Open, relevant: list[tuple[Rule, Action]], target: int, splits: int) -> str:
        left = target
        unsure: list[tuple[Rule, Action]] = []
        for rule, action in relevant:
            if not (action.mask or 0) & left:
                continue
            if _surely(rule, action, state):
                left &= ~(action.mask or 0)
                self._used.add(rule.id)
                if not left:
                    return ""
            elif _possibly(rule, action, state):
                unsure.append((rule, action))
        best = self._worth_splitting(state, unsure, left)
        if best is not None and splits > 0:
            return self._split(state, unsure, left, *best, splits)
        finish = next(self.rules.members(left))
        said = "; ".join(f"{s} {t} {o}: {_word(v[1])}" for (s, t, o), v in state.assumed.items())
        return f"{finish} and {left.bit_count() - 1} more are left" + (f" when {said}" if said else "")

    def _worth_splitting(
        self, state: _Open, unsure: list[tuple[Rule, Action]], left: int
    ) -> tuple[Atom, list[Condition]] | None:
        """The open test to follow both ways: of a rule that fires, of a test that several rules make, of most finishes.

        A test that one rule alone makes helps one way only, as where each document has a rule of its own.
        """
        candidates: list[tuple[bool, int, int, list[Atom], list[Condition]]] = []
        makers: dict[Atom, set[str]] = {}
        for rule, action in unsure:
            covered = ((action.mask or 0) & left).bit_count()
            conditions = [c for c in (rule.when, action.only_if, action.unless) if c is not None]
            atoms = state.open_atoms(conditions) if covered else []
            for atom in atoms:
                makers.setdefault(atom, set()).add(rule.id)
            if atoms:
                candidates.append((not _fires(rule, state), -covered, len(atoms), atoms, conditions))
        best: tuple[tuple[bool, bool, int, int], Atom, list[Condition]] | None = None
        for silent, covered, count, atoms, conditions in candidates:
            atom = max(atoms, key=lambda a: len(makers[a]))
            worth = (silent, len(makers[atom]) == 1, covered, count)
            if best is None or worth < best[0]:
                best = (worth, atom, conditions)
        return None if best is None else best[1:]

    def _split(
        self,
        state: _Open,
        relevant: list[tuple[Rule, Action]],
        target: int,
        atom: Atom,
        conditions: list[Condition],
        splits: int,
    ) -> str:
        operand = next(x for c in conditions for s, t, x in tests_of(c) if (s, t, repr(x)) == atom)
        for outcome in state.outcomes(atom[0], atom[1], operand):
            state.assumed[atom] = outcome
            found = self._follow(state, relevant, target, splits - 1)
            del state.assumed[atom]
            if found:
                return found
        return ""


def _possibly(rule: Rule, action: Action, state: _Open) -> bool:
    """Whether an action could count for some answers."""
    if all(full is False or (full is None and rule.if_unknown == "ignore") for _, full in state.judge(rule.when)):
        return False
    if action.only_if is not None and all(full is False for _, full in state.judge(action.only_if)):
        return False
    return action.unless is None or any(full is not True for _, full in state.judge(action.unless))


def _word(t: Tri) -> str:
    return "unknown" if t is None else "yes" if t else "no"


def _fillable(engine: Engine) -> frozenset[str]:
    """Slots that a derivation may fill when they are silent."""
    return frozenset(slot for values in derived(engine.base) for slot in values)
