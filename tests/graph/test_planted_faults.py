"""Every kind of fault planted in a small knowledge is found at its file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.audit.examination import CHECKS
from advisor.graph.build import build
from advisor.graph.source import MAX_BYTES
from advisor.graph.store import open_base
from tests.graph.small_knowledge import GOOD, line_of, write_knowledge

PLANTED = {
    "duplicate key": (
        "  - {id: oiled-plain, name: Oiled,",
        "  - {id: oiled-plain, name: Oiled, name: Twice,",
        "stands twice",
    ),
    "unknown key": ("    order: 1\n", "    order: 1\n    colour: red\n", "unknown key 'colour'"),
    "wrong type": ("    order: 1\n", '    order: "first"\n', "expected a number"),
    "dangling reference": (
        "because: [oil-rusts]\n    cases",
        "because: [no-such-fact]\n    cases",
        "'no-such-fact' does not exist",
    ),
    "reference to the wrong kind": ("{warn: rust-soon}", "{warn: oil-rusts}", "'oil-rusts' is a fact"),
    "anchor": ("because: [oil-rusts]\n    cases", "because: &a [oil-rusts]\n    cases", "anchors"),
    "alias": ('say: ["by the sea"]', "say: *a", "aliases"),
    "tag": ('text: "Where?"', 'text: !!python/object:os.system "Where?"', "tag"),
    "control character": ('text: "Where?"', 'text: "Where\\x1b[2J?"', "control character"),
    "number for text": ('name: "Plate 8 µm"', "name: 8.8", "expected text"),
    "taken id": ("  - {id: plate-8,", "  - {id: oiled-plain,", "is taken already"),
    "published without place": (
        "source: trade-practice, basis: practice}\ncautions",
        "source: trade-practice, basis: published, seen: quoted}\ncautions",
        "needs 'where'",
    ),
    "derived without its figures": (
        "source: trade-practice, basis: practice}\ncautions",
        "source: trade-practice, basis: derived}\ncautions",
        "a derived fact needs 'where'",
    ),
    "unknown slot in a condition": ("when: {environment:", "when: {weather:", "unknown slot 'weather'"),
    "wrong value in a condition": ("{in: [coastal]}}", "{in: [seaside]}}", "'seaside' is not a value of environment"),
    "unknown test in a condition": ("{in: [coastal]}}", "{like: [coastal]}}", "unknown test 'like'"),
    "two verbs in an action": ("- {warn: rust-soon}", "- {warn: rust-soon, require: oil}", "exactly one of"),
    "no verb in an action": ("- {warn: rust-soon}", "- {text: nothing}", "exactly one of"),
    "unknown finish in a rule": ("{exclude: oiled}", "{exclude: greased}", "'greased' is not a set, family or finish"),
    "missing key": ('    help: "Indoors or by the sea?"\n', "", "'help' is missing"),
    "empty text": ('text: "Where?"', 'text: " "', "the text is empty"),
    "second document": ("terms:\n", "---\nterms:\n", "second document"),
    "denial of no value": (
        "values: [indoor-dry, coastal]}",
        "values: [indoor-dry, coastal], denial: {coastal: inland}}",
        "'inland' is not a value of environment",
    ),
    "two values where many are taken": (
        "values: [indoor-dry, coastal]}",
        "values: [indoor-dry, coastal], two_told: ask}",
        "takes several values",
    ),
    "a bare number for a word": ("type: text}", "type: text, bare: {low: 1, high: 2}}", "of type number"),
    "nothing of one": ("type: text}", "type: text, nothing_means: empty}", "can be empty"),
    "a role of nobody": (
        "decisions:\n",
        "roles:\n  - {id: held, of: [nobody], note: n}\ndecisions:\n",
        "'nobody' does not exist",
    ),
    "words for nothing": ("slot: environment, value: [coastal]}", "lang: en}", "the words say nothing"),
    "a slot without a value": ("slot: environment, value: [coastal]}", "slot: environment}", "needs 'value'"),
    "words for a value that is none": (
        '"by the sea"], slot: environment, value: [coastal]',
        '"by the sea"], slot: environment, value: [seaside]',
        "'seaside' is not a value of environment",
    ),
    "unknown field of words": ("slot: environment, value: [coastal]}", "nmaes: oiled}", "unknown key 'nmaes'"),
    "broken YAML": ("terms:\n", "terms: [\n", "not valid YAML"),
}


def test_the_small_knowledge_itself_has_no_fault(tmp_path: Path) -> None:
    assert build(write_knowledge(tmp_path)).faults == ()


@pytest.mark.parametrize("kind", PLANTED)
def test_a_planted_fault_is_found_at_its_line(tmp_path: Path, kind: str) -> None:
    old, new, words = PLANTED[kind]
    assert old in GOOD
    text = GOOD.replace(old, new, 1)
    first = line_of(GOOD, old)
    last = first + max(old.count("\n"), new.count("\n")) + 1
    faults = build(write_knowledge(tmp_path, text)).faults
    found = [f for f in faults if words in f.text]
    assert found, [str(f) for f in faults]
    assert found[0].file == "all.yaml"
    # a missing key is reported where its node begins, an unclosed list where the reader gives up
    spread = 5 if kind in ("missing key", "broken YAML") else 0
    assert first - spread <= found[0].line <= last + spread


def test_a_range_upside_down_is_found(tmp_path: Path) -> None:
    more = (
        'facts:\n  - {id: odd, text: "Odd.", value: [9, 2], about: [oiled], source: trade-practice, basis: practice}\n'
    )
    (fault,) = build(write_knowledge(tmp_path, more=more)).faults
    assert (fault.file, fault.line) == ("more.yaml", 2)
    assert "upside down" in fault.text


def test_an_oversized_file_is_refused(tmp_path: Path) -> None:
    faults = build(write_knowledge(tmp_path, big="# " + "x" * MAX_BYTES)).faults
    assert [f.file for f in faults] == ["big.yaml"]
    assert "larger than" in faults[0].text


def test_a_file_nested_too_deeply_is_refused(tmp_path: Path) -> None:
    faults = build(write_knowledge(tmp_path, deep="facts: " + "[" * 5000)).faults
    assert [f.file for f in faults] == ["deep.yaml"]


def test_a_file_that_is_not_text_is_refused(tmp_path: Path) -> None:
    folder = write_knowledge(tmp_path)
    (folder / "bad.yaml").write_bytes(b"facts:\n\xff\xfe\n")
    (fault,) = build(folder).faults
    assert (fault.file, fault.line) == ("bad.yaml", 2)


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    outside = tmp_path / "outside.yaml"
    outside.write_text("nonsense: 1\n", "utf-8")
    folder = write_knowledge(tmp_path / "k")
    (folder / "link.yaml").symlink_to(outside)
    assert build(folder).faults == ()


def _structural(folder: Path) -> list[tuple[str, str]]:
    base = open_base(folder)
    return [(f.node, f.text) for check in CHECKS for f in check(base) if f.fault]


def test_a_caution_that_nothing_raises_is_found(own_folders: Path) -> None:
    more = 'cautions:\n  - {id: never-shown, topic: topic-rust, severity: note, text: "Never."}\n'
    found = _structural(write_knowledge(own_folders / "k", more=more))
    assert any(node == "never-shown" and "no rule and no calculation" in text for node, text in found)


def test_a_fact_that_nothing_shows_and_a_source_that_nothing_cites_are_found(own_folders: Path) -> None:
    more = (
        'sources:\n  - {id: lonely-1999, title: "Lonely"}\n'
        'facts:\n  - {id: loose-fact, text: "Loose.", source: trade-practice, basis: practice}\n'
    )
    found = dict(_structural(write_knowledge(own_folders / "k", more=more)))
    assert "no answer, card or calculation shows" in found["loose-fact"]
    assert "no fact cites" in found["lonely-1999"]


def test_a_circumstance_that_no_word_gives_is_found(own_folders: Path) -> None:
    text = GOOD.replace(
        "slots:\n", "slots:\n  - {id: circumstance, name: circumstances, type: choices, derived: true}\n"
    ).replace("when: {environment: {in: [coastal]}}", "when: {circumstance: {in: [whirlpool]}}")
    found = dict(_structural(write_knowledge(own_folders / "k", text)))
    assert "'whirlpool' is noticed by no word" in found["en-90"]


def test_an_option_that_its_slot_cannot_take_is_found(own_folders: Path) -> None:
    text = GOOD.replace('text: "by the sea", value: [coastal]', 'text: "by the sea", value: [seaside]')
    found = dict(_structural(write_knowledge(own_folders / "k", text)))
    assert "'seaside' is not a value of environment" in found["ask-place"]


def test_a_word_with_two_meanings_is_found(own_folders: Path) -> None:
    more = 'terms:\n  - {id: w-sea-2, say: ["by the sea"], slot: environment, value: [indoor-dry]}\n'
    found = dict(_structural(write_knowledge(own_folders / "k", more=more)))
    assert "already means something else" in found["w-sea-2"]


def test_a_fault_has_a_code_and_a_remedy_of_its_own(tmp_path: Path) -> None:
    (fault,) = build(
        write_knowledge(tmp_path, GOOD.replace("because: [oil-rusts]\n    cases", "because: [no]\n    cases"))
    ).faults
    assert (fault.code, fault.text, fault.remedy) == (
        "KB021",
        "'no' does not exist",
        "it should be the id of a fact or table",
    )
    assert str(fault) == f"all.yaml:{fault.line}:{fault.column}: KB021 'no' does not exist; {fault.remedy}"
