"""What substances do to fastener metals, against corrosion tables and rules typed beside each check."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.graph.base import Base
from advisor.graph.nodes_of_use import Band

DATA: dict[str, list[dict[str, Any]]] = yaml.safe_load(
    (Path(__file__).parents[1] / "data" / "chemicals.yaml").read_text("utf-8")
)
WORST_LAST = ("good", "limited", "bad", "stop")


def holds(band: Band, percent: float | None, celsius: float | None) -> bool:
    """Whether a band speaks of what was told; a figure that was not told fits every band."""
    for told, limits in ((percent, band.concentration_pct), (celsius, band.temperature_c)):
        if told is not None and limits is not None and not limits[0] <= told <= limits[1]:
            return False
    return True


def members(base: Base, name: str) -> set[str]:
    """The families behind a name: of a set all that it is made of, a family itself, a finish itself."""
    if name in base.families or name in base.finishes:
        return {name}
    return {x for part in base.node(name)["of"] for x in members(base, part)}


def verdict(base: Base, chemical: str, metal: str, percent: float | None, celsius: float | None) -> str:
    """The worst verdict of the bands that fit."""
    fitting = [b for b in base.chemicals[chemical].bands if holds(b, percent, celsius)]
    told = [v for b in fitting for name, v in b.verdicts.items() if metal in members(base, name)]
    return max(told, key=WORST_LAST.index)


@pytest.mark.parametrize("case", DATA["cases"], ids=lambda c: f"{c['metal']} in {c['chemical']} {c['at']}")
def test_verdict_of_a_metal_in_a_substance(base: Base, case: dict[str, Any]) -> None:
    assert verdict(base, case["chemical"], case["metal"], *case["at"]) in case["is"], case["from"]


@pytest.mark.parametrize("case", DATA["hazards"], ids=lambda c: c["chemical"])
def test_a_danger_stands_first(base: Base, case: dict[str, Any]) -> None:
    told = [h for h in base.chemicals[case["chemical"]].hazards if h.severity == case["severity"]]
    families = {f for h in told for f in h.families}
    assert told
    assert case["family"] is None or case["family"] in families


def test_every_stop_of_a_band_has_a_danger_that_explains_it(base: Base) -> None:
    for chemical in base.chemicals.values():
        if any("stop" in band.verdicts.values() for band in chemical.bands):
            assert any(h.severity in ("stop", "warn") for h in chemical.hazards), chemical.id


def test_no_word_names_two_substances(base: Base) -> None:
    said: dict[str, str] = {}
    for chemical in base.chemicals.values():
        for words in chemical.say:
            assert words not in said, f"'{words}' names {said[words]} and {chemical.id}"
            said[words] = chemical.id


def test_bands_of_one_substance_leave_no_hole_in_strength(base: Base) -> None:
    """A strength between two bands would fall to the worst of all without need."""
    for chemical in base.chemicals.values():
        reach = 0.0
        for low, high in sorted({tuple(b.concentration_pct) for b in chemical.bands if b.concentration_pct}):
            assert low <= reach or reach == 0.0, chemical.id
            reach = max(reach, high)


def test_no_band_names_a_finish_twice(base: Base) -> None:
    """So that whoever reads a band needs no order of precedence."""
    for chemical in base.chemicals.values():
        for band in chemical.bands:
            named = [x for name in band.verdicts for x in members(base, name)]
            assert len(named) == len(set(named)), chemical.id


def test_every_substance_judges_every_family(base: Base) -> None:
    """What a table does not hold is judged by the nearest metal or not offered; silence would offer it."""
    for chemical in base.chemicals.values():
        judged = {
            base.finishes[x].family if x in base.finishes else x
            for band in chemical.bands
            for name in band.verdicts
            for x in members(base, name)
        }
        assert not chemical.bands or judged == set(base.families), chemical.id


def test_no_temperature_is_too_hot_to_be_judged(base: Base) -> None:
    """Hotter than the tables go is one class worse, never silence."""
    for chemical in base.chemicals.values():
        limited = [b for b in chemical.bands if b.temperature_c]
        if limited and len(limited) == len(chemical.bands):
            assert max(b.temperature_c[1] for b in limited) >= 400, chemical.id
            assert any(b.temperature_c[0] <= 20 <= b.temperature_c[1] for b in limited), chemical.id
