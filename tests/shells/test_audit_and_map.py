"""audit and map as commands: exit codes, the contract's keys, faults with file and line, drawings that can be read."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import networkx as nx
import pytest

from advisor.audit.catalogue import catalogue, written_rules
from advisor.graph.base import Base
from advisor.graph.drawing import COLOURS, LAYERS, svg
from advisor.graph.json_schema import schema_text
from advisor.graph.model import KINDS
from advisor.shells.cli import run


def _report(capsys: pytest.CaptureFixture[str], *argv: str) -> tuple[int, dict[str, object]]:
    code = run(["audit", "--json", *argv])
    return code, json.loads(capsys.readouterr().out)


def test_the_report_has_the_keys_of_the_contract(capsys: pytest.CaptureFixture[str], knowledge: Path) -> None:
    code, found = _report(capsys, "--quick", "--knowledge", str(knowledge))
    assert {"ok", "counts", "faults", "coverage", "notes"} <= set(found)
    assert found["ok"] is (code == 0)
    assert found["counts"]["nodes"]["finish"] >= 90  # type: ignore[index]
    for fault in found["faults"]:  # type: ignore[attr-defined]
        assert set(fault) == {"code", "file", "line", "text", "remedy"}


def test_a_fault_in_a_file_ends_with_1_and_its_line(capsys: pytest.CaptureFixture[str], own_folders: Path) -> None:
    folder = own_folders / "k"
    folder.mkdir()
    (folder / "facts.yaml").write_text("facts:\n  - {id: a, text: A, source: nowhere, basis: memory}\n", "utf-8")
    code, found = _report(capsys, "--knowledge", str(folder))
    assert code == 1
    assert found["faults"] == [
        {
            "code": "KB021",
            "file": "facts.yaml",
            "line": 2,
            "text": "'nowhere' does not exist",
            "remedy": "it should be the id of a source",
        }
    ]


def test_a_folder_that_is_none_is_bad_usage(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["audit", "--knowledge", "/no/such/folder"]) == 2
    assert "is not a folder" in capsys.readouterr().err


def test_the_schema_in_the_knowledge_is_the_one_of_the_definitions(knowledge: Path) -> None:
    assert (knowledge / "schema.json").read_text("utf-8") == schema_text()


def test_the_same_folder_gives_the_same_advice(capsys: pytest.CaptureFixture[str], knowledge: Path) -> None:
    assert run(["audit", "--json", "--compare", str(knowledge), "--knowledge", str(knowledge)]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["differences"] == []
    assert found["enquiries"] > 100


def _boxes(path: Path) -> list[tuple[float, float, float, float]]:
    tree = ET.parse(path)
    return [
        tuple(float(r.get(k, "0")) for k in ("x", "y", "width", "height"))  # type: ignore[misc]
        for r in tree.iter("{http://www.w3.org/2000/svg}rect")
        if r.get("stroke")
    ]


@pytest.mark.parametrize("node", ["he-07", "zinc-flake", "topic-galling", None])
def test_no_two_boxes_of_a_drawing_overlap_and_all_lie_inside(tmp_path: Path, node: str | None) -> None:
    out = tmp_path / "map.svg"
    assert run(["map", *([node] if node else []), "--out", str(out)]) == 0
    boxes = _boxes(out)
    assert len(boxes) >= 3
    root = ET.parse(out).getroot()
    width, height = float(root.get("width", "0")), float(root.get("height", "0"))
    for n, (x, y, w, h) in enumerate(boxes):
        assert 0 <= x <= width - w
        assert 0 <= y <= height - h
        for x2, y2, w2, h2 in boxes[n + 1 :]:
            assert x + w <= x2 or x2 + w2 <= x or y + h <= y2 or y2 + h2 <= y


def test_a_picture_stands_alone_in_any_viewer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # plain viewers know no style sheets and no variables: every colour stands in its element, on paper of its own
    out = tmp_path / "map.svg"
    assert run(["map", "zinc-flake", "--out", str(out)]) == 0
    drawn = out.read_text("utf-8")
    assert "var(" not in drawn
    assert "<style" not in drawn
    root = ET.fromstring(drawn)
    paper = next(root.iter("{http://www.w3.org/2000/svg}rect"))
    assert (paper.get("fill"), paper.get("width")) == ("#ffffff", root.get("width"))
    assert all(t.get("fill") for t in root.iter("{http://www.w3.org/2000/svg}text"))
    # a cap is said, on the screen and in the picture
    assert "best linked of" in capsys.readouterr().out
    assert re.search(r"60 of \d+ nodes", drawn)


def test_a_label_is_whole_where_the_box_holds_it() -> None:
    name = "Zinc flake: friction coefficient of the lubricated top coat, measured"
    graph = nx.MultiDiGraph()
    graph.add_node("a", kind="fact", name=name)
    graph.add_node("b", kind="finish", name="Zinc flake")
    graph.add_edge("a", "b", kind="supports")
    texts = " ".join(t.text or "" for t in ET.fromstring(svg(graph, "b")).iter("{http://www.w3.org/2000/svg}text"))
    assert name in texts


def test_every_kind_of_node_has_a_column_and_a_colour() -> None:
    kinds = {k.name for k in KINDS}
    assert kinds <= {kind for column in LAYERS for kind in column}
    assert kinds <= set(COLOURS)


def test_the_other_forms_hold_the_neighbours_of_a_rule(tmp_path: Path) -> None:
    for ending in ("graphml", "json", "mmd"):
        assert run(["map", "he-07", "--out", str(tmp_path / f"m.{ending}")]) == 0
    nodes = {n["id"] for n in json.loads((tmp_path / "m.json").read_text("utf-8"))["nodes"]}
    assert {"he-07", "plated", "hydrogen-embrittlement"} <= nodes
    graphml = ET.parse(tmp_path / "m.graphml")
    assert {n.get("id") for n in graphml.iter("{http://graphml.graphdrawing.org/xmlns}node")} == nodes
    mermaid = (tmp_path / "m.mmd").read_text("utf-8")
    assert mermaid.startswith("flowchart LR\n")
    assert "-->|excludes|" in mermaid


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["map", "zinc-flak", "--out", "x.svg"], "nearest: zinc-flake"),
        (["map", "he-07", "--out", "x.gif"], "names no known form"),
        (["map", "he-07"], "--out"),
        (["map", "he-07", "--out", "/no/such/folder/x.svg"], "cannot be written"),
        (["map", "he-07", "--out", "x.svg", "--depth", "9"], "outside 1 to 3"),
    ],
)
def test_bad_usage_of_map_is_said_in_one_sentence(
    capsys: pytest.CaptureFixture[str], argv: list[str], words: str
) -> None:
    assert run(argv) == 2
    shown = capsys.readouterr().err
    assert words in shown
    assert "Traceback" not in shown


def test_the_catalogue_of_rules_is_in_step(base: Base, knowledge: Path) -> None:
    """After a change of the rules: advisor audit --rules knowledge/rules/README.md"""
    assert (knowledge / "rules" / "README.md").read_text("utf-8") == catalogue(base)


def test_the_catalogue_shows_every_rule_with_its_reasons_and_cases(base: Base) -> None:
    text, rules = catalogue(base), {r.id: r for r in written_rules(base)}
    assert len(rules) > 300
    assert all(f"- **{i}** ({r.strength}) {r.text}" in text for i, r in rules.items())
    assert text.count("  - rests on: ") == len(rules)
    assert text.count("  - speaks in ") == len(rules)


def test_the_catalogue_is_written_where_it_is_told_to(tmp_path: Path) -> None:
    assert run(["audit", "--rules", str(tmp_path / "rules.md")]) == 0
    assert (tmp_path / "rules.md").read_text("utf-8").startswith("# The rules")
