"""Imports run only downwards, modules stay small, and nothing of the knowledge stands in the program."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import advisor
from advisor.graph.base import Base

PACKAGE = Path(advisor.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))
LAYERS = (
    "trade",
    "graph",
    "codes",
    "language",
    "calculations",
    "lookup",
    "reasoning",
    "audit",
    "dialogue",
    "views",
    "shells",
)
LONGEST = 500


def _name(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def _imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


def _texts(path: Path) -> Iterator[tuple[int, str]]:
    tree = ast.parse(path.read_text("utf-8"))
    said = {
        id(n.body[0].value)
        for n in ast.walk(tree)
        if isinstance(n, (ast.Module, ast.ClassDef, ast.FunctionDef)) and n.body and isinstance(n.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in said:
            yield node.lineno, node.value


@pytest.mark.parametrize("path", MODULES, ids=_name)
def test_imports_run_only_downwards(path: Path) -> None:
    room = path.relative_to(PACKAGE).parts[0]
    if room not in LAYERS:
        return
    height = LAYERS.index(room)
    for name in _imports(path):
        parts = name.split(".")
        if parts[0] == "advisor" and len(parts) > 1 and parts[1] in LAYERS:
            assert LAYERS.index(parts[1]) <= height, f"{_name(path)} imports {name}"


@pytest.mark.parametrize("path", MODULES, ids=_name)
def test_modules_stay_small_and_say_what_they_are_for(path: Path) -> None:
    text = path.read_text("utf-8")
    assert text.count("\n") < LONGEST
    assert ast.get_docstring(ast.parse(text)) or not text.strip()


@pytest.mark.parametrize("path", MODULES, ids=_name)
def test_no_finish_and_no_rule_is_named_in_the_program(path: Path, base: Base) -> None:
    named = {*base.kind("finish"), *base.kind("rule")}
    found = [(line, text) for line, text in _texts(path) if text in named]
    assert not found, f"{_name(path)}: {found}"


@pytest.mark.parametrize("path", MODULES, ids=_name)
def test_no_caution_and_no_question_is_written_in_the_program(path: Path, base: Base) -> None:
    sentences = {d["text"] for kind in ("caution", "decision", "rule") for d in base.kind(kind).values()}
    sentences |= {d["help"] for d in base.kind("decision").values()}
    found = [
        (line, text)
        for line, text in _texts(path)
        if text.count(" ") >= 3 and len(text) > 15 and any(text in s for s in sentences)
    ]
    assert not found, f"{_name(path)}: {found}"
