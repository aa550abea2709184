"""Opens a parts list of any kind: finds the row of headings, then gives the rows below it one by one."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, islice
from pathlib import Path

from advisor.dialogue.headings import Columns, Headings
from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.shells.rows import LOOKED_AT, MOST_COLUMNS, Row

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    class Table(Protocol):
        """Rows from the top, what stands between their cells, how many bytes are read."""

        between: str
        at: int

        def __iter__(self) -> Iterator[Row]:
            """Every row that holds something."""

        def close(self) -> None:
            """Let the file go."""


class PartsSource(NamedTuple):
    """A parts list that is open: its columns, its rows below the headings, and its size in bytes."""

    table: Table
    columns: Columns
    rows: Iterator[Row]
    size: int


def open_list(path: Path, headings: Headings) -> PartsSource:
    """Open a list; UsageError where the file is no table."""
    table = _table(path, headings)
    try:
        return _opened(path, table, headings)
    except BaseException:
        table.close()
        raise


def _opened(path: Path, table: Table, headings: Headings) -> PartsSource:
    rows = iter(table)
    top = list(islice(rows, LOOKED_AT))
    if not top:
        raise UsageError(f"'{path}' is empty; a parts list has a row of headings and a row for each part")
    if top[0].fault:
        raise UsageError(f"'{path}' is no parts list: its first row has more than {MOST_COLUMNS} columns or never ends")
    counts = [sum(headings.known(c) for c in r.cells) for r in top]
    found = counts.index(max(counts)) if any(counts) else 0
    columns = headings.columns(top[found].cells)
    below = chain(top[found + 1 :] if columns.headed else top, rows)
    return PartsSource(table, columns, below, path.stat().st_size)


def _table(path: Path, headings: Headings) -> Table:
    from advisor.shells import workbooks

    try:
        with path.open("rb") as f:
            if not f.seekable():
                raise UsageError(f"'{path}' is no file that can be read twice; save the list to a file first")
            beginning = f.read(4)
    except OSError as e:
        raise UsageError(f"'{path}' cannot be read ({e.strerror}); name a CSV or XLSX file") from None
    if beginning == workbooks.BEGINNING:
        return workbooks.Workbook(path)
    if beginning == workbooks.OLD_BEGINNING:
        raise UsageError(f"'{path}' is a workbook of the old kind; save it as XLSX or CSV")
    from advisor.shells.text_tables import TextTable

    stream = path.open("rb")
    try:
        return TextTable(stream, str(path), headings.known)
    except BaseException:
        stream.close()
        raise
