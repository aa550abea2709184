"""Opens the knowledge for a shell: the base with its words, the engine on top. Here the layers are put together."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping
from os import PathLike

from advisor.errors import PREPARING
from advisor.graph.base import Base
from advisor.graph.store import open_base, shipped_knowledge
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.dialogue.state import Desk
    from advisor.language.vocabulary import Vocabulary
    from advisor.reasoning.engine import Engine
    from advisor.shells.given import Settings


class Opened(NamedTuple):
    """A base ready for questions."""

    base: Base
    engine: Engine
    vocabulary: Vocabulary

    @property
    def desk(self) -> Desk:
        """Engine and words as the dialogue takes them."""
        from advisor.dialogue.state import Desk

        return Desk(self.engine, self.vocabulary)


def _words(sections: Mapping[str, Any]) -> dict[str, Any]:
    from advisor.language.wordbook import build_vocabulary

    return build_vocabulary(sections)


def _judging(sections: Mapping[str, Any]) -> dict[str, Any]:
    from advisor.reasoning.in_play import offers_section
    from advisor.reasoning.judging_table import judging_sections

    return {**judging_sections(sections), **offers_section(sections)}


def _scales(sections: Mapping[str, Any]) -> dict[str, Any]:
    from advisor.reasoning.scales import scale_sections

    return scale_sections(sections)


def _finding(sections: Mapping[str, Any]) -> dict[str, Any]:
    from advisor.lookup.finding import build_index

    return build_index(sections)


def _codes(sections: Mapping[str, Any]) -> dict[str, Any]:
    from advisor.codes.shapes import code_shapes

    return code_shapes(sections)


def _expressions(sections: Mapping[str, Any]) -> dict[str, Any]:
    from advisor.language.expressions_kept import expression_sections

    return expression_sections(sections)


EXTENSIONS = {
    "words": _words,
    "expressions": _expressions,
    "judging": _judging,
    "scales": _scales,
    "finding": _finding,
    "codes": _codes,
}


def open_knowledge(folder: str | PathLike[str] | None = None, overlays: Iterable[str | PathLike[str]] = ()) -> Base:
    """The base of a folder (default: the shipped one)."""
    return open_base(folder or shipped_knowledge(), overlays, EXTENSIONS, _preparing)


def _preparing() -> None:
    if sys.stderr.isatty():
        print(f"advisor: {PREPARING}", file=sys.stderr, flush=True)


def open_told(settings: Settings) -> Base:
    """The base that the global options name; what the user should know about it goes to standard error."""
    base = open_knowledge(settings.knowledge, settings.overlays)
    if base.notice:
        print(f"advisor: {base.notice}", file=sys.stderr)
    return base


def opened(base: Base) -> Opened:
    """A base with engine and vocabulary."""
    from advisor.language.vocabulary import Vocabulary
    from advisor.reasoning.engine import Engine

    return Opened(base, Engine(base), Vocabulary.of(base))


def open_all(folder: str | PathLike[str] | None = None, overlays: Iterable[str | PathLike[str]] = ()) -> Opened:
    """The base with engine and vocabulary."""
    return opened(open_knowledge(folder, overlays))
