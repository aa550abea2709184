"""Walks all pairs and the interacting triples of answers: each ends well, with its cautions, and no two rules
contradict.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from itertools import combinations, product

from advisor.audit.cases import shown
from advisor.audit.faults import Finding, Progress
from advisor.audit.slot_values import tests_of_rules
from advisor.graph.conditions import evaluate
from advisor.reasoning.advice import advise
from advisor.reasoning.cautions import SEVERITY
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry
from advisor.reasoning.spoken import Effect
from advisor.reasoning.trials import with_answer
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Walks(NamedTuple):
    """What the walks over all combined answers showed."""

    findings: tuple[Finding, ...]
    walked: int
    singles: int
    pairs: int
    triples: int
    recommended: int
    inside: int
    first: Mapping[str, str]


class Contradictions:
    """Gathers pairs of rules of one group that call the same finish good and not viable in the same place at once."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._seen: set[tuple[str, str]] = set()
        self.findings: list[Finding] = []

    def look(self, judged: Judged, values: Mapping[str, Any]) -> None:
        """Look at one walk."""
        said = [e for e in judged.screened.effects if e.verb == "viability" and not e.pending]
        places = judged.case.full.get("environment") or ()
        for good, bad in product(said, said):
            if good.value == "good" and bad.value == "none" and (good.rule, bad.rule) not in self._seen:
                self._compare(good, bad, places, values)

    def _compare(self, good: Effect, bad: Effect, places: Iterable[str], values: Mapping[str, Any]) -> None:
        rules = self._engine.rules
        pair = (rules.by_id[good.rule], rules.by_id[bad.rule])
        if pair[0].group != pair[1].group:
            return
        both = rules.everything
        for e in (good, bad):
            both &= rules.everything if e.mask is None else e.mask
        shared = [p for p in places if all(not r.places or p in r.places for r in pair)]
        if both and shared:
            self._seen.add((good.rule, bad.rule))
            finish = next(rules.members(both))
            text = f"calls {finish} good where {bad.rule} calls it not viable ({', '.join(shared)}): {shown(values)}"
            self.findings.append(Finding(good.rule, "KB504", text, "narrow one of them"))


def walk_everything(engine: Engine, progress: Progress, seconds: float = 40.0) -> tuple[Walks, list[Finding]]:
    """Walk every answer, every pair of answers of any two questions, and every triple that some rule reads together.

    In a triple, answers that the rules reading it do not tell apart count once. Each walk must end in a
    recommendation, in a referral with its reasons, or in an open question; where plate is offered on steel that is or
    may be harder than ordinary, the hydrogen caution must stand beside it. Also notes which finishes were recommended.
    `seconds` bounds the walks of triples on a slow machine; what was left out is said.
    """
    walk = _Walk(engine, time.monotonic() + seconds)
    walk.singly()
    for number, (a, b) in enumerate(combinations(walk.options, 2)):
        if number % 40 == 0:
            progress(f"walks: pairs {walk.walked['pairs']}, triples {walk.walked['triples']}")
        walk.together(a, b)
    watch = walk.watch
    findings = list(watch.findings)
    if walk.left_out:
        text = f"{walk.left_out} triples of answers were not walked for want of time"
        findings.append(Finding("", "KB505", text, fault=False))
    walks = Walks(
        tuple(findings),
        1 + sum(walk.walked.values()),
        **walk.walked,
        recommended=watch.ranked,
        inside=watch.inside,
        first=watch.first,
    )
    return walks, walk.contradictions.findings


class _Walk:
    """Goes through the answers in order, each walk one answer further than one before."""

    def __init__(self, engine: Engine, until: float) -> None:
        self._engine = engine
        self._until = until
        self.contradictions = Contradictions(engine)
        self.watch = _Watch(engine, self.contradictions)
        self.options = decision_options(engine)
        self.walked = {"singles": 0, "pairs": 0, "triples": 0}
        self.left_out = 0
        self._triples = _triples(engine, self.options)
        self._singles: dict[tuple[str, int], Judged] = {}

    def _step(self, before: Judged, slot: str, value: Any, told: Mapping[str, Any], kind: str) -> Judged:
        judged = self._engine.vary(before, with_answer(before.case.enquiry, slot, value))
        self.watch.see(judged, {**told, slot: value})
        self.walked[kind] += 1
        return judged

    def singly(self) -> None:
        """Nothing said, and every answer alone."""
        start = self._engine.judge(Enquiry())
        self.watch.see(start, {})
        for slot, values in self.options.items():
            for n, value in enumerate(values):
                self._singles[slot, n] = self._step(start, slot, value, {}, "singles")

    def together(self, a: str, b: str) -> None:
        """Every pair of answers of two questions, and every third answer that some rule reads with them."""
        thirds = self._triples.get(frozenset((a, b)), {})
        for (n, va), (m, vb) in product(enumerate(self.options[a]), enumerate(self.options[b])):
            pair = self._step(self._singles[a, n], b, vb, {a: va}, "pairs")
            for c, choice in thirds.items():
                for k in choice.get((n, m), ()):
                    if time.monotonic() > self._until:
                        self.left_out += 1
                    else:
                        self._step(pair, c, self.options[c][k], {a: va, b: vb}, "triples")


