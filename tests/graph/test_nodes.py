"""Typed nodes say what the files say; slots say how they are read; roles name nodes that exist."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.graph.base import Base
from advisor.graph.nodes import Bare
from advisor.graph.store import open_base
from tests.graph.small_knowledge import GOOD, write_knowledge


def test_a_finish_has_what_it_inherits_and_its_figures_by_quantity(base: Base) -> None:
    f = base.finishes["hot-dip-iso-10684"]
    assert f.family == "hot-dip-galvanized"
    assert f.process == base.families[f.family].process == "hot-dipped"
    (thickness, *_) = f.figures["thickness_um"]
    assert thickness.quantity == "thickness_um"
    assert thickness.unit == "µm"
    assert base.facts[thickness.cite].basis == thickness.basis
    assert base.figures(f.id, "thickness_um") == f.figures["thickness_um"]


KINDS = (
    "sources facts tables families finishes sets slots strengths exposures topics cautions roles rules codes decisions "
    "terms references weights"
)


@pytest.mark.parametrize("kind", KINDS.split())
def test_every_node_of_every_kind_can_be_made(base: Base, kind: str) -> None:
    nodes = getattr(base, kind)
    assert nodes
    assert all(nodes[i].id == i for i in nodes)


def test_the_opposites_of_a_slot_go_both_ways(base: Base) -> None:
    slots = base.slots
    assert slots["lubrication"].denial == {"needed": "not-needed", "not-needed": "needed"}
    assert slots["lead"].denial["requested"] == "forbidden"
    assert slots["environment"].may_be_denied
    assert slots["wetted"].may_be_denied
    assert not slots["quantity"].may_be_denied


def test_a_slot_says_what_a_bare_number_two_values_and_nothing_mean(base: Base) -> None:
    slots = base.slots
    assert slots["hardness_hrc"].bare == Bare(10, 70)
    assert slots["size"].two_told == "ask"
    assert slots["part"].two_told == "first"
    assert slots["duty"].nothing_means == "empty"
    assert slots["circumstance"].settable
    assert not slots["band"].settable


def test_a_slot_of_ones_own_is_made_with_its_opposites(own_folders: Path) -> None:
    own = "slots:\n  - {id: greased, name: grease, type: choice, values: [a, b], denial: {a: b}}\n"
    base = open_base(write_knowledge(own_folders / "k", GOOD, own=own))
    assert base.slots["greased"].denial == {"a": "b"}
    assert base.slots["greased"].may_be_denied


def test_a_role_names_its_nodes(base: Base) -> None:
    assert base.role("plain-indoors") == ("indoor-dry", "indoor-damp")
    assert "not" in base.role_words("denials")
    with pytest.raises(KeyError):
        base.role("nobody")
