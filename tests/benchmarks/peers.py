"""Rule engines side by side on the program's own load: `python tests/benchmarks/peers.py [--cases 200]`.

All answer "which rules hold" for the same cases in the same run, one after another for each case, seven rounds; the
least time of a case counts, a wrong answer ends the run before any time is shown. Making a case ready for an engine is
not counted. Engines that are not installed are left out (`pip install --group bench`); the plain evaluation always
runs. The others give no reasons: what a full screening with all reasons takes stands beside.
"""

from __future__ import annotations

import argparse
import sqlite3
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from importlib import import_module
from importlib.util import find_spec
from itertools import product
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from advisor.graph.conditions import evaluate, ready
from advisor.reasoning.case import Case
from advisor.reasoning.clauses import Literal
from advisor.reasoning.judging import join
from advisor.shells.opening import Opened, open_all
from tests.benchmarks.load import Load, LoadedCase, LoadedRule, cases_of, load

ROUNDS = 7
COMPARED = {"above": ">", "at_least": ">=", "below": "<", "at_most": "<="}
OPPOSITE = {">": "<=", ">=": "<", "<": ">=", "<=": ">"}
Asked = Callable[[Any], Sequence[str] | set[str]]


class Contestant:
    """An engine: how a case is made ready for it (not counted), and how it is asked."""

    def __init__(self, name: str, prepare: Callable[[LoadedCase, Case], Any], ask: Asked) -> None:
        self.name = name
        self.prepare = prepare
        self.ask = ask


def kernel(opened: Opened) -> Contestant:
    """The program's own judging by bits."""
    voices = opened.engine.rules.voices
    judging = voices.judging
    whens = [(i, judging.span(c, c + 1)) for i, c in zip(voices.ids, voices.first, strict=False)]
    every = 0
    for _, span in whens:
        every |= span

    def ask(case: Any) -> list[str]:
        bits = join(judging.pairs(case.full, case.told))
        true = every & ~(bits.false | bits.open)
        return [voices.ids[n] for n in voices.owners(true)]

    return Contestant("judging by bits", lambda _, case: case, ask)


def evaluation(opened: Opened) -> Contestant:
    """Every condition evaluated as it stands."""
    rules = [(i, opened.base.rules[i].when) for i in opened.engine.rules.voices.ids]
    return Contestant(
        "plain evaluation",
        lambda _, case: case,
        lambda case: [i for i, when in rules if evaluate(when, case.full, case.told) is True],
    )


def closures(opened: Opened) -> Contestant:
    """Every condition as a prepared function."""
    rules = [(i, ready(opened.base.rules[i].when)) for i in opened.engine.rules.voices.ids]
    return Contestant(
        "prepared functions",
        lambda _, case: case,
        lambda case: [i for i, when in rules if when(case.full, case.told) is True],
    )


# SQLite ---------------------------------------------------------------------------------------------------------------


