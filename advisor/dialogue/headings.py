"""The headings of a parts list: which column tells what, recognised by the words that people write above it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.graph.base import Base
from advisor.records import NamedTuple


class Column(NamedTuple):
    """One column: its place, its heading as written, and what the heading stands for.

    `slot` is filled from the cell; where it is empty, the cell's words are read with the rest of the line. `factor`
    turns a number in the heading's unit into the slot's (25.4 for inches of length). `idle`: nothing is read from it.
    """

    at: int
    heading: str
    slot: str = ""
    factor: float = 1.0
    idle: bool = False


class Columns(NamedTuple):
    """The columns of a list; `headed` is whether a row of headings was found, `twice` are slots that several fill."""

    columns: tuple[Column, ...]
    headed: bool
    twice: tuple[str, ...] = ()


class Headings:
    """All headings that the knowledge lists, ready to be looked up."""

    def __init__(self, base: Base) -> None:
        self._nodes = base.headings
        self._by_words: Mapping[str, str] = {plain(say): i for i, n in self._nodes.items() for say in n.say}
        self.blanks = frozenset(w.lower() for w in base.role_words("blank-cells"))

    def known(self, cell: str) -> bool:
        """Whether a cell is, word for word, a heading."""
        return plain(cell) in self._by_words

    def recognised(self, cell: str) -> str:
        """The heading that a cell is, or whose words it holds (the longest); empty where there is none."""
        words = plain(cell)
        exact = self._by_words.get(words)
        if exact is not None:
            return exact
        held = [say for say in self._by_words if f" {say} " in f" {words} "]
        return self._by_words[max(held, key=len)] if held else ""

    def columns(self, row: Sequence[str]) -> Columns:
        """The columns under a row of headings; of two columns for one slot the first fills it, the other is read."""
        out: list[Column] = []
        filled: dict[str, int] = {}
        twice: list[str] = []
        for at, cell in enumerate(row):
            node = self._nodes.get(self.recognised(cell))
            if node is None:
                out.append(Column(at, cell, idle=True))
                continue
            if node.slot and node.slot in filled:
                twice.append(cell)
                out.append(Column(at, cell))
                continue
            filled[node.slot] = at
            out.append(Column(at, cell, node.slot, node.factor, node.idle))
        if not any(not c.idle for c in out):
            return Columns(tuple(Column(at, cell) for at, cell in enumerate(row)), False)
        return Columns(tuple(out), True, tuple(twice))

    def blank(self, cell: str) -> bool:
        """Whether a cell says nothing: empty, or a word for that."""
        return cell.lower() in self.blanks


def plain(cell: str) -> str:
    """A heading without case, marks and doubled blanks.

    >>> plain(" Length_(mm) "), plain("Qty.")
    ('length mm', 'qty')
    """
    return " ".join("".join(ch if ch.isalnum() or ch in "µ°#" else " " for ch in cell.lower()).split())
