"""Proofs over the rules: every rule's own cases, dead actions, contradictions, walks that end well, finishes that can win."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import combinations, product
from typing import Any, NamedTuple

from advisor.audit.structure import Finding, conditions_of, tests_of
from advisor.graph.conditions import Condition, evaluate
from advisor.reasoning.advice import advise
from advisor.reasoning.cautions import SEVERITY
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, complete, from_values
from advisor.reasoning.questions import relevant, signature, with_answer

Progress = Callable[[str], None]
"""Called with a few words about what is being proved."""


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


# cases of the rules ---------------------------------------------------------------------------------------------------


def check_cases(engine: Engine) -> Iterator[Finding]:
    """Every rule speaks in its own cases, and is silent where it says so."""
    for i in engine.base.kind("rule"):
        cases = engine.base.section("case").get(i, {})
        if not cases:
            yield Finding(i, "this rule has no cases; write an enquiry where it speaks and one where it is silent")
            continue
        for part, expected in (("speaks", True), ("silent", False)):
            for values in cases[part]:
                if speaks(engine, i, from_values(values)) is not expected:
                    what = "is silent in its own case" if expected else "speaks where it says it is silent:"
                    yield Finding(i, f"{what} {shown(values)}")


def shown(values: Mapping[str, Any]) -> str:
    """An enquiry in one line."""
    return (
        "{" + ", ".join(f"{k}: {', '.join(map(str, v)) if isinstance(v, list) else v}" for k, v in values.items()) + "}"
    )


def speaks(engine: Engine, rule_id: str, enquiry: Enquiry) -> bool:
    """Whether a rule has any effect on an enquiry: an action, or a slot filled where it derives."""
    rule = engine.base.kind("rule")[rule_id]
    case = complete(engine.base, enquiry)
    if rule["derives"]:
        filled = {(a.slot, repr(a.value), a.because) for a in case.assumed}
        for a in rule["then"]:
            if a["verb"] == "derive":
                for slot, value in a["value"].items():
                    if (slot, repr(value), a.get("text", rule["text"])) in filled:
                        return True
    if rule_id not in engine.rules.by_id:
        return False
    return any(e.rule == rule_id for e in engine.judge(enquiry).screened.effects)


def check_dead_actions(engine: Engine) -> Iterator[Finding]:
    """An action on no finish at all, or a rule none of whose speaking cases makes anything happen, is dead."""
    for i, rule in engine.base.kind("rule").items():
        for a in rule["then"]:
            if "mask" in a and not a["mask"]:
                what = a["value"] if a["verb"] in ("exclude", "conditional", "warn") else a["verb"]
                yield Finding(
                    i, f"the action '{a['verb']}: {str(what)[:40]}' concerns no finish; check its names and 'where'"
                )
        if _impossible(rule["when"]):
            yield Finding(i, "its condition can never hold: it asks one slot for two values at once")


def _impossible(condition: Condition) -> bool:
    """Whether an all-of condition asks one slot that takes one value for two disjoint choices."""
    if condition[0] != "all":
        return False
    asked: dict[str, set[Any]] = {}
    for c in condition[1:]:
        if c[0] == "test" and c[2] == "in" and c[1] in ("part", "strength", "rust", "priority"):
            values = set(c[3])
            asked[c[1]] = asked[c[1]] & values if c[1] in asked else values
            if not asked[c[1]]:
                return True
    return False


# contradictions -------------------------------------------------------------------------------------------------------


class Contradictions:
    """Gathers pairs of rules of one group that call the same finish good and not viable in the same place at once."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._seen: set[tuple[str, str]] = set()
        self.findings: list[Finding] = []

    def look(self, judged: Judged, values: Mapping[str, Any]) -> None:
        """Look at one walk."""
        rules = self._engine.rules
        said = [e for e in judged.screened.effects if e.verb == "viability" and not e.pending]
        good = [e for e in said if e.value == "good"]
        if not good:
            return
        places = judged.case.full.get("environment") or ()
        for a in good:
            for b in said:
                pair = (a.rule, b.rule)
                if b.value != "none" or pair in self._seen or rules.by_id[a.rule].group != rules.by_id[b.rule].group:
                    continue
                both = (rules.everything if a.mask is None else a.mask) & (
                    rules.everything if b.mask is None else b.mask
                )
                shared = [
                    p for p in places if all(not rules.by_id[x].places or p in rules.by_id[x].places for x in pair)
                ]
                if both and shared:
                    self._seen.add(pair)
                    finish = next(rules.members(both))
                    self.findings.append(
                        Finding(
                            a.rule,
                            f"calls {finish} good where {b.rule} calls it not viable ({', '.join(shared)}): {shown(values)}; "
                            "narrow one of them",
                        )
                    )