def sqlite(given: Load) -> Contestant:
    """Tests, parts and rules in tables: a part is true when as many of its tests are met as it has."""
    db = sqlite3.connect(":memory:")
    db.executescript(
        """
        create table choice (test integer, slot text, value, primary key (slot, value, test)) without rowid;
        create table test (test integer primary key, slot text, kind text, low real, high real);
        create table part (part integer primary key, rule text, tests integer);
        create table part_test (test integer, part integer, primary key (test, part)) without rowid;
        create table fact (slot text, value, unsure integer);
        create table flag (slot text primary key, known integer, told integer, size integer) without rowid;
        create index test_of on test (kind, slot);
        """
    )
    numbers: dict[str, int] = {}
    for rule in given.rules:
        for part in rule.parts:
            held = {repr(t): t for t in part}
            row = db.execute("insert into part (rule, tests) values (?, ?)", (rule.id, len(held))).lastrowid
            for key, t in held.items():
                if key not in numbers:
                    numbers[key] = len(numbers)
                    _enter(db, numbers[key], t)
                db.execute("insert into part_test values (?, ?)", (numbers[key], row))
    slots = sorted({t.slot for r in given.rules for p in r.parts for t in p})
    # of the values of a slot: how many an operand holds (h), of how many (n); unsure values must all agree
    query = """
        with hit as (
            select t.test, t.kind, g.known, g.size as n, count(c.value) as h, max(coalesce(f.unsure, 0)) as u
            from test t join flag g on g.slot = t.slot left join fact f on f.slot = t.slot
            left join choice c on c.test = t.test and c.slot = f.slot and c.value = f.value
            where t.kind in ('in', 'not-in', 'only', 'not-only') and g.known group by t.test
        ), met as (
            select test from hit where
                (kind = 'in' and (h = n or (h > 0 and not u)) and n > 0) or (kind = 'not-in' and h = 0 and (n > 0 or not
                u)) or (kind = 'only' and n > 0 and h = n) or (kind = 'not-only' and ((u and h = 0) or (not u and (h < n
                or n = 0))))
            union all select t.test from test t join flag g on g.slot = t.slot where
                (t.kind = 'known' and g.known = t.low) or (t.kind = 'told' and g.told = t.low)
                or (t.kind = 'empty' and g.known and (g.size = 0) = t.low)
            union all select t.test from test t join fact f on f.slot = t.slot where t.kind in ('>', '>=', '<', '<=')
                group by t.test having min(typeof(f.value) in ('integer', 'real') and case t.kind
                    when '>' then f.value > t.low when '>=' then f.value >= t.low
                    when '<' then f.value < t.low else f.value <= t.low end)
        )
        select distinct p.rule from part p join (
            select pt.part, count(*) as met from met join part_test pt on pt.test = met.test group by pt.part
        ) m on m.part = p.part where m.met = p.tests
        union select rule from part where tests = 0
    """

    def prepare(case: LoadedCase, _: Case) -> tuple[list[Any], list[Any]]:
        facts = [(s, v, int(s in case.possible)) for s, vs in case.values.items() for v in vs]
        flags = [(s, int(s in case.values), int(s in case.told), len(case.values.get(s, ()))) for s in slots]
        return facts, flags

    def ask(prepared: Any) -> set[str]:
        db.execute("delete from fact")
        db.execute("delete from flag")
        db.executemany("insert into fact values (?, ?, ?)", prepared[0])
        db.executemany("insert into flag values (?, ?, ?, ?)", prepared[1])
        return {r for (r,) in db.execute(query)}

    return Contestant("SQLite", prepare, ask)


def _enter(db: sqlite3.Connection, number: int, t: Literal) -> None:
    if t.test in COMPARED:
        sign = OPPOSITE[COMPARED[t.test]] if t.denied else COMPARED[t.test]
        db.execute("insert into test values (?, ?, ?, ?, null)", (number, t.slot, sign, t.operand))
    elif t.test in ("known", "told", "empty"):
        wanted = int(bool(t.operand) is not t.denied)
        db.execute("insert into test values (?, ?, ?, ?, null)", (number, t.slot, t.test, wanted))
    else:
        kind = ("not-" if t.denied else "") + t.test
        db.execute("insert into test values (?, ?, ?, null, null)", (number, t.slot, kind))
        db.executemany("insert into choice values (?, ?, ?)", [(number, t.slot, v) for v in dict.fromkeys(t.operand)])


# clipspy --------------------------------------------------------------------------------------------------------------


def _quoted(value: Any) -> str:
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"


