"""Every field of a node is read by something: the program runs over its knowledge with every look written down."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.audit.fields_read import IDLE, check_fields_are_read
from advisor.dialogue.conversation import Guide
from advisor.graph.base import Base
from advisor.graph.build import Built, build
from advisor.lookup.cards import card
from advisor.shells.chat.replay import run_demo
from advisor.shells.cli import run
from advisor.shells.opening import EXTENSIONS, open_all
from tests.audit.recording import Seen, while_compiling, while_running

NOT_LOOKED_AT = frozenset(("id", "note"))
"""What stands on every node for whoever writes it."""
READ_BY_THE_BUILDER = {
    ("fact", "about"),
    ("table", "about"),
    ("rule", "when"),
    ("family", "legacy"),
    ("source", "superseded_by"),
    ("exposure", "because"),
    ("slot", "derived"),
    ("slot", "values_of"),
}
"""Fields that become edges, conditions or inherited values when the graph is built, before anything is looked up."""
READ_BY_THE_AUDIT = {
    *(("reference", f) for f in ("basis", "deviation", "enquiry", "expect", "never", "refer", "source", "text")),
    ("slot", "read_by"),
}
ENQUIRIES = (
    "200 M10 bolts 10.9 for a trailer on salted roads, RoHS",
    "zinc plated 12.9 cap screws M8 outside",
    "M12 8.8 by the sea, 20 years, into aluminium, painted over",
    "bolts broke two days after tightening, zinc plated 12.9",
    "M10 bolts for bleach 5 % at 30 °C",
    "HV set M20 10.9 EN 14399-4 galvanized",
    "white powder on the zinc plated bolts",
    "A325 7/8 bolts bridge hot dip",
    "#10-32 machine screws stainless marine",
    "Fe/Zn 8 c2C M10 8.8",
    "M8 tapping screw hardened 420 h red rust salt spray",
)
TALKS = (
    ("bolts broke two days after tightening", "zinc plated 12.9", "don't know", "why"),
    (
        "M10 8.8 outside",
        "no",
        "why",
        "why not black oxide",
        "what if coastal",
        "compare zinc flake and hot dip",
        "more",
    ),
    ("M10 8.8 outside", "sources", "change the size", "don't know", "help"),
    ("bleach 12 %, M8", "help", "what is galling", "what is 6AZ?"),
    ("M10 8.8 bolts under sea water", "in the splash zone"),
    ("help", "M10", "help", "mumble"),
)
COMMANDS = (
    "ask M10 outside --set life_years=20 --set mating=aluminium --set length_mm=40",
    "fit --size M10 --class 6g --thickness 12",
    "torque --size M12 --strength 10.9 --finish zinc-flake",
    "hydrogen --strength 12.9 --finish zinc-electroplate",
    "life --site C4 --zinc 50",
    "couple stainless-steel aluminium --site coastal",
    "quantity --part hex-bolt --size M10 --length 50 --count 500",
    "convert 39 HRC --to HV",
    "specify zinc-flake --size M10 --strength 10.9",
    "decode A2L",
    "decode flZnnc-480h",
    "decode A4-80",
    "lookup zinc flake",
)


@pytest.fixture(scope="module")
def built(knowledge: Path) -> Built:
    return build(knowledge)


@pytest.fixture(scope="module")
def seen(built: Built, knowledge: Path, tmp_path_factory: pytest.TempPathFactory) -> Seen:
    """Every field that compiling, cards, answers, talks, codes and calculations look at."""
    compiled = while_compiling(knowledge, EXTENSIONS)
    with while_running() as running:
        opened = open_all()
        for node_id in some_with_every_field(built):
            card(opened.base, node_id)
        for line in ENQUIRIES:
            run(["ask", line])
            run(["ask", line, "--json"])
        for command in COMMANDS:
            assert run(command.split()) in (0, 3), command
        assert run(["ask", "M10", "--set", "life_years=9000"]) == 2
        listed = tmp_path_factory.mktemp("lists") / "list.csv"
        listed.write_text("Pos,Size,Length (in),Class\n1,1/2-13,3,5\n", "utf-8")
        assert run(["parts", str(listed), "indoors"]) == 0
        for finish in opened.base.finishes.values():
            for x in finish.designations[:1]:
                run(["decode", x.write])
        for talk in TALKS:
            run_demo(Guide(opened.engine, opened.vocabulary), talk)
    return compiled | running


def some_with_every_field(built: Built) -> list[str]:
    """Nodes among which every field that any node has stands at least once."""
    shown: set[tuple[str, str]] = set()
    chosen = []
    for i, n in built.nodes.items():
        fields = {(n.kind, f) for f in n.data}
        if not fields <= shown:
            shown |= fields
            chosen.append(i)
    return chosen


def test_what_nothing_reads_is_listed_and_nothing_else(built: Built, seen: Seen) -> None:
    written = {(n.kind, f) for n in built.nodes.values() for f in n.data if f not in NOT_LOOKED_AT}
    unread = written - seen - READ_BY_THE_BUILDER - READ_BY_THE_AUDIT
    idle = {(kind, f) for kind, fields in IDLE.items() for f in fields}
    assert sorted(unread - idle) == []  # new: make something read it, or take it out of the kind
    assert sorted(idle - unread) == []  # read now: take it out of the list


def test_the_audit_notes_every_idle_field_once(base: Base) -> None:
    notes = [f.text for f in check_fields_are_read(base)]
    assert len(notes) == len(set(notes))
    assert all(not f.fault for f in check_fields_are_read(base))
