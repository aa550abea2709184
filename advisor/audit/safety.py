"""The two safety proofs: no plate on steel that is or may be too hard, no coat that a bolt standard bars.

Strength, part and measured hardness are walked through one by one. Everything else an enquiry can say (place, finish
asked for, duty, circumstances) is left open, and a rule counts only when it speaks whatever is said there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product

from advisor.audit.faults import Finding, Progress
from advisor.audit.proving import Prover, Setting
from advisor.audit.slot_values import tests_of_rules
from advisor.graph.base import Base
from advisor.graph.conditions import Condition, Tri, evaluate
from advisor.graph.nodes import Strength
from advisor.reasoning.bands import possible_bands
from advisor.reasoning.engine import Engine
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

HARD = frozenset({"H3", "H4", "CASE"})
MOST_FOUND = 10
"""A proof that has failed so often stops: the lines left would tell the same."""


class Proof(NamedTuple):
    """The outcome of one proof: lines proved, walks they stand for, and what was found."""

    lines: int
    walks: int
    findings: tuple[Finding, ...]


# the settings ---------------------------------------------------------------------------------------------------------


def hardness_points(base: Base) -> list[float | None]:
    """No reading, and one reading below, at and above every limit that a rule or the bands name."""
    limits = {34.0, 37.0, 39.0, 46.0}
    for _, slot, test, operand in tests_of_rules(base):
        if slot == "hardness_hrc" and test in ("above", "at_least", "below", "at_most"):
            limits.add(float(operand))
    points = {round(x + d, 3) for x in limits for d in (-0.01, 0.0, 0.01)}
    return [None, *sorted(p for p in points if p > 0)]


def settings(engine: Engine) -> Iterator[Setting]:
    """Every strength (and none) with every part (and none) and every kind of reading; without a strength also with
    every
    circumstance that tells a hardness."""
    base = engine.base
    parts = [None, *base.slots["part"].values]
    points = hardness_points(base)
    grades = [None, *dict.fromkeys(s.grade for s in base.strengths.values())]
    for strength, part, point in product(grades, parts, points):
        yield Setting(strength, part, point)
    for told, part, point in product(_telling(base), parts, points):
        yield Setting(None, part, point, told)


def _telling(base: Base) -> list[str]:
    """The circumstances that tell a hardness."""
    return [
        i.removeprefix("circumstance-")
        for i, d in base.exposures.items()
        if i.startswith("circumstance-") and d.possible_bands
    ]


TOLD_APART = ("strength", "part", "hardness_hrc")


def told_apart(engine: Engine) -> Callable[[Setting], tuple[Any, ...]]:
    """Gives settings that no rule and no band tells apart the same key."""
    tests: dict[str, dict[str, Condition]] = {s: {} for s in TOLD_APART}
    for _, slot, test, operand in tests_of_rules(engine.base):
        if slot in tests:
            tests[slot][test + repr(operand)] = ["test", slot, test, operand]
    strengths = engine.base.strengths
    memo: dict[tuple[str, Any], tuple[Tri, ...]] = {}

    def answers(slot: str, value: Any) -> tuple[Tri, ...]:
        if (slot, value) not in memo:
            told = {} if value is None else {slot: value}
            memo[slot, value] = tuple(evaluate(t, told) for t in tests[slot].values())
        return memo[slot, value]

    def key(setting: Setting) -> tuple[Any, ...]:
        node = strengths.get(setting.strength.lower()) if setting.strength else None
        kind = (node.band, node.product) if node else None
        values = tuple(answers(s, getattr(setting, s)) for s in TOLD_APART)
        bands = possible_bands(engine.base, setting.values())
        return (values, kind, bands, setting.circumstance, setting.absent)

    return key


# the proofs ---------------------------------------------------------------------------------------------------------


def _open_walks(engine: Engine) -> int:
    """How many walks one line stands for when only place and wish are counted: every place or none, every family or
    none.
    """
    places, families = engine.base.slots["environment"].values, engine.base.families
    return (len(places) + 1) * (len(families) + 1)


def prove_hydrogen(engine: Engine, progress: Progress) -> Proof:
    """No walk in which the steel is or may be harder than the limit ends with a process that charges hydrogen.

    Not in tension (nuts, washers) is no matter. Set screws keep five zinc plates, case-hardened screws keep plate where
    the place allows it; there the caution on hydrogen must stand whatever else is said (ISO 4042:2018 clause 4.4,
    ASTM F1941-15 introduction).
    """
    hydrogen, key_of = _Hydrogen(engine), told_apart(engine)
    lines = 0
    findings: list[Finding] = []
    proved: set[tuple[Any, ...]] = set()
    for setting in settings(engine):
        if not hydrogen.concerns(setting):
            continue
        lines += 1
        key = (key_of(setting), setting.part in hydrogen.case_parts)
        if key in proved or len(findings) >= MOST_FOUND:
            continue
        if lines % 50 == 0:
            progress(f"{lines} lines")
        proved.add(key)
        left = hydrogen.left(setting)
        if left:
            text = f"hard steel may be plated: {setting.shown()}: {left}"
            findings.append(Finding("", "KB601", text, "write the rule that keeps plate off it"))
    return Proof(lines, lines * _open_walks(engine), tuple(findings))


class _Hydrogen:
    """What the hydrogen proof asks of one setting, with the parts and coats that the roles name."""

    def __init__(self, engine: Engine) -> None:
        rules = engine.rules
        self._base = engine.base
        self._prover = Prover(engine)
        self._plated = rules.names[rules.role("charging")]
        self._plated_metal = engine.base.families[rules.families_in(self._plated)[0]].material
        self._kept_on_set_screws = rules.mask_of(engine.base.role("proof-set-screw-plates"))
        self._set_screw = rules.role("proof-set-screw")
        self._topic = rules.role("proof-hydrogen-topic")
        self._pressed = engine.base.role("proof-not-in-tension")
        self.case_parts = engine.base.role("proof-case-parts")

    def concerns(self, setting: Setting) -> bool:
        """Whether the steel is or may be hard, and is pulled."""
        bands, _ = possible_bands(self._base, setting.values())
        return bool(set(bands) & HARD) and setting.part not in self._pressed

    def left(self, setting: Setting) -> str:
        """Empty when the setting is proved; else what is left of the plates, or the answers that leave one in."""
        bands, _ = possible_bands(self._base, setting.values())
        if set(bands) <= {"CASE"} or (setting.part in self.case_parts and "CASE" in bands):
            return self._prover.warned(setting, self._plated, self._topic)
        if self._is_set_screw(setting) and not self._is_hard_bolt(setting):
            barred = self._plated & ~self._kept_on_set_screws
            return self._prover.left(setting, barred) or self._prover.warned(
                setting, self._kept_on_set_screws, self._topic
            )
        return self._prover.left(setting, self._plated)

    def _strength(self, setting: Setting) -> Strength | None:
        return self._base.strengths.get(setting.strength.lower()) if setting.strength else None

    def _is_set_screw(self, setting: Setting) -> bool:
        node = self._strength(setting)
        product = node.product if node and setting.part is None else ""
        return self._set_screw in (setting.part, product)

    def _is_hard_bolt(self, setting: Setting) -> bool:
        """A bolt of a hard grade of the metal that is plated, whatever the part was called."""
        node = self._strength(setting)
        if node is None or node.product != "bolt":
            return False
        return node.band in ("H3", "H4") and node.material == self._plated_metal


def prove_structural(engine: Engine, progress: Progress) -> Proof:
    """No walk in which a structural grade is offered a finish that its standard bars.

    What each standard bars stands in the table of the role `proof-structural`: grade (a dash for a part alone), part (a
    dash for any), the circumstance that lifts it (a dash for none), barred sets and families.
    """
    rules, prover, key_of = engine.rules, Prover(engine), told_apart(engine)
    table = rules.role("proof-structural")
    points = hardness_points(engine.base)
    lines = 0
    findings: list[Finding] = []
    proved: set[tuple[Any, ...]] = set()
    for target, setting in _barred(engine, table, points):
        lines += 1
        if lines % 50 == 0:
            progress(setting.shown())
        key = (key_of(setting), target)
        if key in proved or len(findings) >= MOST_FOUND:
            continue
        proved.add(key)
        left = prover.left(setting, target)
        if left:
            text = f"a finish that the bolt standard bars may be offered: {setting.shown()}: {left}"
            findings.append(Finding(table, "KB602", text, "write the rule that keeps it off"))
    return Proof(lines, lines * _open_walks(engine), tuple(findings))


def _barred(engine: Engine, table: str, points: list[float | None]) -> Iterator[tuple[int, Setting]]:
    """Every row of the table of barred coats, as the finishes barred and each setting they are barred in."""
    every_part = [None, *engine.base.slots["part"].values]
    for grade, only_part, unless, barred in engine.base.tables[table].rows:
        target = engine.rules.mask_of(str(barred).split())
        parts = every_part if only_part == "-" else [only_part]
        absent = () if unless == "-" else (unless,)
        for part, point in product(parts, points):
            yield target, Setting(None if grade == "-" else grade, part, point, absent=absent)