def _in_clips(t: Literal, unsure: bool) -> list[str]:
    """The patterns of one test: facts (v slot value), (known slot), (told slot)."""
    s = t.slot
    wanted = bool(t.operand) is not t.denied if t.test in ("known", "told", "empty") else True
    if t.test in ("known", "told"):
        return [f"({t.test} {s})"] if wanted else [f"(not ({t.test} {s}))"]
    known = f"(known {s})"
    if t.test == "empty":
        return [known, f"(not (v {s} ?))" if wanted else f"(exists (v {s} ?))"]
    if t.test in COMPARED:
        sign = COMPARED[t.test]
        sign = OPPOSITE[sign] if t.denied else sign
        return [f"(exists (v {s} ?))", f"(not (v {s} ?n&:(not ({sign} ?n {t.operand:g}))))"]
    listed = "|".join(_quoted(v) for v in t.operand)
    other = "&".join(f"~{_quoted(v)}" for v in t.operand)
    hit, miss = f"(v {s} {listed})", f"(v {s} ?x&{other})"
    if t.test == "only" or unsure:
        if not t.denied:
            return [f"(exists (v {s} ?))", f"(not {miss})"]
        if not unsure:
            return [known, f"(or (exists {miss}) (not (v {s} ?)))"]
    return [known, f"(not {hit})"] if t.denied else [f"(exists {hit})"]


def clips(given: Load) -> Contestant:
    """One defrule a part."""
    environment = import_module("clips").Environment()
    unsure = {s for c in given.cases for s in c.possible}
    environment.build("(defglobal ?*none* = 0)")
    for n, (rule, part) in enumerate(_parts(given)):
        patterns = [p for t in part for p in _in_clips(t, t.slot in unsure)] or ["(begin)"]
        environment.build(f"(defrule r{n} (begin) {' '.join(dict.fromkeys(patterns))} => (assert (holds {rule.id})))")

    def prepare(case: LoadedCase, _: Case) -> list[str]:
        return [
            "(begin)",
            *(f"(v {s} {_quoted(v)})" for s, vs in case.values.items() for v in vs),
            *(f"(known {s})" for s in case.values),
            *(f"(told {s})" for s in case.told),
        ]

    def ask(facts: Any) -> set[str]:
        environment.reset()
        for fact in facts:
            environment.assert_string(fact)
        environment.run()
        return {str(f[0]) for f in environment.facts() if f.template.name == "holds"}

    return Contestant("clipspy", prepare, ask)


def _parts(given: Load) -> Iterator[tuple[LoadedRule, list[Literal]]]:
    for rule in given.rules:
        for part in rule.parts:
            yield rule, part


# zen-engine -----------------------------------------------------------------------------------------------------------


def _in_zen(t: Literal, unsure: bool) -> tuple[str, ...]:
    """One test in the engine's words, or two of which one must hold; $ lists the slot's values, null where not known.

    A cell that holds parentheses is never met in this engine, so an "or" becomes a second row.
    """
    if t.test in ("known", "told"):
        return ("$ != null" if bool(t.operand) is not t.denied else "$ == null",)
    if t.test == "empty":
        return (f"$ != null and len($) {'==' if bool(t.operand) is not t.denied else '!='} 0",)
    if t.test in COMPARED:
        sign = OPPOSITE[COMPARED[t.test]] if t.denied else COMPARED[t.test]
        return (f"$ != null and len($) > 0 and all($, # {sign} {t.operand:g})",)
    listed = "[" + ", ".join(f"'{v}'" if isinstance(v, str) else f"{v:g}" for v in t.operand) + "]"
    if t.test == "only" or unsure:
        if not t.denied:
            return (f"$ != null and len($) > 0 and all($, # in {listed})",)
        if not unsure:
            return f"$ != null and some($, # not in {listed})", "$ != null and len($) == 0"
    return (f"$ != null and {'none' if t.denied else 'some'}($, # in {listed})",)