class _Watch:
    """Looks at every walk: how it ends, what it recommends, whether its cautions stand."""

    def __init__(self, engine: Engine, contradictions: Contradictions) -> None:
        self._engine = engine
        self._contradictions = contradictions
        self._plated = engine.rules.names.get(engine.rules.role("charging"), 0)
        self._faults: set[str] = set()
        self.findings: list[Finding] = []
        self.ranked = 0
        self.inside = 0
        self.first: dict[str, str] = {}

    def see(self, judged: Judged, values: Mapping[str, Any]) -> None:
        """Look at one walk."""
        bits = self._engine.rules.bit
        if judged.screened.refer != "stop":
            self.inside |= judged.screened.inside(self._engine.rules.everything)
        for r in judged.ranked:
            self.ranked |= bits[r.finish]
        if judged.ranked:
            self.first.setdefault(judged.ranked[0].family, shown(values))
        self._contradictions.look(judged, values)
        if not judged.ranked:
            self._ends_well(judged, values)
        elif bits[judged.ranked[0].finish] & self._plated:
            self._warns(judged, values)

    def _report(self, key: str, text: str) -> None:
        if key not in self._faults:
            self._faults.add(key)
            self.findings.append(Finding("", "KB501" if key in ("referral", "silence") else "KB502", text))

    def _ends_well(self, judged: Judged, values: Mapping[str, Any]) -> None:
        if judged.screened.refer:
            spoke = {e.text for e in judged.screened.effects if e.verb == "refer" and not e.assumed and not e.pending}
            if not any(spoke):
                self._report("referral", f"a walk is referred without a reason: {shown(values)}")
            return
        if judged.screened.conditional:
            return
        advice = advise(self._engine, judged.case.enquiry, judged)
        if not advice.open_questions and not advice.referral:
            self._report("silence", f"a walk ends in silence: {shown(values)}")

    def _warns(self, judged: Judged, values: Mapping[str, Any]) -> None:
        """Plate first on steel that is harder than ordinary: the caution must be there."""
        band = judged.case.known.get("band") or ()
        if judged.case.known.get("band_told") != "yes" or not set(band) & {"H2", "H3", "H4", "CASE"}:
            return
        if str(judged.case.known.get("part")) in self._engine.base.role("proof-not-in-tension"):
            return
        bit = self._engine.rules.bit[judged.ranked[0].finish]
        if not hydrogen_warned(self._engine, judged, bit):
            self._report(f"caution {band}", f"plate stands first without a caution on hydrogen: {shown(values)}")


def hydrogen_warned(engine: Engine, judged: Judged, mask: int, least: str = "warn") -> bool:
    """Whether a caution on hydrogen of at least a severity is raised for every finish of a mask."""
    topic = engine.rules.role("proof-hydrogen-topic")
    nodes = engine.base.cautions
    covered = 0
    for e in judged.screened.effects:
        node = nodes.get(str(e.value)) if e.verb == "warn" and not e.assumed else None
        if node and node.topic == topic:
            if SEVERITY.index(e.severity or node.severity) >= SEVERITY.index(least):
                covered |= engine.rules.everything if e.mask is None else e.mask
    return not mask & ~covered


def decision_options(engine: Engine) -> dict[str, list[Any]]:
    """Slot -> the values that its questions offer; for a list slot, circumstances of all questions together."""
    out: dict[str, list[Any]] = {}
    for d in engine.base.decisions.values():
        values = out.setdefault(d.slot, [])
        values.extend(o.value for o in d.options if o.value != UNKNOWN and o.value not in values)
    return {slot: values for slot, values in out.items() if values}


def _triples(
    engine: Engine, options: Mapping[str, list[Any]]
) -> dict[frozenset[str], dict[str, dict[tuple[int, int], list[int]]]]:
    """Pair of slots -> third slot -> (option of the first, of the second) -> options of the third to walk.

    Only where some rule reads all three, and one option for all that these rules do not tell apart.
    """
    position = {s: n for n, s in enumerate(options)}
    tests: dict[tuple[str, str, str], dict[str, list[tuple[str, Any]]]] = {}
    for atoms in _read_together(engine, position):
        for three in combinations(sorted(atoms, key=position.__getitem__), 3):
            held = tests.setdefault(three, {s: [] for s in three})
            for s in three:
                held[s].extend(atoms[s])
    out: dict[frozenset[str], dict[str, dict[tuple[int, int], list[int]]]] = {}
    for (first, second, third), read in tests.items():
        kept = {s: _told_apart(s, options[s], read[s]) for s in (first, second, third)}
        chosen = {(n, m): kept[third] for n in kept[first] for m in kept[second]}
        out.setdefault(frozenset((first, second)), {})[third] = chosen
    return out


def _read_together(engine: Engine, slots: Iterable[str]) -> list[dict[str, list[tuple[str, Any]]]]:
    """For each rule the tests it makes of each of the slots."""
    out: dict[str, dict[str, list[tuple[str, Any]]]] = {}
    known = frozenset(slots)
    for rule, slot, test, operand in tests_of_rules(engine.base):
        if slot in known:
            out.setdefault(rule, {}).setdefault(slot, []).append((test, operand))
    return list(out.values())


def _told_apart(slot: str, values: list[Any], tests: Iterable[tuple[str, Any]]) -> list[int]:
    """The first option of every class of options that the tests do not tell apart."""
    seen: dict[tuple[Any, ...], int] = {}
    listed = list(tests)
    for n, value in enumerate(values):
        key = tuple(evaluate(["test", slot, test, operand], {slot: value}) for test, operand in listed)
        seen.setdefault(key, n)
    return list(seen.values())
