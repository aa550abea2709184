"""The proofs of the audit find what they are there to find: each is run on the shipped knowledge with one rule
spoilt."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.audit import cases, decisions, proving, safety, selling, walks
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.shells.opening import open_knowledge

Spoil = Callable[[str, str, str], Engine]


def quiet(_: str) -> None:
    """No progress is shown in tests."""


@pytest.fixture
def spoil(own_folders: Path, knowledge: Path) -> Spoil:
    """The shipped knowledge with one passage of one file replaced."""

    def make(file: str, old: str, new: str) -> Engine:
        folder = own_folders / "knowledge"
        shutil.copytree(knowledge, folder)
        path = folder / file
        text = path.read_text("utf-8")
        assert text.count(old) >= 1
        path.write_text(text.replace(old, new, 1), "utf-8")
        return Engine(open_knowledge(folder))

    return make


def test_no_walk_plates_steel_that_is_or_may_be_too_hard(engine: Engine) -> None:
    proved = safety.prove_hydrogen(engine, quiet)
    assert proved.lines > 10_000
    assert [f.text for f in proved.findings] == []


def test_no_walk_offers_a_structural_grade_what_its_standard_bars(engine: Engine) -> None:
    proved = safety.prove_structural(engine, quiet)
    assert proved.lines > 1_000
    assert [f.text for f in proved.findings] == []


def _without(monkeypatch: pytest.MonkeyPatch, group: str) -> None:
    """Prove as if the rules of a group were not there."""
    every = proving.laws
    monkeypatch.setattr(proving, "laws", lambda base: tuple(r for r in every(base) if not r.id.startswith(group)))


def test_without_the_hydrogen_rules_plate_on_hard_steel_is_found(
    engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    _without(monkeypatch, "he-")
    found = safety.prove_hydrogen(engine, quiet).findings
    assert found
    assert all(f.fault and "hard steel may be plated" in f.text for f in found)


def test_without_the_structural_rules_barred_coats_are_found(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    _without(monkeypatch, "sb-")
    found = safety.prove_structural(engine, quiet).findings
    assert any("strength A490" in f.text for f in found)
    assert {f.node for f in found} == {engine.rules.role("proof-structural")}


def test_a_rule_that_is_silent_in_its_own_case_is_found(spoil: Spoil) -> None:
    engine = spoil(
        "rules/structural.yaml", 'when: {strength: {in: ["A490", "F2280"]}}', 'when: {strength: {in: ["4.6"]}}'
    )
    texts = [f.text for f in cases.check_cases(engine) if f.node.startswith("sb-")]
    assert any("is silent in its own case" in t for t in texts)


def test_an_action_on_no_finish_is_found(spoil: Spoil) -> None:
    old = '- {exclude: plated, text: "Not listed for A325."}'
    engine = spoil("rules/structural.yaml", old, "- {exclude: {of: [plated], where: {thickness_um: {above: 900}}}}")
    assert [f.node for f in cases.check_dead_actions(engine)] == ["sb-02"]


def test_two_rules_that_contradict_each_other_are_found(spoil: Spoil) -> None:
    engine = spoil(
        "rules/appearance.yaml",
        "rules:\n",
        "rules:\n"
        + "".join(
            f"  - {{id: zz-{n}, group: group-en, strength: should, text: T, when: {{environment: {{in: [coastal]}}}}, "
            f"then: [{{viability: {value}, of: zinc-flake}}], "
            "because: [{text: T, source: trade-practice, basis: practice}], "
            "cases: {speaks: [{environment: [coastal]}], silent: [{environment: [indoor-dry]}]}}\n"
            for n, value in (("1", "good"), ("2", "none"))
        ),
    )
    look = walks.Contradictions(engine)
    look.look(engine.judge(from_values({"environment": ["coastal"]})), {"environment": ["coastal"]})
    assert ("zz-1", True) in {(f.node, "zz-2" in f.text) for f in look.findings}


def test_a_question_that_can_change_nothing_is_found(spoil: Spoil) -> None:
    engine = spoil("decisions.yaml", "relevant: {part: nut}", "relevant: {part: nut, size: {known: false, in: [M10]}}")
    assert "ask-set" in {f.node for f in decisions.check_decisions(engine)}


def test_walks_of_the_shipped_knowledge_never_end_in_silence(engine: Engine) -> None:
    walked, contradictions = walks.walk_everything(engine, quiet)
    assert walked.pairs > 10_000
    assert walked.triples > 1_000
    assert [f.text for f in walked.findings if f.fault] == []
    assert [f.text for f in contradictions] == []


def test_what_is_offered_is_made_and_has_no_stop_of_its_own(engine: Engine) -> None:
    proved = selling.prove_selling(engine, quiet)
    assert proved.lines > 5_000
    assert [f.text for f in proved.findings] == []


def test_no_torque_stretches_the_bolt_that_is_offered(engine: Engine) -> None:
    proved = selling.prove_torque(engine, quiet)
    assert proved.lines > 500
    assert [f.text for f in proved.findings] == []


def test_a_finish_that_nobody_makes_as_the_part_is_found(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = engine.judge(from_values({"part": "self-drilling-screw", "environment": ["outdoor"]}))
    play = kept.screened.play
    nothing_made = play._replace(made=play.made._replace(mask=0))
    spoilt = kept._replace(screened=kept.screened._replace(play=nothing_made))
    assert selling.unmade(engine, kept) == []
    assert selling.unmade(engine, spoilt) == [r.finish for r in spoilt.ranked[: len(selling.unmade(engine, spoilt))]]
    assert selling.unmade(engine, spoilt)


def test_a_stop_on_what_is_offered_is_found(spoil: Spoil) -> None:
    engine = spoil(
        "rules/not-again.yaml",
        "      - {warn: person-on-it, severity: warn}\n",
        "      - {warn: person-on-it, severity: stop, of: hot-dip-galvanized}\n",
    )
    judged = engine.judge(from_values({"duty": ["person"], "environment": ["outdoor"]}))
    assert any(rule == "na-person-on-it" for _, rule in selling.stopped(engine, judged))


def test_the_torque_of_the_steel_class_on_a_stainless_bolt_is_found(engine: Engine) -> None:
    """M20: 666 N·m, right for dry 8.8, is 850 MPa in an A4-70 bolt of 450 MPa yield (ISO 3506-1, VDI 2230)."""
    base = engine.base
    assert selling.share_of_yield(base, "M12", "A4-70", "stainless-a4-70", 132.0) > 1
    assert selling.share_of_yield(base, "M12", "A4-70", "stainless-a4-70", 44.0) < 1


def test_the_offered_metal_is_held_to_its_own_grade(engine: Engine) -> None:
    assert selling.offered_grade(engine, "stainless-a4-70", "8.8") == "A4-70"
    assert selling.offered_grade(engine, "zinc-flake-720-lubricated", "10.9") == "10.9"
