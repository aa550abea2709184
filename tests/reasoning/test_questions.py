"""What is asked against brute force: every answer to every open question is tried from scratch and the advice
compared.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Any, NamedTuple

import pytest

from advisor.graph.conditions import evaluate
from advisor.reasoning.advice import advise
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, Said, from_values
from advisor.reasoning.questions import LEAST_SWING, next_question, open_questions, worth_asking
from tests.reasoning.enquiries import some_enquiries

ALL = 1000
DRAWN = 12


class Outcome(NamedTuple):
    """What a customer would notice: the first choice, the referral, the warnings."""

    first: str
    refer: str
    warnings: frozenset[tuple[str, str]]


class Tried(NamedTuple):
    """All answers to one question, each with the outcome, and how likely an answer moves the first place or
    referral."""

    outcomes: dict[str, Outcome]
    swing: float

    def changes(self, now: Outcome) -> bool:
        if now.refer == "stop":
            # nothing is recommended: only what lifts the stop, or changes what comes first, matters
            return any(o[:2] != now[:2] for o in self.outcomes.values())
        return any(o != now for o in self.outcomes.values())


def outcome(engine: Engine, enquiry: Enquiry) -> Outcome:
    """The outcome by way of the whole advice, not of the quick signature that questions use."""
    a = advise(engine, enquiry, ask=False)
    first = a.recommended[0].ranked.family if a.recommended else ""
    warned = frozenset((c.topic, c.severity) for c in a.cautions if c.severity != "note")
    return Outcome(first, a.judged.screened.refer, warned)


def answered(enquiry: Enquiry, slot: str, value: Any) -> Enquiry:
    if slot == "circumstance":
        listed = value if isinstance(value, list) else [value]
        return enquiry._replace(circumstances={**enquiry.circumstances, **dict.fromkeys(listed, "")})
    return enquiry.with_slot(slot, Said(value, "", 1.0, "answer"))


def unanswered(engine: Engine, enquiry: Enquiry, d: Mapping[str, Any]) -> bool:
    if d["slot"] != "circumstance":
        return d["slot"] not in enquiry.said
    values = [o["value"] if isinstance(o["value"], list) else [o["value"]] for o in d["options"]]
    return not any(set(v) & set(enquiry.circumstances) for v in values)


def try_all(engine: Engine, enquiry: Enquiry, now: Outcome, d: Mapping[str, Any]) -> Tried:
    options = [o for o in d["options"] if o["value"] != UNKNOWN]
    likely = float(d.get("assume", {}).get("likely", 1 / (len(options) + 1)))
    outcomes = {o["id"]: outcome(engine, answered(enquiry, d["slot"], o["value"])) for o in options}
    moved = sum(x[:2] != now[:2] for x in outcomes.values())
    return Tried(outcomes, (1 - likely) * moved / max(1, len(options)))


@pytest.fixture(scope="module")
def tried(engine: Engine) -> list[tuple[Judged, Outcome, dict[str, Tried]]]:
    """Drawn enquiries, each with every answer to every unanswered question tried."""
    out = []
    for values in some_enquiries(engine.base, DRAWN):
        enquiry = from_values(values)
        now = outcome(engine, enquiry)
        open_ones = {i: d for i, d in engine.base.kind("decision").items() if unanswered(engine, enquiry, d)}
        out.append((engine.judge(enquiry), now, {i: try_all(engine, enquiry, now, d) for i, d in open_ones.items()}))
    return out


def test_no_question_is_offered_that_can_change_nothing(
    engine: Engine, tried: list[tuple[Judged, Outcome, dict[str, Tried]]]
) -> None:
    offered = 0
    for judged, now, trials in tried:
        for q in open_questions(engine, judged, ALL):
            offered += 1
            assert q.decision in trials, f"{q.decision} is answered already"
            assert trials[q.decision].changes(now), (q.decision, judged.case.enquiry)
    assert offered > DRAWN


def test_no_question_that_can_change_the_advice_is_missing(
    engine: Engine, tried: list[tuple[Judged, Outcome, dict[str, Tried]]]
) -> None:
    """But for questions without sense in the case: the distance to the sea is not asked of a dry hall."""
    decisions = engine.base.kind("decision")
    needed = 0
    for judged, now, trials in tried:
        offered = {q.decision: q for q in open_questions(engine, judged, ALL)}
        for i, t in trials.items():
            sense = decisions[i].get("relevant", ["all"])
            if evaluate(sense, judged.case.full, judged.case.told) is False:
                continue
            assert (i in offered) == t.changes(now), (i, t.swing, judged.case.enquiry)
            if t.swing >= LEAST_SWING:
                needed += 1
                assert worth_asking(offered[i]), (i, judged.case.enquiry)
    assert needed > DRAWN


def test_a_question_tells_truly_what_would_come_first(
    engine: Engine, tried: list[tuple[Judged, Outcome, dict[str, Tried]]]
) -> None:
    for judged, _, trials in tried:
        for q in open_questions(engine, judged, ALL):
            for option, family in q.outcomes.items():
                assert family == trials[q.decision].outcomes[option].first, (q.decision, option, judged.case.enquiry)


def test_question_after_question_is_what_is_worth_asking_in_order(engine: Engine) -> None:
    """Asked one by one, each skipped, the questions come out as listed, none lost on the way."""
    asked = 0
    for values in some_enquiries(engine.base, 20, seed=11):
        judged = engine.judge(from_values(values))
        worth = [q.decision for q in open_questions(engine, judged, ALL) if worth_asking(q)]
        came: list[str] = []
        while (following := next_question(engine, judged, came)) is not None:
            came.append(following.decision)
        assert came == worth, values
        asked += len(came)
    assert asked > 60


def test_the_likeliest_to_change_the_first_place_is_asked_first(
    engine: Engine, tried: list[tuple[Judged, Outcome, dict[str, Tried]]]
) -> None:
    compared = 0
    for judged, _, trials in tried:
        rest = [trials[q.decision].swing for q in open_questions(engine, judged, ALL) if not q.safety]
        for earlier, later in itertools.pairwise(rest):
            compared += 1
            # tenths count as equal: there the curated order decides
            assert round(round(earlier, 4), 1) >= round(round(later, 4), 1), judged.case.enquiry
    assert compared > DRAWN


def test_safety_is_asked_first(engine: Engine) -> None:
    for values in some_enquiries(engine.base, 30, seed=13):
        safety = [q.safety for q in open_questions(engine, engine.judge(from_values(values)), ALL)]
        assert safety == sorted(safety, reverse=True), values


def test_dont_know_is_as_good_as_silence(engine: Engine) -> None:
    """Who does not know gets what who says nothing gets: the assumptions and the worst case for safety."""
    for values in some_enquiries(engine.base, 12, seed=17):
        enquiry = from_values(values)
        now = outcome(engine, enquiry)
        for d in engine.base.kind("decision").values():
            if d["slot"] != "circumstance" and d["slot"] not in enquiry.said:
                assert outcome(engine, answered(enquiry, d["slot"], UNKNOWN)) == now, (d["id"], values)


def test_an_answer_tried_quickly_is_judged_as_from_scratch(engine: Engine) -> None:
    """Varying a judged case anew only where a slot changed must give what judging it whole gives."""
    for values in some_enquiries(engine.base, 20, seed=19):
        judged = engine.judge(from_values(values))
        for other_values in some_enquiries(engine.base, 4, seed=len(values)):
            other = from_values({**values, **other_values})
            quick, whole = engine.vary(judged, other), engine.judge(other)
            assert quick.ranked == whole.ranked, (values, other_values)
            assert quick.screened.out == whole.screened.out, (values, other_values)
            assert quick.screened.conditional == whole.screened.conditional, (values, other_values)
            assert quick.screened.refer == whole.screened.refer, (values, other_values)


def test_a_rule_that_holds_but_says_nothing_yet_is_looked_at_again(engine: Engine) -> None:
    """An M8 earth stud that must conduct: the rule on conducting holds, but what it favours depends on the metal
    beside.

    Against aluminium, copper or brass another finish comes first, so what the stud touches must be asked.
    """
    told = {"part": "stud", "size": "M8", "conductivity": "needed", "environment": ["indoor-dry"]}
    enquiry = from_values({**told, "circumstance": ["protective-earth"]})
    now = outcome(engine, enquiry)
    assert any(outcome(engine, answered(enquiry, "mating", [m])) != now for m in ("aluminium", "copper", "brass"))
    assert "mating" in {q.slot for q in open_questions(engine, engine.judge(enquiry), ALL)}
