"""Where the lines of a parts list go: CSV, JSON lines or a workbook, the customer's own columns first.

A file that is there already is gone on with when it is the beginning of the very same list, made with the same
knowledge and settings; anything else is refused. A cell that a spreadsheet would run is disarmed.
"""

from __future__ import annotations

import csv
import io
import json
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path

from advisor.errors import UsageError
from advisor.shells.rows import Row
from advisor.views.layout import clean

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, BinaryIO, Protocol

    class PartsOut(Protocol):
        """Takes one line after another; `seen` tells which rows stand in the file already."""

        def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
            """The rows of the list that stand in the file already, taken from `rows` as they are found."""

        def put(self, row: Row, shown: Sequence[str], data: Callable[[], dict[str, Any]]) -> None:
            """Add a line: its row, its texts, its data."""

        def close(self, last: dict[str, Any]) -> None:
            """Finish the file."""

        def leave(self) -> None:
            """Let the file go as it is."""


RUNS = "=+-@\t\r"
"""What a cell begins with that a spreadsheet would take for a formula."""
ALSO_DISARMED = "'"
MARK = "\ufeff"
"""Tells spreadsheets that a file is UTF-8."""


def disarmed(cell: str) -> str:
    """A cell that nothing runs: marked with an apostrophe where it would be a formula; plain numbers stay.

    >>> disarmed("=1+1"), disarmed("-5"), disarmed(" @x"), disarmed("M10")
    ("'=1+1", '-5', "' @x", 'M10')
    """
    first = cell.lstrip(" \n")[:1]
    if cell and (cell[0] in RUNS or (first and first in RUNS)) and not _number(cell):
        cell = ALSO_DISARMED + cell
    return cell if cell.isprintable() else clean(cell)


def _number(cell: str) -> bool:
    rest = cell[1:] if cell[:1] in "+-" else cell
    return rest.replace(".", "", 1).replace(",", "", 1).isdigit() and rest.isascii()


def fitted(row: Row, columns: int) -> list[str]:
    """The cells of a row, as many as there are columns; what is over is joined to the last."""
    cells = list(row.cells[:columns])
    over = row.cells[columns:]
    if over and cells:
        cells[-1] = " ".join(c for c in (cells[-1], *over) if c)
    return [disarmed(c) for c in cells] + [""] * (columns - len(cells))


def open_out(path: Path, headings: Sequence[str], more: Sequence[str], between: str, mark: str) -> PartsOut:
    """The file to write to, by the ending of its name. `more`: the headings of what is added; `mark` stands for the
    knowledge and the settings."""
    makers: dict[str, Callable[..., PartsOut]] = {".csv": CsvOut, ".jsonl": JsonLinesOut, ".xlsx": XlsxOut}
    make = makers.get(path.suffix.lower())
    if make is None:
        raise UsageError(f"'{path}' must end in .csv, .jsonl, .xlsx or .html")
    own = [disarmed(h) for h in headings]
    try:
        return make(path, own, [f"{more[0]} [{mark}]", *more[1:]], between)
    except OSError as e:
        raise UsageError(f"'{path}' cannot be written ({e.strerror}); name another file") from None


def _other(path: Path) -> UsageError:
    return UsageError(
        f"'{path}' is there already and is no part of this list with these settings and this knowledge; "
        "name another file or take it away"
    )


