"""Years to first rust: one engine behind advice and the life command, against the figures of the zinc standards."""

from __future__ import annotations

import pytest

from advisor.calculations import life
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.reasoning.engine import Engine
from advisor.trade.zinc_life import CAP_YEARS

CLASSES = ("C1", "C2", "C3", "C4", "C5", "CX")


def years(base: Base, finish: str, site: str) -> list[float] | None:
    try:
        found = life.run(base, {"finish": finish, "site": site}).results["years_to_first_rust"]
    except UsageError:
        return None
    assert found is None or isinstance(found, list)
    return found


@pytest.mark.parametrize("site", CLASSES)
def test_advice_and_the_life_command_give_the_same_years_for_every_finish(
    base: Base, engine: Engine, site: str
) -> None:
    # 116 pairs of finish and class once had years in one of the two only, or other years
    counted = 0
    for finish in base.kind("finish"):
        told = years(base, finish, site)
        advised = engine.rules.life.years(finish, (site,))
        assert (told is None) == (advised is None), finish
        if told is not None and advised is not None:
            counted += 1
            shown = [min(x, CAP_YEARS) for x in (advised.low, advised.high)]
            assert told == pytest.approx(shown, rel=1e-4), finish
    assert counted > 40


# ISO 14713-1:2017 Table 2 gives hot-dip zinc of 85 µm in C3 a life of 40 to more than 100 years and in C4 20 to 40;
# ISO 9223:2012 Table 2: zinc loses 0.7 to 2.1 µm a year in C3, 2.1 to 4.2 in C4, 4.2 to 8.4 in C5.
@pytest.mark.parametrize(
    ("um", "site", "low", "high"),
    [(85, "C3", 40, 100), (85, "C4", 20, 40), (8, "C3", 8 / 2.1, 8 / 0.7), (50, "C5", 50 / 8.4, 50 / 4.2)],
)
def test_zinc_lasts_as_its_thickness_over_the_rate_of_the_class(
    base: Base, um: float, site: str, low: float, high: float
) -> None:
    found = life.run(base, {"zinc": str(um), "site": site}).results["years_to_first_rust"]
    assert isinstance(found, list)
    assert found == pytest.approx([low, high], rel=0.02)


def test_a_range_of_thickness_counts_with_its_low_end(base: Base) -> None:
    # ASTM A153 class B: 56 to 86 µm by the size of the part; what is promised is the least
    assert years(base, "hot-dip-a153-b", "C4") == pytest.approx([56 / 4.2, 56 / 2.1], rel=0.01)


def test_thin_flake_has_its_share_of_the_custom_and_thick_flake_no_more_than_the_custom(base: Base) -> None:
    usual = years(base, "zinc-flake-720-lubricated", "C4")
    thin = years(base, "zinc-flake-base-240", "C4")
    thick = years(base, "zinc-flake-f2833-2", "C4")
    assert usual is not None
    assert thin == [x / 2 for x in usual]
    assert thick == usual


def test_the_sea_front_counts_with_the_lower_end(base: Base) -> None:
    lines = life.run(base, {"finish": "hot-dip-galvanized", "site": "coastal"}).lines
    assert any("count on 6" in line.replace("6.0", "6") for line in lines), lines


@pytest.mark.parametrize("site", ["treated-timber", "moon", ""])
def test_a_place_without_a_class_is_refused(base: Base, site: str) -> None:
    with pytest.raises(UsageError, match="place"):
        life.run(base, {"zinc": "8", "site": site})


def test_soil_takes_zinc_faster_in_the_first_two_years(base: Base) -> None:
    # AASHTO 2017: 15 µm a year for two years, then 4: 86 µm last 16 years
    found = life.run(base, {"zinc": "86", "site": "buried"}).results["years_to_first_rust"]
    assert found == [16, 16]
