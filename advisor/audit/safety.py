"""The two safety proofs: no plate on steel that is or may be too hard, no coat that a bolt standard bars.

Strength, part and measured hardness are walked through one by one. Everything else an enquiry can say (place, finish
asked for, duty, circumstances) is left open, and a rule counts only when it speaks whatever is said there: where its
truth hangs on an open test, both outcomes are followed. So each line proved covers every place and every wish.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

from advisor.audit.structure import Finding, conditions_of, tests_of
from advisor.graph.base import Base
from advisor.graph.conditions import Condition, Possible, Tri, evaluate
from advisor.reasoning.bands import possible_bands
from advisor.reasoning.cautions import SEVERITY
from advisor.reasoning.engine import Engine
from advisor.reasoning.rulebase import Rulebase

Atom = tuple[str, str, str]
"""Slot, test, operand of an open test."""
Pair = tuple[Tri, Tri]
"""Truth on what is known, and on what is known or assumed."""
HARD = frozenset({"H3", "H4", "CASE"})
ALWAYS_SAID = frozenset({"circumstance", "named", "band", "band_told"})
"""Slots that are never unknown: a list may be empty, but it is there."""
MOST_SPLITS = 8
MOST_FOUND = 10
"""A proof that has failed so often stops: the lines left would tell the same."""


class Action(NamedTuple):
    """A consequence as it stands in the base, with its conditions as data."""

    verb: str
    value: Any
    mask: int | None
    severity: str
    condition: Condition | None
    exception: Condition | None


class Rule(NamedTuple):
    """A rule as it stands in the base, with its condition as data."""

    id: str
    when: Condition
    if_unknown: str
    actions: tuple[Action, ...]


def _rules(base: Base) -> tuple[Rule, ...]:
    return tuple(
        Rule(
            i,
            r["when"],
            r["if_unknown"],
            tuple(
                Action(a["verb"], a["value"], a.get("mask"), a.get("severity", ""), a.get("if"), a.get("unless"))
                for a in r["then"]
                if a["verb"] != "derive"
            ),
        )
        for i, r in base.kind("rule").items()
    )


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


class Proof(NamedTuple):
    """The outcome of one proof: lines proved, walks they stand for, and what was found."""

    lines: int
    walks: int
    findings: tuple[Finding, ...]


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
            d["slot"]: d["assume"]["value"]
            for d in rules.base.kind("decision").values()
            if d["slot"] in self.silent and d.get("assume", {}).get("value") is not None
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
    if action.condition is not None:
        for _, full in state.judge(action.condition):
            if full is False or (full is None and rule.if_unknown == "ignore"):
                return False
    return action.exception is None or all(full is not True for _, full in state.judge(action.exception))


class Prover:
    """Shows that some finishes are never recommended in a setting."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.rules = engine.rules
        self.laws = _rules(engine.base)
        self.fillable = _fillable(engine)
        self._used: set[str] = set()

    def _prove(self, setting: Setting, relevant: list[tuple[Rule, Action]], target: int) -> str:
        """First with the few rules that settled earlier lines (if they do, the others need not be asked), then with all."""
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
            for a in r.actions
            if a.verb in ("exclude", "conditional") and a.mask is not None and a.mask & target
        ]
        return self._prove(setting, relevant, target)

    def warned(self, setting: Setting, target: int, topic: str) -> str:
        """Empty when a caution of the topic, warn or stop, always stands beside the finishes of a mask."""
        nodes = self.engine.base.kind("caution")
        relevant = []
        for r in self.laws:
            for a in r.actions:
                node = nodes.get(str(a.value)) if a.verb == "warn" else None
                if node and node["topic"] == topic and SEVERITY.index(a.severity or node["severity"]) >= 1:
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
        best: tuple[tuple[bool, int, int], Atom, list[Condition]] | None = None
        for rule, action in unsure:
            covered = ((action.mask or 0) & left).bit_count()
            if not covered:
                continue
            conditions = [c for c in (rule.when, action.condition, action.exception) if c is not None]
            atoms = state.open_atoms(conditions)
            worth = (not _fires(rule, state), -covered, len(atoms))
            if atoms and (best is None or worth < best[0]):
                best = (worth, atoms[0], conditions)
        if best is not None and splits > 0:
            return self._split(state, unsure, left, best[1], best[2], splits)
        finish = next(self.rules.members(left))
        said = "; ".join(f"{s} {t} {o}: {_word(v[1])}" for (s, t, o), v in state.assumed.items())
        return f"{finish} and {left.bit_count() - 1} more are left" + (f" when {said}" if said else "")

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
    if action.condition is not None and all(full is False for _, full in state.judge(action.condition)):
        return False
    return action.exception is None or any(full is not True for _, full in state.judge(action.exception))