# walks ------------------------------------------------------------------------------------------------------------------


def walk_everything(engine: Engine, progress: Progress, seconds: float = 40.0) -> tuple[Walks, list[Finding]]:
    """Walk every answer, every pair of answers of any two questions, and every triple that some rule reads together.

    In a triple, answers that the rules reading it do not tell apart count once. Each walk must end in a
    recommendation, in a referral with its reasons, or in an open question; where plate is offered on steel that is or
    may be harder than ordinary, the hydrogen caution must stand beside it. Also notes which finishes were recommended.
    `seconds` bounds the walks of triples on a slow machine; what was left out is said.
    """
    began = time.monotonic()
    contradictions = Contradictions(engine)
    watch = _Watch(engine, contradictions)
    options = decision_options(engine)
    start = engine.judge(Enquiry())
    watch.see(start, {})
    walked = {"singles": 0, "pairs": 0, "triples": 0}
    singles: dict[tuple[str, int], Judged] = {}
    for slot, values in options.items():
        for n, value in enumerate(values):
            singles[slot, n] = engine.vary(start, with_answer(start, slot, value))
            watch.see(singles[slot, n], {slot: value})
            walked["singles"] += 1
    triples = _triples(engine, options)
    slots = list(options)
    left_out = 0
    for number, (a, b) in enumerate(combinations(slots, 2)):
        if number % 40 == 0:
            progress(f"walks: pairs {walked['pairs']}, triples {walked['triples']}")
        thirds = triples.get(frozenset((a, b)), {})
        for (n, va), (m, vb) in product(enumerate(options[a]), enumerate(options[b])):
            pair = engine.vary(singles[a, n], with_answer(singles[a, n], b, vb))
            watch.see(pair, {a: va, b: vb})
            walked["pairs"] += 1
            for c, choice in thirds.items():
                if (n, m) not in choice:
                    continue
                for k in choice[n, m]:
                    if time.monotonic() - began > seconds:
                        left_out += 1
                        continue
                    vc = options[c][k]
                    watch.see(engine.vary(pair, with_answer(pair, c, vc)), {a: va, b: vb, c: vc})
                    walked["triples"] += 1
    findings = list(watch.findings)
    if left_out:
        findings.append(Finding("", f"{left_out} triples of answers were not walked for want of time", fault=False))
    total = 1 + sum(walked.values())
    walks = Walks(tuple(findings), total, **walked, recommended=watch.ranked, inside=watch.inside, first=watch.first)
    return walks, contradictions.findings


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
            self.findings.append(Finding("", text))

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
    nodes = engine.base.kind("caution")
    covered = 0
    for e in judged.screened.effects:
        node = nodes.get(str(e.value)) if e.verb == "warn" and not e.assumed else None
        if node and node["topic"] == topic:
            if SEVERITY.index(e.severity or node["severity"]) >= SEVERITY.index(least):
                covered |= engine.rules.everything if e.mask is None else e.mask
    return not mask & ~covered


def decision_options(engine: Engine) -> dict[str, list[Any]]:
    """Slot -> the values that its questions offer; for a list slot, circumstances of all questions together."""
    out: dict[str, list[Any]] = {}
    for d in engine.base.kind("decision").values():
        values = out.setdefault(d["slot"], [])
        values.extend(o["value"] for o in d["options"] if o["value"] != UNKNOWN and o["value"] not in values)
    return {slot: values for slot, values in out.items() if values}


