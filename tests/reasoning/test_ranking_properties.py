"""What the ranking must keep whatever the figures are: orders of practice, and laws that every enquiry obeys."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest

from advisor.reasoning.case import classes_of
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import from_values
from advisor.reasoning.ranking import Ranked

PLACES = [
    "indoor-dry",
    "indoor-damp",
    "outdoor",
    "outdoor-rural",
    "outdoor-urban",
    "industrial",
    "coastal",
    "offshore-splash",
    "road-salt",
    "immersion-fresh",
    "immersion-sea",
    "chemical-acid",
    "chemical-alkali",
    "high-temperature",
    "concrete",
    "treated-timber",
    "pool",
    "food",
    "livestock",
    "buried",
]
CLASSES: dict[str, dict[str, Any]] = {
    "soft": {"part": "hex-bolt", "strength": "8.8", "size": "M12"},
    "hard": {"part": "hex-bolt", "strength": "10.9", "size": "M12"},
    "hardest": {"part": "socket-cap-screw", "strength": "12.9", "size": "M12"},
    "small": {"part": "machine-screw", "size": "M5"},
}
CASES = [(p, c) for p in PLACES for c in CLASSES]
DEAR = 8.0
"""Times the price of zinc plate, above which a metal must be asked for by its place (practice)."""


def judge(engine: Engine, **values: Any) -> Judged:
    return engine.judge(from_values(values))


def families(judged: Judged) -> list[str]:
    return [r.family for r in judged.ranked]


def price(engine: Engine, r: Ranked) -> float:
    figure = engine.rules.figure(r.finish, "relative_cost")
    return math.sqrt(figure[1] * figure[2]) if figure else 60.0


def life(engine: Engine, judged: Judged, r: Ranked) -> tuple[int, float]:
    """Whether it lasts in the place, and the life on the scale of the ranking."""
    index = engine.rules.finishes.index(r.finish)
    return r.level, engine.scales.criteria(classes_of(judged.case), index)["life"]


@pytest.mark.parametrize(("place", "strength"), CASES)
def test_from_cost_to_life_the_first_never_gets_shorter_lived(engine: Engine, place: str, strength: str) -> None:
    firsts = []
    for priority in ("cost", "balanced", "life"):
        judged = judge(engine, environment=[place], priority=priority, **CLASSES[strength])
        if judged.ranked:
            firsts.append((priority, judged.ranked[0].finish, life(engine, judged, judged.ranked[0])))
    for (_, _, before), (_, _, after) in itertools.pairwise(firsts):
        assert after >= (before[0], before[1] - 0.02), firsts


@pytest.mark.parametrize(("place", "strength"), CASES)
def test_from_cost_to_life_the_first_never_gets_cheaper(engine: Engine, place: str, strength: str) -> None:
    firsts = []
    for priority in ("cost", "balanced", "life"):
        judged = judge(engine, environment=[place], priority=priority, **CLASSES[strength])
        if judged.ranked:
            first = judged.ranked[0]
            firsts.append((priority, first.family, price(engine, first), life(engine, judged, first)))
    for (_, _, before, lived), (_, _, after, lives) in itertools.pairwise(firsts):
        # what lasts longer may be cheaper as well: it stood behind for another reason, as hot dip on 10.9
        assert after >= before * 0.97 or lives > lived, firsts


@pytest.mark.parametrize(("place", "strength"), CASES)
def test_what_lasts_stands_before_what_barely_lasts(engine: Engine, place: str, strength: str) -> None:
    for priority in ("balanced", "life"):
        judged = judge(engine, environment=[place], priority=priority, **CLASSES[strength])
        if judged.ranked and any(r.level for r in judged.ranked):
            assert judged.ranked[0].level == 1, families(judged)[:4]


@pytest.mark.parametrize("strength", ["10.9", "12.9"])
def test_hard_bolts_put_zinc_flake_before_plate(engine: Engine, strength: str) -> None:
    for place in ("indoor-damp", "outdoor", "road-salt"):
        order = families(judge(engine, environment=[place], strength=strength, part="hex-bolt", size="M12"))
        for plate in ("zinc-electroplate", "zinc-nickel"):
            if plate in order:
                assert order.index("zinc-flake") < order.index(plate)


@pytest.mark.parametrize("place", PLACES)
def test_class_12_9_is_never_offered_plated_or_dipped(engine: Engine, place: str) -> None:
    barred = engine.rules.mask_of(["plated", "hot-dip-galvanized"])
    for priority in ("cost", "balanced", "life"):
        judged = judge(engine, environment=[place], priority=priority, **CLASSES["hardest"])
        assert not [r.finish for r in judged.ranked if engine.rules.bit[r.finish] & barred]


@pytest.mark.parametrize("strength", ["10.9", "12.9"])
@pytest.mark.parametrize("place", PLACES)
def test_austenitic_stainless_is_no_like_for_like_answer_for_hard_bolts(
    engine: Engine, place: str, strength: str
) -> None:
    order = families(judge(engine, environment=[place], strength=strength, part="hex-bolt", size="M12"))
    assert not {"stainless-a1", "stainless-a2", "stainless-a4"} & set(order)


def test_in_dry_rooms_nothing_dear_stands_in_the_first_two_places(engine: Engine) -> None:
    for priority, name in itertools.product(("cost", "balanced"), ("soft", "hard", "hardest")):
        judged = judge(engine, environment=["indoor-dry"], priority=priority, **CLASSES[name])
        assert all(price(engine, r) <= 2.6 for r in judged.ranked[:2]), families(judged)[:2]


@pytest.mark.parametrize(
    "place", ["indoor-dry", "indoor-damp", "outdoor", "outdoor-rural", "outdoor-urban", "road-salt"]
)
def test_dear_metals_stay_out_of_the_first_three_in_ordinary_places(engine: Engine, place: str) -> None:
    for priority in ("cost", "balanced"):
        judged = judge(engine, environment=[place], priority=priority, **CLASSES["soft"])
        assert all(price(engine, r) <= DEAR for r in judged.ranked[:3]), families(judged)[:3]


def test_a_wish_moves_up_one_place(engine: Engine) -> None:
    plain = families(judge(engine, environment=["outdoor"], **CLASSES["soft"]))
    for n in range(1, 6):
        wished = families(judge(engine, environment=["outdoor"], finish_asked=[plain[n]], **CLASSES["soft"]))
        assert wished.index(plain[n]) in (n, n - 1)
        assert wished.index(plain[n]) == n - 1 or n > 3, plain[n]


def test_a_wish_with_the_place_only_assumed_stands_at_least_second(engine: Engine) -> None:
    order = families(judge(engine, finish_asked=["zinc-electroplate"], **CLASSES["soft"]))
    assert order.index("zinc-electroplate") <= 1


def test_what_is_ordered_stands_first(engine: Engine) -> None:
    order = families(judge(engine, environment=["outdoor"], ordered=["zinc-nickel"], **CLASSES["soft"]))
    assert order[0] == "zinc-nickel"


@pytest.mark.parametrize("place", ["coastal", "outdoor", "road-salt", "industrial", "indoor-damp"])
def test_a_wanted_life_never_empties_the_list(engine: Engine, place: str) -> None:
    for years in (5, 20, 50, 100, 200):
        assert judge(engine, environment=[place], life_years=years, **CLASSES["hard"]).ranked


@pytest.mark.parametrize("place", ["outdoor", "coastal", "industrial", "indoor-damp", "road-salt"])
def test_a_longer_wanted_life_never_brings_thinner_zinc_up(engine: Engine, place: str) -> None:
    before = 0.0
    for years in (1, 5, 10, 15, 25, 40):
        judged = judge(engine, environment=[place], life_years=years, **CLASSES["soft"])
        first = judged.ranked[0]
        figure = engine.rules.figure(first.finish, "thickness_um")
        thickness = figure[1] if figure else math.inf
        assert thickness >= before - 1e-9, (years, first.finish)
        before = thickness


def test_told_c2_and_a_life_within_reach_let_plated_zinc_serve_outdoors(engine: Engine) -> None:
    judged = judge(
        engine, environment=["outdoor-rural"], corrosivity="C2", life_years=8, priority="cost", **CLASSES["soft"]
    )
    at = families(judged).index("zinc-electroplate")
    assert judged.ranked[at].level == 1
    assert at <= 1


def test_harder_never_brings_plate_in(engine: Engine) -> None:
    plated = engine.rules.mask_of(["plated"])
    for place in PLACES:
        before: set[str] | None = None
        for strength in ("8.8", "10.9", "12.9"):
            judged = judge(engine, environment=[place], strength=strength, part="hex-bolt", size="M12")
            allowed = judged.screened.allowed(engine.rules.everything) if judged.screened.refer != "stop" else 0
            now = set(engine.rules.families_in(allowed & plated))
            if before is not None:
                assert now <= before, (place, strength, now - before)
            before = now


def test_adding_a_dominated_family_never_changes_the_order(engine: Engine) -> None:
    """Taking any family away leaves the others as they stood: each score depends on its own finish alone."""
    values = {"environment": ["coastal"], **CLASSES["soft"]}
    whole = families(judge(engine, **values))
    for gone in whole:
        assert families(judge(engine, exclude=[gone], **values)) == [f for f in whole if f != gone]
