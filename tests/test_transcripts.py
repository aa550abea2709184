"""The demo conversations print today what stands in their files, line by line."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.dialogue.conversation import Guide
from advisor.shells.chat.replay import compare, parse, run_demo

FOLDER = Path(__file__).parent.parent / "transcripts_demo"
FILES = sorted(FOLDER.glob("*.txt"))


def test_there_are_at_least_twelve() -> None:
    assert len(FILES) >= 12


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_conversation_reads_as_in_its_file(guide: Guide, path: Path) -> None:
    demo = parse(path.read_text(encoding="utf-8"))
    assert demo.turns
    difference = compare(demo, run_demo(guide, [t.said for t in demo.turns]), path.name)
    assert not difference, "\n".join(difference[:60]) + "\nto accept: advisor replay --write " + path.name


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_no_line_is_wider_than_eighty_columns(path: Path) -> None:
    demo = parse(path.read_text(encoding="utf-8"))
    assert all(len(line) <= 80 for turn in demo.turns for line in turn.shown)


def test_a_changed_line_is_shown_as_a_difference(guide: Guide) -> None:
    demo = parse("About it.\n\n> help\n\nSomething else.\n")
    difference = compare(demo, run_demo(guide, ["help"]), "x.txt")
    assert "-Something else." in difference
