"""Enquiries of reviews and of strangers in which a wrong answer would hurt somebody, typed again word for word."""

from __future__ import annotations

import pytest

from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Desk
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.advice import Advice
from advisor.reasoning.engine import Engine


@pytest.fixture(scope="module")
def desk(engine: Engine) -> Desk:
    return Desk(engine, Vocabulary.of(engine.base))


def advised(desk: Desk, text: str) -> Advice:
    found = answer(desk, text).advice
    assert found is not None
    return found


def families(advice: Advice) -> list[str]:
    return [r.ranked.family for r in advice.recommended]


NEVER = [
    # molybdenum-free stainless pits round washers in brine and smoke (stainless selection guides)
    ("herring smokehouse kiln, trolley bolts M10 in 304 pit round the washer in 2 seasons", {"stainless-a2"}),
    # austenitic steel passes a magnet: permeability 1.0 to 1.8 (ISO 3506-1, annex on magnetic properties)
    ("M6 screws that must stick to a magnet, dry flour mill", {"stainless-a2", "stainless-a4", "titanium"}),
    # dezincified brass in salt water; A2 pits (marine fastener guides)
    ("raw water strainer on a boat, brass lid studs crumbled, M10 stainless instead?", {"brass", "stainless-a2"}),
    # a show bike wants chrome or polished stainless, not a grey dip
    ("shiny chrome bolts for motorcycle show bike M8", {"hot-dip-galvanized", "mechanical-zinc", "zinc-flake"}),
    ("shelving bolts 5/16 grade 5 in the stockroom, cheapest that isnt greasy", {"plain-oiled", "phosphate-oil"}),
    ("beachfront gate, stainless bolts M12 have brown streaks after 4 months", {"stainless-a2"}),
    (
        "marina pontoon bolts 5/8, tide goes up and down past them, want stainless",
        {"stainless-a2", "zinc-electroplate"},
    ),
    # the binder and top coat of flake insulate
    ("grounding contact is bad since we went from zinc to zinc flake, M6 screws must conduct", {"zinc-flake"}),
    # titanium ignites in dry chlorine; about 1 % water keeps it safe (producers' corrosion handbooks)
    ("chlorine gas dosing pump housing, dry Cl2, M8 bolts, titanium?", {"titanium"}),
    # a grade of ASTM A193 is kept; zinc and cadmium stay off hot joints
    ("B7 studs 7/8 for steam flange 230 C", {"stainless-a2", "stainless-a4", "zinc-electroplate", "cadmium"}),
    # 304 and 316 crack in hot chloride; what cracked cracks again
    (
        "316 bolts M12 in vinegar and salt at 85 C snapped a week after without thinning",
        {"stainless-a2", "stainless-a4"},
    ),
    ("hydrogen gas 200 bar fitting bolts 12.9", {"zinc-flake", "mechanical-zinc", "zinc-electroplate", "plain-oiled"}),
    ("copper pipe clamps with galvanized screws", {"hot-dip-galvanized", "zinc-electroplate", "aluminium"}),
]


@pytest.mark.parametrize(("text", "never"), NEVER, ids=[t[:40] for t, _ in NEVER])
def test_what_would_hurt_is_not_offered(desk: Desk, text: str, never: set[str]) -> None:
    assert not never & set(families(advised(desk, text)))


REFERRED = [
    "footbridge hangers M42, wants us to zinc spray cracks in thread shut and retighten",
    "anhydrous ammonia nurse tank fittings 5/8 bolts",
    "pool lift for disabled bathers, four M12 bolts",
    "prestressed anchor bar galvanised",
    "35% battery acid tank lid, the 316 bolts are eaten",
]


@pytest.mark.parametrize("text", REFERRED)
def test_somebody_qualified_decides(desk: Desk, text: str) -> None:
    assert advised(desk, text).refer


@pytest.mark.parametrize(
    "text",
    [
        "EN 14399-4 HV 10.9 M20 bolts for steel bridge, galvanized",
        "M20 HV bolt set EN 14399-4 tZn",
        "EN 14399-3 HR 8.8 M24 indoor steel frame",
        "K2 assembly EN 14399 M16 zinc flake",
    ],
)
def test_structural_sets_show_no_torque(desk: Desk, text: str) -> None:
    """Tightened as the label of the set says, by k-class (EN 1090-2:2018, 8.5); 834 N·m would break an M20."""
    assert all("torque_nm" not in r.figures for r in advised(desk, text).recommended)


def test_flake_with_lubricant_is_tightened_by_its_own_window(desk: Desk) -> None:
    """Total friction 0.09 to 0.14 (VDA 235-104): M12 10.9 takes 100 to 137 N·m (VDI 2230, 90 % of yield)."""
    torque = advised(desk, "M12 10.9 zinc flake lubricated, road salt").recommended[0].figures["torque_nm"]
    assert torque.low == pytest.approx(100, rel=0.02)
    assert torque.high == pytest.approx(137, rel=0.02)


def test_stainless_for_8_8_is_tightened_as_stainless(desk: Desk) -> None:
    """A4-70 M12 lubricated yields at 450 MPa: about 59 N·m at a friction of 0.12 (VDI 2230), not 132 to 172."""
    text = "M12 8.8 bolts for a steel fence 200 m from the sea, must last 25 years"
    torque = advised(desk, text).recommended[0].figures["torque_nm"]
    assert torque.low < 59 < torque.high < 90


def test_a_break_while_tightening_still_says_what_to_order(desk: Desk) -> None:
    text = "aluminium greenhouse, the aluminium M6 bolts snap when tightening, stainless instead?"
    found = families(advised(desk, text))
    assert "stainless-a2" in found[:2] or "stainless-a4" in found[:2]


def test_somebody_hanging_on_it_is_warned(desk: Desk) -> None:
    found = advised(desk, "big screw-in eyes M10 for a hammock under the veranda, rain blows in")
    assert any(c.topic == "lifting-safety" for c in found.cautions)
