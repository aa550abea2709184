"""A branch's own layer over the base: what it adds is used and marked; what would loosen a safety rule is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor.graph.base import Base
from advisor.graph.build import build
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.shells.cli import run
from advisor.shells.opening import open_knowledge
from advisor.views.sources import in_full, in_short

BRANCH = Path(__file__).resolve().parents[1] / "data" / "tarnmouth-branch"

RULE = """
rules:
  - id: house-rule
    group: topic-hydrogen-embrittlement
    strength: must
    text: "A rule of the house."
    when: {strength: {in: ["12.9"]}}
    then:
      - %s
    because:
      - {text: "House.", source: trade-practice, basis: practice}
    cases:
      speaks:
        - {strength: "12.9"}
      silent:
        - {strength: "8.8"}
"""
LOOSER = {
    "KB060": "roles:\n  - {id: charging, of: [zinc-flake], note: \"nothing charges any more\"}\n",
    "KB061": RULE % "{viability: good, of: [zinc-electroplate]}",
    "KB062": RULE % '{answer: "yes"}',
    "KB063": """
families:
  - id: house-plating
    name: "Plating of the house"
    material: carbon-steel
    process: electroplated
    text: "Plated in the yard."
""",
}  # fmt: skip


@pytest.fixture(scope="module")
def branch() -> Base:
    return open_knowledge(None, [BRANCH])


@pytest.mark.parametrize("code", LOOSER)
def test_what_would_loosen_the_base_is_refused_with_its_place(knowledge: Path, tmp_path: Path, code: str) -> None:
    layer = tmp_path / "house"
    layer.mkdir()
    (layer / "house.yaml").write_text(LOOSER[code], "utf-8")
    faults = [f for f in build(knowledge, [layer]).faults if f.code.startswith("KB06")]
    assert [f.code for f in faults] == [code]
    assert faults[0].file.endswith("house.yaml")
    assert faults[0].line > 1
    assert faults[0].remedy


def test_no_rule_of_the_base_can_be_put_in_another_form(knowledge: Path, tmp_path: Path, base: Base) -> None:
    rule = next(iter(base.rules))
    (tmp_path / "house.yaml").write_text((RULE % "{note: nothing}").replace("house-rule", rule), "utf-8")
    assert "KB060" in [f.code for f in build(knowledge, [tmp_path]).faults]


@pytest.mark.parametrize(
    "action", ["{exclude: [zinc-flake]}", "{refer: stop}", '{require: "Ask the branch."}', "{favour: 1, of: [tin]}"]
)
def test_a_stricter_rule_of_the_house_may_stand(knowledge: Path, tmp_path: Path, action: str) -> None:
    (tmp_path / "house.yaml").write_text(RULE % action, "utf-8")
    assert build(knowledge, [tmp_path]).faults == ()


def test_the_example_layer_has_no_fault_and_takes_nothing_but_what_it_forbids(branch: Base, base: Base) -> None:
    # a finish that the base rules out is never let in again by the layer: over all strengths, outdoors and by the sea
    own, plain = Engine(branch), Engine(base)
    for strength in ("4.6", "8.8", "10.9", "12.9", "A325"):
        for place in ("indoor-dry", "outdoor", "coastal"):
            enquiry = from_values({"strength": strength, "environment": [place], "part": "hex-bolt", "size": "M12"})
            allowed = own.judge(enquiry).screened.allowed(own.rules.everything)
            before = plain.judge(enquiry).screened.allowed(plain.rules.everything)
            assert own.rules.finishes == plain.rules.finishes
            assert allowed & ~before == 0
            if strength in ("10.9", "12.9"):
                assert allowed & own.rules.mask_of(["plated"]) == 0, "the rule of the house"


def test_what_comes_from_the_layer_says_so(branch: Base) -> None:
    for node in ("tarnmouth-zinc", "tarnmouth-prefers-flake-fact-1"):
        assert "tarnmouth-branch" in in_short(branch, node)
        assert "tarnmouth-branch" in in_full(branch, branch.citation(node))
    assert branch.citation(next(iter(branch.facts))).layer == ""


@pytest.mark.parametrize(
    ("question", "figures"),
    [
        ("what do M10 hex bolts 8.8 in zinc flake cost?", ["21.50 EUR", "900 in stock"]),
        ("how soon can I have M12 8.8 hot dip galvanized bolts", ["5 to 8"]),
    ],
)
def test_price_and_time_are_answered_from_the_layer(
    capsys: pytest.CaptureFixture[str], question: str, figures: list[str]
) -> None:
    # the figures are those typed into the branch's own list
    assert run(["ask", question, "--overlay", str(BRANCH), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert all(f in found["answer"]["text"] for f in figures), found["answer"]
    assert all(found["citations"][i]["overlay"] == "tarnmouth-branch" for i in found["answer"]["cites"])
    assert run(["ask", question, "--json"]) == 0
    assert "EUR" not in json.loads(capsys.readouterr().out)["answer"]["text"]


def test_no_price_is_quoted_where_an_engineer_must_decide(capsys: pytest.CaptureFixture[str]) -> None:
    run(["ask", "what do M12 8.8 hex bolts for a lifting eye cost", "--overlay", str(BRANCH), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert found["referral"]["required"]
    assert "EUR" not in found["answer"]["text"]


def test_a_parts_list_carries_the_stock(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Description\nHex bolt M10 x 50 8.8 zinc flake indoors\n", "utf-8")
    assert run(["parts", str(path), "--overlay", str(BRANCH), "--json"]) == 0
    line = json.loads(capsys.readouterr().out)["lines"][0]
    assert "tarnmouth-branch" in line["recommended"][0]["order"]