def _triples(
    engine: Engine, options: Mapping[str, list[Any]]
) -> dict[frozenset[str], dict[str, dict[tuple[int, int], list[int]]]]:
    """Pair of slots -> third slot -> (option of the first, of the second) -> options of the third to walk.

    Only where some rule reads all three, and one option for all that these rules do not tell apart.
    """
    position = {s: n for n, s in enumerate(options)}
    tests: dict[tuple[str, str, str], dict[str, list[tuple[str, Any]]]] = {}
    for rule in engine.base.kind("rule").values():
        atoms: dict[str, list[tuple[str, Any]]] = {}
        for c in conditions_of(rule):
            for slot, test, operand in tests_of(c):
                if slot in position:
                    atoms.setdefault(slot, []).append((test, operand))
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


def _told_apart(slot: str, values: list[Any], tests: Iterable[tuple[str, Any]]) -> list[int]:
    """The first option of every class of options that the tests do not tell apart."""
    seen: dict[tuple[Any, ...], int] = {}
    listed = list(tests)
    for n, value in enumerate(values):
        key = tuple(evaluate(["test", slot, test, operand], {slot: value}) for test, operand in listed)
        seen.setdefault(key, n)
    return list(seen.values())


# questions and winners ------------------------------------------------------------------------------------------------


def check_decisions(engine: Engine) -> Iterator[Finding]:
    """Every question can be asked: for some enquiry it is relevant and its answers give different advice."""
    for i, d in engine.base.kind("decision").items():
        if all(o["value"] == UNKNOWN for o in d["options"]):
            continue  # the question has a free answer only: whatever is written there counts
        if not any(_can_be_asked(engine, i, d, judged) for judged in _trials(engine, d)):
            yield Finding(
                i, "this question is never asked: no answer to it changes any advice; remove it or write its rule"
            )


def _trials(engine: Engine, decision: Mapping[str, Any], most: int = 120) -> Iterator[Judged]:
    """Enquiries in which a question may matter: what makes it relevant, alone and with the speaking cases of the rules
    that read its slot (without the slot)."""
    slot = decision["slot"]
    grounds = list(_satisfying(engine, decision["relevant"])) if "relevant" in decision else [{}]
    seen: set[str] = set()
    cases = engine.base.section("case")
    readers = [
        i
        for i, rule in engine.base.kind("rule").items()
        if any(s == slot for c in conditions_of(rule) for s, _, _ in tests_of(c))
    ]
    spoken = [{}, *(v for i in readers for v in cases.get(i, {}).get("speaks", ())[:3])]
    for values in spoken:
        for ground in grounds:
            trial = {**{s: v for s, v in values.items() if s != slot}, **ground}
            if repr(trial) not in seen:
                seen.add(repr(trial))
                yield engine.judge(from_values(trial))
                if len(seen) >= most:
                    return


def _satisfying(engine: Engine, condition: Condition) -> Iterator[dict[str, Any]]:
    """Enquiries that make a condition true, as far as its plain choices go."""
    op = condition[0]
    if op == "test":
        _, slot, test, operand = condition
        kind = engine.base.kind("slot")[slot]["type"]
        if test in ("in", "only"):
            yield from ({slot: [x] if kind == "choices" else x} for x in operand)
        elif test in ("at_least", "at_most"):
            yield {slot: operand}
        elif test in ("above", "below"):
            yield {slot: operand + (1 if test == "above" else -1)}
        elif test == "known" and operand and kind == "number":
            yield {slot: 20}
        else:
            yield {}
    elif op == "any":
        for c in condition[1:]:
            yield from _satisfying(engine, c)
    elif op == "all":
        for parts in product(*(list(_satisfying(engine, c))[:6] for c in condition[1:])):
            yield {k: v for p in parts for k, v in p.items()}
    else:
        yield {}


