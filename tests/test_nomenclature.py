"""The code keeps to the words of the nomenclature in DEVELOPERS.md: none of the words it rules out names anything."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import advisor
from tests.examples import ROOT

PACKAGE = Path(advisor.__file__).parent


def rows() -> list[tuple[str, list[str]]]:
    table = (ROOT / "DEVELOPERS.md").read_text("utf-8").split("## Nomenclature")[1].split("\n\nUnits")[0]
    found = re.findall(r"^\| ([a-z ]+) \|[^|]*\|([^|]*)\|$", table, re.MULTILINE)
    return [
        (word, [w.strip() for w in ruled_out.split(",") if w.strip()]) for word, ruled_out in found if word != "word"
    ]


def names_of(path: Path) -> set[str]:
    """Names of modules, classes, functions, arguments and fields, in single words."""
    names = {path.stem}
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, (ast.ClassDef, ast.FunctionDef)):
            names.add(node.name)
        elif isinstance(node, ast.arg):
            names.add(node.arg)
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.add(node.target.id)
    return {w.lower() for n in names for w in re.findall(r"[A-Z]?[a-z]+", n)}


def test_the_page_holds_the_words_of_the_trade() -> None:
    words = [word for word, _ in rows()]
    assert {"finish", "family", "coat", "place", "zone", "part", "enquiry", "case", "basis"} <= set(words)
    assert len(words) == len(set(words))
    ruled_out = [w for _, others in rows() for w in others]
    assert not set(words) & set(ruled_out)


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_no_name_uses_a_word_that_is_ruled_out(path: Path) -> None:
    ruled_out = {w for _, others in rows() for w in others if " " not in w}
    assert not names_of(path) & ruled_out