def _word(t: Tri) -> str:
    return "unknown" if t is None else "yes" if t else "no"


def _fillable(engine: Engine) -> frozenset[str]:
    """Slots that a derivation may fill when they are silent."""
    return frozenset(
        slot
        for r in engine.base.kind("rule").values()
        for a in r["then"]
        if a["verb"] == "derive"
        for slot in a["value"]
    )


# the settings ---------------------------------------------------------------------------------------------------------


def hardness_points(base: Base) -> list[float | None]:
    """No reading, and one reading below, at and above every limit that a rule or the bands name."""
    limits = {34.0, 37.0, 39.0, 46.0}
    for r in base.kind("rule").values():
        for c in conditions_of(r):
            for slot, test, operand in tests_of(c):
                if slot == "hardness_hrc" and test in ("above", "at_least", "below", "at_most"):
                    limits.add(float(operand))
    points = {round(x + d, 3) for x in limits for d in (-0.01, 0.0, 0.01)}
    return [None, *sorted(p for p in points if p > 0)]


def settings(engine: Engine) -> Iterator[Setting]:
    """Every strength (and none) with every part (and none) and every kind of reading; without a strength also with every
    circumstance that tells a hardness."""
    base = engine.base
    parts = [None, *base.kind("slot")["part"]["values"]]
    points = hardness_points(base)
    telling = [
        i.removeprefix("circumstance-")
        for i, d in base.kind("exposure").items()
        if i.startswith("circumstance-") and d.get("possible_bands")
    ]
    grades = [None, *dict.fromkeys(str(s["grade"]) for s in base.kind("strength").values())]
    for strength in grades:
        for part in parts:
            for point in points:
                yield Setting(strength, part, point)
    for told in telling:
        for part in parts:
            for point in points:
                yield Setting(None, part, point, told)


TOLD_APART = ("strength", "part", "hardness_hrc")


def told_apart(engine: Engine) -> Callable[[Setting], tuple[Any, ...]]:
    """Gives settings that no rule and no band tells apart the same key."""
    tests: dict[str, dict[str, Condition]] = {s: {} for s in TOLD_APART}
    for r in engine.base.kind("rule").values():
        for c in conditions_of(r):
            for slot, test, operand in tests_of(c):
                if slot in tests:
                    tests[slot][test + repr(operand)] = ["test", slot, test, operand]
    strengths = engine.base.kind("strength")
    memo: dict[tuple[str, Any], tuple[Tri, ...]] = {}

    def answers(slot: str, value: Any) -> tuple[Tri, ...]:
        if (slot, value) not in memo:
            told = {} if value is None else {slot: value}
            memo[slot, value] = tuple(evaluate(t, told) for t in tests[slot].values())
        return memo[slot, value]

    def key(setting: Setting) -> tuple[Any, ...]:
        node = strengths.get(setting.strength.lower()) if setting.strength else None
        kind = (node["band"], node["product"]) if node else None
        values = tuple(answers(s, getattr(setting, s)) for s in TOLD_APART)
        bands = possible_bands(engine.base, setting.values())
        return (values, kind, bands, setting.circumstance, setting.absent)

    return key


# the proofs -------------------------------------------------------------------------------------------------------------


def _open_walks(engine: Engine) -> int:
    """How many walks one line stands for when only place and wish are counted: every place or none, every family or none."""
    slots = engine.base.kind("slot")
    return (len(slots["environment"]["values"]) + 1) * (len(engine.base.kind("family")) + 1)


