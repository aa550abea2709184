"""Compiles every expression of the grammar once, for the base."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from importlib import import_module
from types import ModuleType

from advisor.graph.sections import Entries
from advisor.language.grammar.grades import Grades
from advisor.language.grammar.lexicon import Lexicon, Pattern

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def expression_sections(sections: Mapping[str, Any]) -> dict[str, Any]:
    """The section `expressions`: what each Pattern of the room compiles to, under the place where it is written.

    `sections` are those of the base with `words` among them.
    """
    lexicon = Lexicon(sections["words"]["grammar"])
    patterns = {p for module in _modules() for value in vars(module).values() for p in _patterns(value) if p.name}
    words = sections["words"]
    patterns.add(Grades(words["grade_pattern"], words["grade_slugs"], frozenset(words["inch_grades"])).named)
    found = {p.name: lexicon.frozen(p) for p in patterns}
    if len(found) != len(patterns):
        raise ValueError("two expressions begin in one line of a module; write each on a line of its own")
    return {"expressions": Entries(sorted(found.items()))}


def _patterns(value: Any) -> Iterator[Pattern]:
    """The expressions in a constant: itself, or what a mapping or a tuple of them holds."""
    if isinstance(value, Pattern):
        yield value
    elif isinstance(value, (dict, tuple)):
        for x in value.values() if isinstance(value, dict) else value:
            yield from _patterns(x)


def _modules() -> Iterator[ModuleType]:
    """All modules of the room."""
    room = os.path.dirname(os.path.abspath(__file__))
    for folder, prefix in ((room, "advisor.language."), (os.path.join(room, "grammar"), "advisor.language.grammar.")):
        for name in sorted(os.listdir(folder)):
            if name.endswith(".py") and name != "__init__.py":
                yield import_module(prefix + name.removesuffix(".py"))
