"""Whether the first place hangs on a weight: every weight moved by a quarter, against what the advice says."""

from __future__ import annotations

from advisor.reasoning.advice import advise
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import from_values
from advisor.reasoning.robustness import MOVED, toppling_weights
from tests.reasoning import plain_reference as plain
from tests.reasoning.enquiries import some_enquiries


def moved_by_hand(engine: Engine, judged: Judged) -> set[str]:
    """The weights with which another family comes first, each moved and all finishes ranked anew."""
    out = set()
    enquiry = judged.case.enquiry
    before = plain.judge(engine, enquiry)
    scales = engine.scales
    priority = scales.priority_of(judged.case)
    told = scales.weights[priority]
    for name in MOVED:
        for factor in (0.75, 1.25):
            scales.weights[priority] = {**told, name: told[name] * factor}
            try:
                after = plain.judge(engine, enquiry)
            finally:
                scales.weights[priority] = told
            family = {f: engine.rules.family[engine.rules.index[f]] for f, _ in (before.ranked[0], after.ranked[0])}
            if family[before.ranked[0][0]] != family[after.ranked[0][0]]:
                out.add(name)
    return out


def test_the_weights_that_topple_the_first_place_are_all_named_and_no_others(engine: Engine) -> None:
    toppled = held = 0
    for values in some_enquiries(engine.base, 30, seed=47):
        judged = engine.judge(from_values(values))
        if not judged.ranked:
            assert toppling_weights(engine, judged) == ()
            continue
        found = set(toppling_weights(engine, judged))
        assert found == moved_by_hand(engine, judged), values
        assert found == set(advise(engine, judged.case.enquiry).topples)
        toppled += bool(found)
        held += not found
    assert toppled > 2
    assert held > 10


def test_first_place_holds_only_where_no_open_answer_moves_it(engine: Engine) -> None:
    steady = moved = 0
    for values in some_enquiries(engine.base, 5, seed=53):
        enquiry = from_values(values)
        a = advise(engine, enquiry)
        if not a.recommended:
            continue
        first = a.recommended[0]
        outcomes = {family for q in plain.questions(engine, enquiry) for family in q.outcomes.values()}
        alone = (
            outcomes <= {first.ranked.family}
            and not a.judged.screened.out_by_assumption >> engine.rules.index[first.ranked.finish] & 1
        )
        assert first.holds_for_every_unknown == alone, values
        steady += alone
        moved += not alone
    assert moved > 2
