"""Designations are found in a customer's line by the very documents that decode knows."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.calculations import decode
from advisor.codes.gates import gates_of, may_match
from advisor.codes.shapes import find
from advisor.codes.spelling import spell
from advisor.graph.base import Base
from advisor.shells.opening import open_knowledge


def stretches(base: Base, line: str) -> list[str]:
    return [line[s.start : s.end] for s in find(base.section("code-shapes"), line)]


# Documents that decode read and an enquiry did not see as a code: their numbers stood by hand in the reader of words.
@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("phosphated to astm f1137 grade i please", "astm f1137 grade i"),
        ("m12 bolts astm a1059 class 50", "astm a1059 class 50"),
        ("clips to iso 12683 8 um", "iso 12683"),
        ("en 13858 zinc flake 480h", "en 13858"),
        ("chemical nickel astm b733 on m6", "astm b733"),
        ("galvanised to as/nzs 1214", "as/nzs 1214"),
        ("stainless to iso 3506-1 a4-70 m10", "iso 3506-1"),
        ("fe/zn 8 c 2c on m8", "fe/zn 8 c 2c"),
        ("fe/zn 8c per astm f1941 m10", "fe/zn 8c per astm f1941"),
        ("drawing says a2l", "a2l"),
        ("tzn m16 8.8", "tzn"),
        ("flznnc-480h m8", "flznnc-480h"),
        ("qq-z-325 type ii class 2 screws", "qq-z-325 type ii class 2"),
        ("bs 3382 pt 2", "bs 3382"),
    ],
)
def test_a_designation_is_seen_in_an_enquiry(base: Base, line: str, code: str) -> None:
    assert any(s.startswith(code) for s in stretches(base, line)), stretches(base, line)


@pytest.mark.parametrize(
    "line",
    ["4042 pieces of m8", "10684 off", "grade b7 studs", "a4-70 m10 bolts", "m6 x 20 a2", "10 bolts for a fence",
     "zinc plated m8", "galvanised bolts 8.8", "i4u garage", "stainless 316 screws", "m10 by 50, 2081 of them"],
)  # fmt: skip
def test_numbers_grades_and_words_are_no_designation(base: Base, line: str) -> None:
    assert stretches(base, line) == []


def test_every_document_with_a_name_is_found_by_that_name(base: Base) -> None:
    unseen = [c.name for c in base.codes.values() if c.named and c.talk != "no" and not named_in_talk(base, c.name)]
    assert unseen == []


def named_in_talk(base: Base, name: str) -> bool:
    line = re.sub(r"[,:].*| and .*", "", name.lower())
    if not any(c.isdigit() for c in line):
        return True
    return any(s.startswith(line[:8]) for s in stretches(base, f"bolts to {line}"))


def test_a_gate_never_holds_back_a_pattern_that_matches(base: Base) -> None:
    gates = base.section("code-gates")
    codes = base.codes.values()
    patterns = [p for c in codes for p in (c.named, c.pattern, *c.parts.values()) if p]
    notes = [spell(x) for x in designations()]
    for pattern in patterns:
        matcher = re.compile(pattern)
        for note in notes:
            if not may_match(gates, pattern, note):
                assert matcher.search(note) is None, (pattern, note)


def designations() -> list[str]:
    text = (Path(__file__).parent.parent / "data" / "designations.txt").read_text("utf-8")
    return [line.split("\t")[0] for line in text.splitlines() if line.strip() and not line.startswith("#")]


def test_most_patterns_have_a_gate(base: Base) -> None:
    named = [c.named for c in base.codes.values() if c.named]
    assert len(gates_of(named)) == len(set(named))


NEWCOMER = """
sources:
  - {id: zz-4711, title: "ZZ 4711, zinc plate on screws of garden tools", body: "ZZ", status: current}
tables:
  - id: code-zz-4711
    name: "Classes of ZZ 4711"
    columns: [code, means, thickness_um, family]
    rows: [["20", "8 um of zinc", 8, zinc-electroplate]]
    source: zz-4711
    basis: published
    where: "table 1"
    seen: original
codes:
  - id: code-form-zz-4711
    name: ZZ 4711
    document: zz-4711
    status: current
    rank: 9
    named: 'zz ?-?4711(?:-[0-9]{4})?'
    parts: {class: '(?:class|-) ?(20)'}
    steps: [{by: {code: class}, table: code-zz-4711}]
    source: zz-4711
    basis: published
    where: "clause 3"
    seen: original
"""


def test_a_standard_of_ones_own_is_decoded_and_found_by_yaml_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ADVISOR_CACHE", str(tmp_path / "cache"))
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "zz.yaml").write_text(NEWCOMER, "utf-8")
    own = open_knowledge(overlays=[tmp_path / "own"])
    readings = decode.run(own, {"callout": "ZZ 4711 class 20"}).results["readings"]
    assert isinstance(readings, list)
    assert (readings[0]["standard"], readings[0]["family"], readings[0]["thickness_um"]) == (
        "ZZ 4711",
        "zinc-electroplate",
        8,
    )
    assert stretches(own, "m10 8.8 bolts to zz 4711 class 20 please") == ["zz 4711 class 20"]