def zen(given: Load) -> Contestant:
    """One decision table that collects, a row a part, a column a slot."""
    unsure = {s for c in given.cases for s in c.possible}
    fields = sorted({f"told_{t.slot}" if t.test == "told" else t.slot for _, p in _parts(given) for t in p})
    rows: list[dict[str, str]] = []
    for rule, part in _parts(given):
        asked = [f"told_{t.slot}" if t.test == "told" else t.slot for t in part]
        for tests in product(*(_in_zen(t, t.slot in unsure) for t in part)):
            cells: dict[str, list[str]] = {f: [] for f in fields}
            for field, test in zip(asked, tests, strict=True):
                cells[field].append(test)
            row = {f: " and ".join(dict.fromkeys(c)) for f, c in cells.items()}
            rows.append({"_id": str(len(rows)), **row, "o": f"'{rule.id}'"})
    place = {"x": 0, "y": 0}
    table = {
        "hitPolicy": "collect",
        "inputs": [{"id": f, "name": f, "field": f} for f in fields],
        "outputs": [{"id": "o", "name": "rule", "field": "rule"}],
        "rules": rows,
    }
    graph = {
        "nodes": [
            {"id": "in", "type": "inputNode", "name": "in", "position": place},
            {"id": "t", "type": "decisionTableNode", "name": "t", "position": place, "content": table},
            {"id": "out", "type": "outputNode", "name": "out", "position": place},
        ],
        "edges": [
            {"id": "a", "sourceId": "in", "targetId": "t", "type": "edge"},
            {"id": "b", "sourceId": "t", "targetId": "out", "type": "edge"},
        ],
    }
    decision = import_module("zen").ZenEngine().create_decision(graph)

    def prepare(case: LoadedCase, _: Case) -> dict[str, Any]:
        out: dict[str, Any] = dict.fromkeys(fields)
        out.update(case.values)
        out.update({f"told_{s}": [1] for s in case.told})
        return out

    return Contestant("zen-engine", prepare, lambda case: {r["rule"] for r in decision.evaluate(case)["result"]})


# the run --------------------------------------------------------------------------------------------------------------


def contestants(opened: Opened, given: Load) -> Iterator[Contestant]:
    """The engines that are there, each with what building it took shown."""
    makers: list[tuple[str, Callable[[], Contestant]]] = [
        ("", lambda: kernel(opened)),
        ("", lambda: closures(opened)),
        ("", lambda: evaluation(opened)),
        ("", lambda: sqlite(given)),
        ("clips", lambda: clips(given)),
        ("zen", lambda: zen(given)),
    ]
    for module, make in makers:
        if module and find_spec(module) is None:
            print(f"{module} is not installed; left out")
            continue
        start = time.perf_counter()
        made = make()
        print(f"{made.name:<20} built in {(time.perf_counter() - start) * 1000:8.1f} ms")
        yield made


def run(count: int) -> dict[str, float]:
    """Microseconds a case for every engine; the run ends with SystemExit where one is wrong."""
    opened = open_all()
    given = load(opened, count)
    whole = cases_of(opened, count)
    engines = list(contestants(opened, given))
    best: dict[str, list[float]] = {e.name: [float("inf")] * len(whole) for e in engines}
    for round_no in range(ROUNDS):
        for n, (loaded, case) in enumerate(zip(given.cases, whole, strict=True)):
            for e in engines:
                prepared = e.prepare(loaded, case)
                start = time.perf_counter()
                found = e.ask(prepared)
                took = (time.perf_counter() - start) * 1e6
                if round_no == 0 and set(found) != set(loaded.holds):
                    wrong = sorted(set(found) ^ set(loaded.holds))
                    sys.exit(f"{e.name} is wrong in case {n}: {wrong[:8]}")
                best[e.name][n] = min(best[e.name][n], took)
    return {name: statistics.mean(times) for name, times in best.items()}


def main() -> int:
    """Measure all engines and print them as ratios to the program's own."""
    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("--cases", type=int, default=200)
    n = p.parse_args()
    times = run(n.cases)
    own = times["judging by bits"]
    late = 0
    for name, us in sorted(times.items(), key=lambda x: x[1]):
        ahead = us / own
        judged = name in ("SQLite", "clipspy", "zen-engine")
        late += judged and ahead < 10
        print(f"{name:<20} {us:10.1f} us a case {ahead:8.1f} x {'UNDER 10 x' if judged and ahead < 10 else ''}")
    return 1 if late else 0


if __name__ == "__main__":
    sys.exit(main())
