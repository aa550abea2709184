"""Explanations against the engine itself: a remedy must cure, reasons must be the whole truth, nothing changed is
nothing said.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Any

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Explain, State, WhatIf
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, Said, from_values
from advisor.reasoning.explain import Remedy, acceptable_if, compare, difference, why_not
from tests.reasoning.enquiries import some_enquiries

ALL = 1000
CASES: tuple[dict[str, Any], ...] = (
    {"strength": "10.9", "size": "M12", "environment": ["coastal"]},
    {"strength": "12.9", "part": "socket-cap-screw", "environment": ["outdoor"]},
    {"strength": "8.8", "size": "M12", "environment": ["pool"], "duty": ["structural"]},
    {"strength": "8.8", "environment": ["indoor-damp"], "life_years": 50, "exclude": ["zinc-electroplate"]},
    {"part": "eye-bolt", "size": "M16", "duty": ["lifting"]},
)
SPOKEN = ("exclude", "life_years", "salt_spray_hours", "temperature_c")
"""Demands that can be taken back."""


def changed(enquiry: Enquiry, remedy: Remedy) -> Enquiry:
    for slot, value, words in remedy.changes:
        enquiry = enquiry.without(slot) if value is None else enquiry.with_slot(slot, Said(value, words, 1.0, "answer"))
    return enquiry


def offered(engine: Engine, enquiry: Enquiry) -> set[str]:
    return {r.family for r in engine.judge(enquiry).ranked}


def other_answers(engine: Engine, enquiry: Enquiry) -> Iterator[tuple[str, Any]]:
    """Every answer that was not given, and every demand left out."""
    for d in engine.base.kind("decision").values():
        for o in d["options"]:
            told = enquiry.said.get(d["slot"])
            if d["slot"] != "circumstance" and o["value"] != UNKNOWN and (told is None or told.value != o["value"]):
                yield d["slot"], o["value"]
    for slot in SPOKEN:
        if slot in enquiry.said:
            yield slot, None


@pytest.mark.parametrize("values", CASES, ids=lambda v: "-".join(map(str, v)))
def test_what_is_said_to_make_a_finish_acceptable_does(engine: Engine, values: dict[str, Any]) -> None:
    judged = engine.judge(from_values(values))
    cured = 0
    for family in set(engine.rules.family_mask) - offered(engine, judged.case.enquiry):
        for remedy in acceptable_if(engine, judged, family):
            cured += 1
            assert 1 <= len(remedy.changes) <= 2
            assert family in offered(engine, changed(judged.case.enquiry, remedy)), (family, remedy)
    assert cured


@pytest.mark.parametrize("values", CASES, ids=lambda v: "-".join(map(str, v)))
def test_no_single_answer_that_makes_a_finish_acceptable_is_missed(engine: Engine, values: dict[str, Any]) -> None:
    judged = engine.judge(from_values(values))
    enquiry = judged.case.enquiry
    admits: dict[str, set[tuple[str, str]]] = {}
    for slot, value in other_answers(engine, enquiry):
        for family in offered(engine, changed(enquiry, Remedy(((slot, value, ""),)))):
            admits.setdefault(family, set()).add((slot, str(value)))
    for family in set(engine.rules.family_mask) - offered(engine, enquiry):
        found = acceptable_if(engine, judged, family, ALL)
        single = {(slot, str(value)) for r in found if len(r.changes) == 1 for slot, value, _ in r.changes}
        assert single == admits.get(family, set()), family


def test_two_changes_are_named_where_one_is_not_enough(engine: Engine) -> None:
    # 12.9 may not be electroplated (ASTM F1941/F1941M-15, introduction), and thin nickel does not last outdoors
    judged = engine.judge(from_values({**CASES[1], "named": ["nickel"]}))
    (remedy,) = acceptable_if(engine, judged, "nickel")
    assert {slot for slot, _, _ in remedy.changes} == {"environment", "strength"}


def test_why_not_is_answered_at_once_even_where_nothing_would_help(engine: Engine) -> None:
    judged = engine.judge(from_values(CASES[0]))
    started = time.process_time()
    assert acceptable_if(engine, judged, "cadmium") == ()
    assert time.process_time() - started < 2


CHECKED = {
    "check-temperature": ("temperature_c",),
    "check-life": ("life_years",),
    "check-salt-spray": ("salt_spray_hours",),
}


def out_without(engine: Engine, judged: Judged, finish: str, named: set[str]) -> bool:
    """Whether a finish is still out when everything that was named as a reason is taken away."""
    rules = engine.rules
    silent = set()
    if "place" in named or any(rules.by_id[r].places for r in named if r in rules.by_id):
        silent.add("environment")
    if "customer" in named:
        silent.add("exclude")
    for role, slots in CHECKED.items():
        if engine.base.role(role)[0] in named:
            silent.update(slots)
    said = {n: s for n, s in judged.said.items() if rules.voices.ids[n] not in named}
    case = judged.case._replace(
        known={k: v for k, v in judged.case.known.items() if k not in silent},
        full={k: v for k, v in judged.case.full.items() if k not in silent},
    )
    return bool(engine.screen(case, said).out & rules.bit[finish])


def test_the_reasons_against_a_finish_are_the_whole_truth(engine: Engine) -> None:
    """Take away every reason that is named, and nothing else keeps the finish out."""
    explained = 0
    drawn = [*CASES, *some_enquiries(engine.base, 60, seed=23)]
    for values in drawn:
        judged = engine.judge(from_values(values))
        if judged.screened.refer == "stop":
            continue
        for family in engine.rules.family_mask:
            w = why_not(engine, judged, family)
            if w.state != "out":
                continue
            assert w.reasons, (family, values)
            named = {r.rule for r in w.reasons}
            if "legacy" in named:
                continue  # an old finish comes only when it is named
            explained += 1
            assert not out_without(engine, judged, w.finish, named), (family, named, values)
    assert explained > 200


def test_every_reason_against_a_finish_keeps_it_out_alone(engine: Engine) -> None:
    """With one of the reasons left standing the finish stays out: none is named that does nothing."""
    left_standing = 0
    for values in CASES[:4]:
        judged = engine.judge(from_values(values))
        for family in engine.rules.family_mask:
            w = why_not(engine, judged, family)
            named = {r.rule for r in w.reasons}
            if w.state != "out" or "legacy" in named:
                continue
            for kept in named & set(engine.rules.by_id) - {engine.base.role(role)[0] for role in CHECKED}:
                if not engine.rules.by_id[kept].places:
                    left_standing += 1
                    assert out_without(engine, judged, w.finish, named - {kept}), (family, kept, values)
    assert left_standing > 5


def test_the_place_is_named_beside_the_rule(engine: Engine) -> None:
    # two reasons keep copper off a 12.9 screw outdoors; who hears of the steel alone changes the steel in vain
    w = why_not(engine, engine.judge(from_values(CASES[1])), "copper")
    assert {r.rule for r in w.reasons} >= {"place"}
    assert len(w.reasons) >= 2


def test_a_stop_is_the_reason_where_nothing_else_is(engine: Engine) -> None:
    judged = engine.judge(from_values({"part": "eye-bolt", "size": "M16", "duty": ["lifting"]}))
    for family in engine.rules.family_mask:
        w = why_not(engine, judged, family)
        assert w.state == "out"
        assert w.reasons, family


def test_nothing_changed_changes_nothing(engine: Engine) -> None:
    for values in (*CASES, *some_enquiries(engine.base, 20, seed=29)):
        judged = engine.judge(from_values(values))
        assert difference(engine, judged, judged.case.enquiry).nothing, values


def test_there_and_back_are_mirror_images(engine: Engine) -> None:
    """What one change gains, taking it back loses."""
    enquiries = [from_values(v) for v in CASES]
    for one in enquiries:
        for two in enquiries:
            there = difference(engine, engine.judge(one), two)
            back = difference(engine, engine.judge(two), one)
            assert set(there.gained) == set(back.lost)
            assert set(there.lost) == set(back.gained)
            assert set(there.cautions_gained) == set(back.cautions_lost)
            assert (there.before, there.refer_before) == (back.after, back.refer_after)
            assert there.nothing == back.nothing


def test_sides_of_a_comparison_agree_with_why_not(engine: Engine) -> None:
    judged = engine.judge(from_values(CASES[0]))
    for side in compare(engine, judged, engine.rules.family_mask):
        w = why_not(engine, judged, side.family)
        assert (side.state, side.rank, side.reasons) == (w.state, w.rank, w.reasons)
        assert (side.state == "in") == (side.family in {r.family for r in judged.ranked})


def test_what_if_of_what_was_told_says_that_it_stays(guide: Guide) -> None:
    state, _ = guide.step(State(), "M12 8.8 bolts for a field gate")
    _, replies = guide.step(state, "what if it were 8.8?")
    (what_if,) = (r for r in replies if isinstance(r, WhatIf))
    assert what_if.difference.nothing


def test_why_not_of_the_first_choice_says_that_it_is_in(guide: Guide) -> None:
    state, _ = guide.step(State(), "M12 8.8 bolts for a field gate, nobody is hurt")
    first = guide.engine.judge(state.enquiry).ranked[0].family
    name = str(guide.base.kind("family")[first]["name"])
    _, replies = guide.step(state, f"why not {name}?")
    (explained,) = (r for r in replies if isinstance(r, Explain))
    assert (explained.why.family, explained.why.state, explained.why.rank) == (first, "in", 1)
    assert explained.remedies == ()
