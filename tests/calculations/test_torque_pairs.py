"""A torque belongs to the bolt that is offered: its metal, its class, its lubrication."""

from __future__ import annotations

import pytest

from advisor.calculations import torque
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.reasoning.figures import torque_of


@pytest.mark.parametrize("finish", ["stainless-a4-70", "stainless-a2", "titanium", "silicon-bronze"])
def test_a_class_of_carbon_steel_and_another_metal_are_no_pair(base: Base, finish: str) -> None:
    with pytest.raises(UsageError, match="another metal"):
        torque.run(base, {"size": "M12", "strength": "8.8", "finish": finish})


# VDI 2230-1:2015 with the yields of ISO 3506-1: M12 class 70 (450 MPa) at 0.12 sets 59 N·m, M8 class 80 (600) 23 N·m.
@pytest.mark.parametrize(
    ("size", "strength", "finish", "typical"),
    [("M12", "A4-70", "stainless-a4", 59), ("M8", "A4-80", "stainless-a4", 23), ("M10", "A2-70", "stainless-a2", 34)],
)
def test_stainless_is_tightened_with_anti_seize(
    base: Base, size: str, strength: str, finish: str, typical: float
) -> None:
    window = torque.run(base, {"size": size, "strength": strength, "finish": finish}).results["torque_nm"]
    assert isinstance(window, list)
    assert window[1] == pytest.approx(typical, rel=0.03)


def test_the_advice_gives_stainless_the_torque_of_its_own_class(engine: Engine) -> None:
    case = engine.judge(from_values({"size": "M12", "strength": "8.8", "part": "hex-bolt"})).case
    found = torque_of(engine, case, "stainless-a4-70")
    assert found is not None
    # never the 132 to 172 N·m of a dry bolt of class 8.8
    assert found.high < 80


def test_no_torque_is_given_for_a_structural_set(engine: Engine) -> None:
    case = engine.judge(from_values({"size": "7/8-9", "strength": "A325"})).case
    assert torque_of(engine, case, "hot-dip-f2329") is None
