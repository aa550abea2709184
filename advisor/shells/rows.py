"""A row of a parts list, and the limits within which a file is taken for one."""

from __future__ import annotations

from advisor.records import NamedTuple

MOST_COLUMNS = 500
MOST_CHARACTERS = 1_000_000
"""Of one row; a longer one is left out."""
MOST_LINES_A_ROW = 200
"""Of one row with line breaks in its cells; more means that a quotation mark was never closed."""
LOOKED_AT = 10
"""Rows at the top among which the headings are looked for."""


class Row(NamedTuple):
    """One row: the line of the file that it begins in, its cells, and the phrase that says why it cannot be used.

    `end` is where the next row begins, in bytes; 0 where that is not known. `whole` is whether a line end closes it.
    """

    number: int
    cells: tuple[str, ...]
    fault: str = ""
    end: int = 0
    whole: bool = True
