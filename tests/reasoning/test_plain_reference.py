"""The fast ways of judging, ranking and asking against the plain slow one: the same answer, whatever is told."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.dialogue.facts import merge
from advisor.graph.base import Base
from advisor.graph.conditions import evaluate
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, from_values
from advisor.reasoning.questions import next_question, open_questions
from advisor.reasoning.trials import Trials, signature, with_answer
from tests.reasoning import plain_reference as plain
from tests.reasoning.enquiries import some_enquiries

UTTERANCES = Path(__file__).resolve().parents[1] / "data" / "utterances.jsonl"
ALL = 1000


@pytest.fixture(scope="module")
def own(base: Base, vocabulary: Vocabulary) -> list[Enquiry]:
    """The enquiries of the project's own utterances."""
    texts = [json.loads(line)["text"] for line in UTTERANCES.read_text("utf-8").splitlines()]
    read_ones = [merge(base, Enquiry(), read(t, vocabulary))[0] for t in texts]
    return [e for e in read_ones if e.said or e.circumstances]


def numbers(mask: int) -> frozenset[int]:
    return frozenset(i for i in range(mask.bit_length()) if mask >> i & 1)


def agree(engine: Engine, enquiry: Enquiry) -> None:
    """Case, screening, effects, ranking and signature are those of the plain way."""
    fast, slow = engine.judge(enquiry), plain.judge(engine, enquiry)
    assert fast.case.told == slow.case.told
    assert fast.case.known == slow.case.known
    assert fast.case.full == slow.case.full
    assert fast.case.assumed == slow.case.assumed
    s = fast.screened
    assert s.effects == slow.effects
    assert numbers(s.out) == slow.out
    assert numbers(s.conditional) == slow.conditional
    assert numbers(s.weak) == slow.weak
    assert numbers(s.out_by_assumption) == slow.out_by_assumption
    assert s.refer == slow.refer
    assert [r.finish for r in fast.ranked] == [f for f, _ in slow.ranked]
    assert [r.score for r in fast.ranked] == pytest.approx([x for _, x in slow.ranked], abs=1e-9)
    assert signature(engine, fast) == plain.signature(engine, slow)


def test_own_utterances_are_judged_as_the_plain_way_judges(engine: Engine, own: list[Enquiry]) -> None:
    assert len(own) > 500
    for enquiry in own[::4]:
        agree(engine, enquiry)


def test_drawn_enquiries_are_judged_as_the_plain_way_judges(engine: Engine) -> None:
    for values in some_enquiries(engine.base, 60, seed=41):
        agree(engine, from_values(values))


def values_of(base: Base) -> st.SearchStrategy[dict[str, Any]]:
    """Any slots with any of their values, numbers at and beside the limits that rules compare with, unknowns too."""
    limits: dict[str, set[float]] = {}
    words: dict[str, set[str]] = {}
    for rule in base.rules.values():
        for condition in (rule.when, *(c for a in rule.then for c in (a.only_if, a.unless) if c is not None)):
            for slot, test, operand in single_tests(condition):
                if test in ("above", "at_least", "below", "at_most"):
                    limits.setdefault(slot, set()).update((operand - 0.5, operand, operand + 0.5))
                elif test in ("in", "only"):
                    words.setdefault(slot, set()).update(x for x in operand if isinstance(x, str))
    strategies: dict[str, st.SearchStrategy[Any]] = {}
    for i, node in base.slots.items():
        if node.derived:
            continue
        if node.type == "number" and i in limits:
            strategies[i] = st.sampled_from(sorted(limits[i]))
        elif node.values or i in words:
            of = st.sampled_from(sorted({*node.values, *words.get(i, ())}))
            strategies[i] = of if node.takes_one else st.lists(of, max_size=3, unique=True)
    strategies["size"] = st.sampled_from(["M4", "M8", "M10x1.25", "M20", "3/8-16", "#10-32", "M30"])
    return st.fixed_dictionaries({}, optional={i: x | st.just(UNKNOWN) for i, x in strategies.items()})


def single_tests(condition: Any) -> Iterator[tuple[str, str, Any]]:
    if condition[0] == "test":
        yield condition[1], condition[2], condition[3]
    else:
        for c in condition[1:]:
            yield from single_tests(c)


def test_any_enquiry_is_judged_as_the_plain_way_judges(engine: Engine) -> None:
    @settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
    @given(values_of(engine.base))
    def judged(values: dict[str, Any]) -> None:
        if not isinstance(values.get("circumstance"), list):
            values.pop("circumstance", None)
        agree(engine, from_values(values))

    judged()


def test_every_condition_has_the_truth_that_evaluation_gives_it(engine: Engine, own: list[Enquiry]) -> None:
    """Bit by bit: rules, their actions, and the questions' own conditions, on what is known and what is assumed."""
    judging = engine.rules.voices.judging
    conditions = []
    for i in engine.rules.voices.ids:
        rule = engine.base.rules[i]
        conditions.append(rule.when)
        for a in rule.then:
            conditions += [c for c in (a.only_if, a.unless) if c is not None and a.verb != "derive"]
    conditions += [d.relevant for d in engine.base.decisions.values() if d.relevant is not None]
    assert len(conditions) == len(judging.starts) - 1
    for enquiry in random.Random(5).sample(own, 25):
        case = engine.complete(enquiry)
        state = engine.state_of(case)
        for bits, values in ((state.full, case.full), (state.known, case.known)):
            for n, condition in enumerate(conditions):
                assert judging.truth(bits, n) is evaluate(condition, values, case.told), condition


def test_every_answer_tried_has_the_outcome_of_judging_it_from_scratch(engine: Engine, own: list[Enquiry]) -> None:
    tried = 0
    for enquiry in random.Random(9).sample(own, 12):
        trials = Trials(engine, engine.judge(enquiry))
        for d in engine.base.decisions.values():
            for o in d.options:
                if o.value == UNKNOWN or d.slot in enquiry.said:
                    continue
                scratch = engine.judge(with_answer(enquiry, d.slot, o.value))
                assert trials.answered(d.slot, o.value) == signature(engine, scratch), (d.id, o.id, enquiry)
                tried += 1
    assert tried > 1500


def test_questions_and_the_next_one_are_those_of_trying_everything(engine: Engine, own: list[Enquiry]) -> None:
    drawn = [from_values(v) for v in some_enquiries(engine.base, 1, seed=43)]
    for enquiry in [*random.Random(3).sample(own, 2), *drawn]:
        judged = engine.judge(enquiry)
        slow = plain.questions(engine, enquiry)
        fast = open_questions(engine, judged, ALL)
        assert [(q.decision, q.safety, q.swing) for q in fast] == [(q.decision, q.safety, q.swing) for q in slow]
        for q, p in zip(fast, slow, strict=True):
            assert all(p.outcomes[option] == family for option, family in q.outcomes.items()), q.decision
        # the list that ends early is the head of the whole one
        assert [q.decision for q in open_questions(engine, judged)] == [q.decision for q in slow][:8]
        following = next_question(engine, judged)
        assert (following.decision if following is not None else None) == plain.next_question(engine, enquiry)