def prove_hydrogen(engine: Engine, progress: Callable[[str], None]) -> Proof:
    """No walk in which the steel is or may be harder than the limit ends with a process that charges hydrogen.

    Not in tension (nuts, washers) is no matter. Set screws keep five zinc plates, case-hardened screws keep plate where
    the place allows it; there the caution on hydrogen must stand whatever else is said (ISO 4042:2018 clause 4.4,
    ASTM F1941-15 introduction).
    """
    rules, prover = engine.rules, Prover(engine)
    role = rules.role
    plated = rules.names[role("charging")]
    kept_on_set_screws = rules.mask_of(role("proof-set-screw-plates").split())
    pressed, case_parts = role("proof-not-in-tension").split(), role("proof-case-parts").split()
    strengths = engine.base.kind("strength")
    key_of = told_apart(engine)
    lines = 0
    findings: list[Finding] = []
    proved: dict[tuple[Any, ...], str] = {}
    for setting in settings(engine):
        bands, _ = possible_bands(engine.base, setting.values())
        if not set(bands) & HARD or setting.part in pressed:
            continue
        lines += 1
        key = (key_of(setting), setting.part in case_parts)
        if key in proved:
            continue
        if lines % 50 == 0:
            progress(f"{lines} lines")
        node = strengths.get(setting.strength.lower()) if setting.strength else None
        product = str(node["product"]) if node else ""
        case = set(bands) <= {"CASE"} or (setting.part in case_parts and "CASE" in bands)
        screw = role("proof-set-screw") in (setting.part, product if setting.part is None else "")
        hard_bolt = (
            node is not None
            and node["band"] in ("H3", "H4")
            and product == "bolt"
            and node["material"]
            == engine.base.kind("family")[rules.family[rules.index[next(rules.members(plated))]]]["material"]
        )
        if case:
            left = prover.warned(setting, plated, role("proof-hydrogen-topic"))
        elif screw and not hard_bolt:
            left = prover.left(setting, plated & ~kept_on_set_screws) or prover.warned(
                setting, kept_on_set_screws, role("proof-hydrogen-topic")
            )
        else:
            left = prover.left(setting, plated)
        proved[key] = left
        if left:
            findings.append(Finding("", f"hard steel may be plated: {setting.shown()}: {left}"))
            if len(findings) >= MOST_FOUND:
                break
    return Proof(lines, lines * _open_walks(engine), tuple(findings))


def prove_structural(engine: Engine, progress: Callable[[str], None]) -> Proof:
    """No walk in which a structural grade is offered a finish that its standard bars.

    What each standard bars stands in the table of the role `proof-structural`: grade (a dash for a part alone), part (a
    dash for any), the circumstance that lifts it (a dash for none), barred sets and families.
    """
    rules, prover = engine.rules, Prover(engine)
    table = engine.base.kind("table")[rules.role("proof-structural")]
    parts = [None, *engine.base.kind("slot")["part"]["values"]]
    points = hardness_points(engine.base)
    key_of = told_apart(engine)
    lines = 0
    findings: list[Finding] = []
    proved: dict[tuple[Any, ...], str] = {}
    for grade, only_part, unless, barred in table["rows"]:
        target = rules.mask_of(str(barred).split())
        for part in [only_part] if only_part != "-" else parts:
            progress(f"{grade} {part or ''}")
            for point in points:
                absent = () if unless == "-" else (unless,)
                setting = Setting(None if grade == "-" else grade, part, point, absent=absent)
                lines += 1
                key = (key_of(setting), target)
                if key in proved or len(findings) >= MOST_FOUND:
                    continue
                left = proved[key] = prover.left(setting, target)
                if left and len(findings) < MOST_FOUND:
                    text = f"a finish that the bolt standard bars may be offered: {setting.shown()}: {left}"
                    findings.append(Finding(rules.role("proof-structural"), text))
    return Proof(lines, lines * _open_walks(engine), tuple(findings))
