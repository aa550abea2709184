"""The house rules: imports run only downwards, files stay small, names occur once, the knowledge stays out."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
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
LONGEST_FILE = 350
WIDEST_LINE = 120
SENTENCE = 4
"""Words from which a text is a sentence."""
SPEAKING_ROOMS = ("codes", "calculations", "lookup", "reasoning", "dialogue", "views")
"""Rooms whose texts reach a user of the advice: there a heading of two words is a text of the knowledge too."""
COMPLAINTS = frozenset(
    [
        "Finding",
        "Fault",
        "UsageError",
        "KnowledgeError",
        "AdvisorError",
        "report",
        "_fault",
        "fault",
        "Parser",
        "add_argument",
        "Command",
        "_complain",
        "kind",
        "Option",
        "NotImplementedError",
        "ValueError",
        "KeyError",
        "TypeError",
    ]
)
"""Calls whose texts are errors, findings for the curator, or the help of the command line."""
OF_ITSELF = {
    "graph/drawing.py": 1,  # the title of a drawing for the curator
    "graph/store.py": 1,  # the notice that the knowledge has a fault
    "shells/chat/history.py": 1,
    "shells/chat/replay.py": 1,
    "shells/stream.py": 1,  # an error of a line that must not stop the rest
    "trade/hardness.py": 1,  # parts of an error
    "trade/sizes.py": 4,  # errors put together before they are raised
    "trade/thread_limits.py": 2,  # parts of an error
}
"""Sentences that a command says of itself: its errors and states, no word of advice."""
COMPLAINING_FILES = ("errors.py", "graph/schema.py", "graph/json_schema.py", "shells/cli.py")
"""Files of which all texts are errors, notes for the curator, or help; so are those of the room audit."""
NAMED_KINDS = ("family", "finish", "set", "rule", "fact", "table", "caution", "exposure", "strength")


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


every_module = pytest.mark.parametrize("path", MODULES, ids=name_of)


# layers, sizes, names -----------------------------------------------------------------------------------------------


def imports_of(path: Path) -> Iterator[str]:
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


@every_module
def test_imports_run_only_downwards(path: Path) -> None:
    room = path.relative_to(PACKAGE).parts[0]
    if room not in LAYERS:
        return
    height = LAYERS.index(room)
    for name in imports_of(path):
        parts = name.split(".")
        if parts[0] == "advisor" and len(parts) > 1 and parts[1] in LAYERS:
            assert LAYERS.index(parts[1]) <= height, f"{name_of(path)} imports {name}"


def test_every_room_is_one_of_the_house() -> None:
    rooms = {p.relative_to(PACKAGE).parts[0] for p in MODULES if len(p.relative_to(PACKAGE).parts) > 1}
    assert rooms - {"_knowledge"} == set(LAYERS)


@every_module
def test_a_file_stays_small_and_says_what_it_is_for(path: Path) -> None:
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= LONGEST_FILE
    assert ast.get_docstring(tree_of(path)), "no sentence at the top"


@every_module
def test_no_line_is_too_wide(path: Path) -> None:
    wide = [n for n, line in enumerate(path.read_text("utf-8").splitlines(), 1) if len(line) > WIDEST_LINE]
    assert len(wide) == 0, wide
    assert "noqa: E501" not in path.read_text("utf-8")


def test_the_name_of_a_module_occurs_once() -> None:
    named = Counter(p.stem for p in MODULES if p.stem != "__init__")
    assert {n for n, times in named.items() if times > 1} == set()


def test_the_name_of_a_public_class_occurs_once() -> None:
    named = Counter(n.name for p in MODULES for n in tree_of(p).body if isinstance(n, ast.ClassDef))
    assert {n for n, times in named.items() if times > 1 and not n.startswith("_")} == set()


# the knowledge stays out --------------------------------------------------------------------------------------------


def texts_of(path: Path) -> Iterator[tuple[int, str]]:
    """(line, text) of every text constant outside docstrings, complaints and patterns; a text with blanks counts
    whole.
    """
    stack: list[ast.AST] = [tree_of(path)]
    while stack:
        node = stack.pop()
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue  # a docstring
        if isinstance(node, (ast.Raise, ast.Assert)):
            continue
        if isinstance(node, ast.Call) and called(node) in COMPLAINTS:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, node.value
        elif isinstance(node, ast.JoinedStr):
            parts = (v.value if isinstance(v, ast.Constant) else "{}" for v in node.values)
            yield node.lineno, "".join(str(p) for p in parts)
        else:
            stack.extend(ast.iter_child_nodes(node))


def called(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


@every_module
def test_no_node_of_the_knowledge_is_named_in_the_program(path: Path, base: Base) -> None:
    """What plays a part in the program is named by a role in the knowledge, not by an id in the code.

    Tables are read by name where the role `calculated-from` lists them.
    """
    found = [(line, text) for line, text in texts_of(path) if text in ids_that_stay_out(base)]
    assert found == []


def ids_that_stay_out(base: Base) -> frozenset[str]:
    """The ids of nodes, but those of tables that calculations read, and words that are a value of a slot as well.

    An id without a hyphen is left out: it cannot be told from an ordinary word.
    """
    named = {i for kind in NAMED_KINDS for i in base.section(kind) if "-" in i}
    values = {v for slot in base.slots.values() for v in slot.values}
    return frozenset(named - values - set(base.role("calculated-from")))


def test_every_table_that_is_calculated_from_is_read_by_a_calculation(base: Base) -> None:
    texts = {text for path in MODULES for _, text in texts_of(path)}
    unread = [t for t in base.role("calculated-from") if not {t, t.removesuffix("-inch")} & texts]
    assert unread == []


def is_sentence(text: str, heading: bool) -> bool:
    """Four words of letters make a sentence, and so does a capital letter with two words where users read it.

    >>> is_sentence("It does not last", False), is_sentence("What to order:", True), is_sentence("m3 per hour", True)
    (True, True, False)
    """
    words = re.findall(r"[A-Za-z][a-z']+(?=[\s.,:;!?)]|$)", text)
    if any(mark in text for mark in ("\\b", "\\ ", "(?:", "[a-z", "<svg", "<text", "<style")) or text.startswith(
        "advisor "
    ):
        return False  # a pattern, a drawing, or a command line as an example
    return len(words) >= SENTENCE or (heading and len(words) >= 2 and text[:1].isupper())


def sentences_of(path: Path) -> list[tuple[int, str]]:
    heading = path.relative_to(PACKAGE).parts[0] in SPEAKING_ROOMS
    return [(line, text) for line, text in texts_of(path) if is_sentence(text, heading)]


@every_module
def test_no_sentence_for_users_stands_in_the_program(path: Path) -> None:
    """Sentences are phrases of the knowledge; errors, the curator's findings and the help of commands are not meant."""
    if path.relative_to(PACKAGE).parts[0] == "audit" or name_of(path) in COMPLAINING_FILES:
        return
    found = sentences_of(path)
    assert len(found) <= OF_ITSELF.get(name_of(path), 0), found
