"""The base's own figures held against a few rules of thumb of the trade; they say about, so an order of magnitude
counts.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from advisor.calculations.strengths import grade_at
from advisor.graph.base import Base
from advisor.graph.nodes import Figure

# Common practice, no document: hours in neutral salt spray.
CLEAR_ZINC_H = 24
YELLOW_ZINC_H = 96
ZINC_FLAKE_H = 1000
ZINC_NICKEL_TIMES = 10
ZINC_NICKEL_PRICE = (2, 3)
WORRY_FROM_HRC = 39


def first(base: Base, finish: str, quantity: str) -> Figure:
    figure = base.figure(finish, quantity)
    assert figure is not None, (finish, quantity)
    return figure


def middle(base: Base, finish: str, quantity: str) -> float:
    figure = first(base, finish, quantity)
    assert figure.low is not None
    assert figure.high is not None
    return (figure.low + figure.high) / 2


def span(base: Base, finish: str) -> tuple[float, float]:
    """From the first white to the first red."""
    return middle(base, finish, "salt_spray_white_h"), middle(base, finish, "salt_spray_red_h")


def plated_finishes(base: Base) -> Iterator[str]:
    for i, node in base.kind("finish").items():
        if base.kind("family")[node["family"]]["process"] == "electroplated":
            yield i


@pytest.mark.parametrize(
    ("fact", "value"),
    [
        ("thumb-clear-zinc-hours", CLEAR_ZINC_H),
        ("thumb-yellow-zinc-hours", YELLOW_ZINC_H),
        ("thumb-zinc-flake-hours", ZINC_FLAKE_H),
        ("thumb-zinc-nickel-hours", ZINC_NICKEL_TIMES),
        ("thumb-zinc-nickel-price", list(ZINC_NICKEL_PRICE)),
        ("thumb-worry-from-39-hrc", WORRY_FROM_HRC),
    ],
)
def test_rules_of_thumb_stand_in_the_base_as_practice_without_a_document(base: Base, fact: str, value: object) -> None:
    node = base.node(fact)
    assert node["value"] == value
    assert (node["basis"], node["source"]) == ("practice", "trade-practice")


@pytest.mark.parametrize("finish", ["zinc-5-clear", "zinc-8-clear", "zinc-12-clear"])
def test_clear_zinc_lasts_about_a_day(base: Base, finish: str) -> None:
    white, red = span(base, finish)
    assert CLEAR_ZINC_H / 3 <= white <= CLEAR_ZINC_H * 1.5
    assert white <= red <= CLEAR_ZINC_H * 5


@pytest.mark.parametrize(
    "finish", ["zinc-5-yellow-hexavalent", "zinc-8-yellow-hexavalent", "zinc-12-yellow-hexavalent"]
)
def test_yellow_zinc_lasts_about_four_days(base: Base, finish: str) -> None:
    white, red = span(base, finish)
    assert YELLOW_ZINC_H / 2 <= white <= YELLOW_ZINC_H
    assert YELLOW_ZINC_H / 1.5 <= red <= YELLOW_ZINC_H * 1.6


def test_96_hours_are_what_b633_asks_of_a_coloured_chromate(base: Base) -> None:
    rows = {r["type"]: r["white_h"] for r in base.table("salt-spray-b633-types").records()}
    assert rows["II"] == YELLOW_ZINC_H


def test_yellow_beats_clear_at_every_thickness(base: Base) -> None:
    for um in (5, 8, 12):
        clear, yellow = span(base, f"zinc-{um}-clear"), span(base, f"zinc-{um}-yellow-hexavalent")
        assert yellow[0] > clear[0]
        assert yellow[1] > clear[1]


def test_zinc_flake_lasts_about_a_thousand_hours(base: Base) -> None:
    hours = [
        middle(base, i, "salt_spray_red_h")
        for i, node in base.kind("finish").items()
        if node["family"] == "zinc-flake" and not node.get("legacy") and node.get("top_coat")
    ]
    assert hours
    assert all(ZINC_FLAKE_H / 2.5 <= h <= ZINC_FLAKE_H * 1.25 for h in hours)
    assert max(hours) == pytest.approx(ZINC_FLAKE_H, rel=0.25)


def test_zinc_flake_lasts_some_forty_times_as_long_as_clear_zinc(base: Base) -> None:
    flake = middle(base, "zinc-flake-960-lubricated", "salt_spray_red_h")
    clear, _ = span(base, "zinc-8-clear")
    assert flake / clear == pytest.approx(ZINC_FLAKE_H / CLEAR_ZINC_H, rel=0.1)


@pytest.mark.parametrize(
    ("alloy", "plain"),
    [
        ("zinc-nickel-5-clear", "zinc-5-clear"),
        ("zinc-nickel-8-clear", "zinc-8-clear"),
        ("zinc-nickel-8-sealed", "zinc-8-clear-sealed"),
        ("zinc-nickel-8-black-sealed", "zinc-8-black-sealed"),
    ],
)
def test_zinc_nickel_lasts_about_ten_times_as_long_as_zinc(base: Base, alloy: str, plain: str) -> None:
    times = middle(base, alloy, "salt_spray_red_h") / middle(base, plain, "salt_spray_red_h")
    assert ZINC_NICKEL_TIMES / 2 <= times <= ZINC_NICKEL_TIMES * 1.2


def test_plating_with_zinc_nickel_costs_two_to_three_times_zinc(base: Base) -> None:
    rows = {r["family"]: r for r in base.table("coating-cost-per-kg").records()}
    low, high = (float(str(rows["zinc-nickel"][c])) for c in ("factor_low", "factor_high"))
    assert rows["zinc-electroplate"]["factor_low"] == rows["zinc-electroplate"]["factor_high"] == 1
    assert low <= ZINC_NICKEL_PRICE[0]
    assert ZINC_NICKEL_PRICE[1] <= high <= 2 * ZINC_NICKEL_PRICE[1]


def test_the_finished_bolt_rises_less_than_the_plating_on_it(base: Base) -> None:
    for finish in ("zinc-nickel-8-clear", "zinc-nickel-8-sealed"):
        figure = first(base, finish, "relative_cost")
        assert figure.low is not None
        assert figure.high is not None
        assert 1 < figure.low <= figure.high <= ZINC_NICKEL_PRICE[1]


@pytest.mark.parametrize("strength", ["12.9", "A574", "A574M", "F835"])
def test_socket_screws_and_class_12_9_reach_the_hardness_to_worry_about(base: Base, strength: str) -> None:
    hardest = grade_at(base, strength).hrc[1]
    assert hardest is not None
    assert hardest > WORRY_FROM_HRC


@pytest.mark.parametrize("strength", ["8.8", "gr5", "A325", "gr7"])
def test_everyday_bolts_stay_well_below_it(base: Base, strength: str) -> None:
    hardest = grade_at(base, strength).hrc[1]
    assert hardest is not None
    assert hardest < WORRY_FROM_HRC - 3


def test_a_socket_screw_of_unknown_class_counts_as_hard(base: Base) -> None:
    assert base.node("socket-cap-screw")["possible_bands"] == [base.node("12.9")["band"]]


def test_hard_steel_is_refused_plate_and_offered_zinc_flake(base: Base) -> None:
    verdicts = {(r["steel"], r["process"]): r["verdict"] for r in base.table("hydrogen-verdict").records()}
    assert (verdicts["H3", "electroplated"], verdicts["H4", "electroplated"]) == ("avoid", "forbidden")
    assert verdicts["H0", "electroplated"] == "allowed"
    for steel in ("H3", "H4", "CASE"):
        assert verdicts[steel, "dip-spin"] in ("allowed", "allowed-with-controls")


def test_every_plated_finish_warns_that_its_process_charges_hydrogen(base: Base) -> None:
    found = list(plated_finishes(base))
    assert len(found) > 50
    for i in found:
        assert base.kind("family")[base.finish(i)["family"]]["charges_hydrogen"] == "yes", i


def test_the_line_of_the_fastener_standard_is_the_rule_of_thumb(base: Base) -> None:
    # ASTM F1941/F1941M-15
    assert (base.node("f1941-39-hrc")["value"], base.node("f1941-39-hrc")["unit"]) == (WORRY_FROM_HRC, "HRC")