def _can_be_asked(engine: Engine, decision_id: str, decision: Mapping[str, Any], judged: Judged) -> bool:
    if decision_id not in {i for i, _ in relevant(engine, judged)}:
        return False
    now = signature(engine, judged)
    return any(
        signature(engine, engine.vary(judged, with_answer(judged, decision["slot"], o["value"]))) != now
        for o in decision["options"]
        if o["value"] != UNKNOWN
    )


class Winners(NamedTuple):
    """Finishes as masks: recommended for some enquiry, and let in for some though a sister always goes before."""

    recommended: int
    second: int
    findings: tuple[Finding, ...]


def find_winners(engine: Engine, recommended: int, inside: int, progress: Progress, seconds: float = 12.0) -> Winners:
    """Every finish that is not legacy can be recommended: those the walks did not meet are looked for one by one.

    A finish that is never let in is a fault. One that is let in, but whose family has a better one in every enquiry
    tried, is a note: it is sold when it is asked for by its designation.
    """
    rules = engine.rules
    began = time.monotonic()
    wanted = rules.everything & ~rules.legacy
    for f in rules.members(wanted & ~recommended):
        progress(f"finishes not yet recommended: {(wanted & ~recommended).bit_count()}")
        for values in _wishes(engine, f):
            if recommended & rules.bit[f] or (time.monotonic() - began > seconds and inside & rules.bit[f]):
                break
            judged = engine.judge(from_values(values))
            inside |= judged.screened.inside(rules.everything)
            for r in judged.ranked:
                recommended |= rules.bit[r.finish]
    findings = [
        Finding(f, "no enquiry lets this finish in; give it a place where it lasts, mark it legacy, or remove it")
        for f in rules.members(wanted & ~inside)
    ]
    second = wanted & inside & ~recommended
    findings += [
        Finding(f, "let in, but a sister of its family went before it in every enquiry tried", fault=False)
        for f in rules.members(second)
    ]
    return Winners(recommended, second, tuple(findings))


def _wishes(engine: Engine, f: str) -> Iterator[dict[str, Any]]:
    """Enquiries that lean towards one finish: its order, its colour, its hours, its substances, a size, a place."""
    rules = engine.rules
    finishes = engine.base.kind("finish")
    looks = engine.base.kind("slot").get("appearance", {}).get("values", [])
    d = finishes[f]
    base: dict[str, Any] = {"finish_asked": [d["family"]]}
    for substance in ("hexavalent_chromium", "cadmium", "pfas", "lead"):
        if d.get(substance) == "yes":
            base[substance] = "allowed"
    wishes: list[dict[str, Any]] = [{}]
    wishes += [{"appearance": c} for c in d.get("colour", ()) if c in looks]
    for rust in ("red", "white"):
        q = rules.figure(f, f"salt_spray_{rust}_h")
        if q is not None and q[2] is not None and q[2] > 0:
            wishes += [{**w, "salt_spray_hours": q[2], "rust": rust} for w in list(wishes)]
    wishes += [{"lubrication": "needed"}, {"conductivity": "needed"}, {"paint_over": "needed"}, {"pfas": "forbidden"}]
    settings: list[dict[str, Any]] = [
        {"environment": ["outdoor-urban"]},
        {"environment": ["indoor-dry"], "priority": "cost"},
        {"environment": ["coastal"], "priority": "life"},
        {"environment": ["outdoor-urban"], "size": "M4"},
        {"environment": ["road-salt"], "size": "M20", "strength": "8.8"},
        {"environment": ["high-temperature"], "temperature_c": 400},
        {"environment": ["immersion-sea"]},
        {"environment": ["chemical-acid"]},
    ]
    settings += [{"strength": s, "environment": ["outdoor-urban"]} for s in d.get("strength_classes", ())]
    # the order of this very finish, as a drawing note gives it
    allowed = {k: v for k, v in base.items() if k != "finish_asked"}
    yield from ({**allowed, **s, "ordered": [f]} for s in settings)
    for s, w in product(settings, wishes):
        yield {**base, **s, **w}