class CsvOut:
    """Comma-separated values, with the mark between cells that the list itself has."""

    def __init__(self, path: Path, headings: list[str], more: list[str], between: str) -> None:
        self._path = path
        self._columns = len(headings)
        self._headings = [*headings, *more]
        self._between = between
        self._there = path.exists() and path.stat().st_size > 0 and path.is_file()
        self._file = path.open("r+b" if self._there else "wb")
        if not self._there:
            self._write([self._headings], MARK)

    def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
        if not self._there:
            return
        from advisor.shells.text_tables import TextTable

        with self._path.open("rb") as f:
            held = iter(TextTable(f, str(self._path), lambda cell: cell in self._headings))
            first = next(held, None)
            if first is None or list(first.cells) != self._headings:
                raise _other(self._path)
            end = first.end
            for old in held:
                if old.fault or not old.whole:
                    break  # the last row was cut off while it was written
                row = next(rows, None)
                if row is None or list(old.cells[: self._columns]) != self._fitted(row):
                    raise _other(self._path)
                end = old.end
                yield row
        self._file.truncate(end)
        self._file.seek(end)

    def _fitted(self, row: Row) -> list[str]:
        return fitted(row, self._columns)

    def put(self, row: Row, shown: Sequence[str], data: Callable[[], dict[str, Any]]) -> None:
        self._write([[*self._fitted(row), *(disarmed(s) for s in shown)]])

    def _write(self, rows: Sequence[Sequence[str]], before: str = "") -> None:
        text = io.StringIO()
        text.write(before)
        csv.writer(text, delimiter=self._between, lineterminator="\n").writerows(rows)
        self._file.write(text.getvalue().encode("utf-8", "replace"))

    def close(self, last: dict[str, Any]) -> None:
        self._file.flush()
        os.fsync(self._file.fileno())

    def leave(self) -> None:
        _let_go(self._file)


class JsonLinesOut:
    """One JSON object a line: first what the file is, then the lines of the list, then the summary."""

    def __init__(self, path: Path, headings: list[str], more: list[str], between: str) -> None:
        self._path = path
        self._columns = len(headings)
        self._head = {"schema": "advisor/parts/1", "columns": headings, "adds": more}
        self._there = path.exists() and path.stat().st_size > 0 and path.is_file()
        self._file = path.open("r+b" if self._there else "wb")
        if not self._there:
            self._write(self._head)

    def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
        if not self._there:
            return
        with self._path.open("rb") as f:
            end = 0
            for n, line in enumerate(f):
                held = _object(line)
                if held is None or "summary" in held:
                    break
                if n == 0:
                    if held != self._head:
                        raise _other(self._path)
                else:
                    row = next(rows, None)
                    if row is None or held.get("cells") != fitted(row, self._columns):
                        raise _other(self._path)
                    yield row
                end += len(line)
        if not end:
            raise _other(self._path)
        self._file.truncate(end)
        self._file.seek(end)

    def put(self, row: Row, shown: Sequence[str], data: Callable[[], dict[str, Any]]) -> None:
        self._write({"line": row.number, "cells": fitted(row, self._columns), **data()})

    def _write(self, data: dict[str, Any]) -> None:
        self._file.write((json.dumps(data, ensure_ascii=False) + "\n").encode("utf-8", "replace"))

    def close(self, last: dict[str, Any]) -> None:
        if last:
            self._write({"summary": last})
        self._file.flush()
        os.fsync(self._file.fileno())

    def leave(self) -> None:
        _let_go(self._file)


def _let_go(file: BinaryIO) -> None:
    """Close a file; what cannot be written any more was told before."""
    with suppress(OSError):
        file.close()


def _object(line: bytes) -> dict[str, Any] | None:
    """The object of a whole line; None for one that was cut off."""
    if not line.endswith(b"\n"):
        return None
    try:
        held = json.loads(line)
    except ValueError:
        return None
    return held if isinstance(held, dict) else None


class XlsxOut:
    """A workbook; what stands in an earlier one is taken over, since a workbook is only ever written whole."""

    def __init__(self, path: Path, headings: list[str], more: list[str], between: str) -> None:
        from advisor.shells.workbooks import WorkbookOut

        self._path = path
        self._columns = len(headings)
        self._headings = [*headings, *more]
        self._book = WorkbookOut(path)
        self._book.put(self._headings)

    def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
        if not self._path.exists():
            return
        from advisor.shells.workbooks import Workbook

        held = iter(Workbook(self._path))
        first = next(held, None)
        if first is None or [*first.cells] != self._headings:
            raise _other(self._path)
        for old in held:
            row = next(rows, None)
            cells = [*old.cells, *[""] * (self._columns - len(old.cells))]
            if row is None or cells[: self._columns] != fitted(row, self._columns):
                raise _other(self._path)
            self._book.put(cells)
            yield row

    def put(self, row: Row, shown: Sequence[str], data: Callable[[], dict[str, Any]]) -> None:
        self._book.put([*fitted(row, self._columns), *(disarmed(s) for s in shown)])

    def close(self, last: dict[str, Any]) -> None:
        self._book.close()

    def leave(self) -> None:
        """Nothing is there before it is whole."""
