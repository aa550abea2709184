"""Workbooks (XLSX), read and written row by row with the optional package openpyxl; one that would burst is refused."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from advisor.errors import UsageError
from advisor.shells.rows import MOST_CHARACTERS, MOST_COLUMNS, Row

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

BEGINNING = b"PK\x03\x04"
OLD_BEGINNING = b"\xd0\xcf\x11\xe0"
MOST_BYTES = 400_000_000
"""Unpacked, all parts together."""
MOST_TIMES = 250
"""How many times its packed size a large part may unpack to; spreadsheets stay below a hundred."""
LARGE = 5_000_000
MOST_PARTS = 2000
MOST_ROWS = 1_048_576


def openpyxl() -> Any:
    """The package for workbooks; UsageError says how to get it."""
    from importlib import import_module

    try:
        return import_module("openpyxl")
    except ImportError:
        raise UsageError(
            "workbooks need the package openpyxl; install it with `pip install openpyxl`, or save the list as CSV"
        ) from None


class Workbook:
    """The rows of the first sheet of a workbook that hold something."""

    between = ","

    def __init__(self, path: Path) -> None:
        guard(path)
        try:
            self._book = openpyxl().load_workbook(path, read_only=True, data_only=True)
            self._sheet = self._book.worksheets[0]
            self._sheet.reset_dimensions()
        except UsageError:
            raise
        except Exception as e:
            # the package raises whatever its parsers do
            raise UsageError(f"'{path}' cannot be read as a workbook ({type(e).__name__}); save it again") from None
        self.at = 0

    def close(self) -> None:
        """Let the file go."""
        self._book.close()

    def __iter__(self) -> Iterator[Row]:
        rows = self._sheet.iter_rows(values_only=True)
        number = 0
        while True:
            try:
                values = next(rows, None)
            except Exception as e:
                raise UsageError(f"the workbook cannot be read beyond row {number} ({type(e).__name__})") from None
            if values is None:
                return
            number += 1
            cells = tuple(_text(v) for v in values)
            while cells and not cells[-1]:
                cells = cells[:-1]
            if not cells:
                continue
            if len(cells) > MOST_COLUMNS:
                yield Row(number, cells[:1], "parts-problem-wide")
            elif sum(map(len, cells)) > MOST_CHARACTERS:
                yield Row(number, (cells[0][:80],), "parts-problem-line-long")
            else:
                yield Row(number, cells)


def guard(path: Path) -> None:
    """Refuse a workbook that unpacks to far more than it is, or that declares entities."""
    try:
        with zipfile.ZipFile(path) as z:
            parts = z.infolist()
            whole = sum(p.file_size for p in parts)
            swollen = [p for p in parts if p.file_size > max(LARGE, MOST_TIMES * max(1, p.compress_size))]
            if len(parts) > MOST_PARTS or whole > MOST_BYTES or swollen:
                raise UsageError(
                    f"'{path}' unpacks to {whole // 1_000_000} MB in {len(parts)} parts, which no parts list does; "
                    "save only the sheet with the list, or save it as CSV"
                )
            for p in parts:
                if p.filename.endswith((".xml", ".rels")):
                    with z.open(p) as f:
                        if b"<!DOCTYPE" in f.read(4096).upper():
                            raise UsageError(f"'{path}' declares entities, which no workbook needs; save it as CSV")
    except (zipfile.BadZipFile, OSError, NotImplementedError, RuntimeError) as e:
        raise UsageError(f"'{path}' is no workbook that can be read ({e}); save it again, or as CSV") from None


def _text(value: Any) -> str:
    """A cell as text; whole numbers without a point.

    >>> _text(50.0), _text(10.9), _text(None)
    ('50', '10.9', '')
    """
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.10g}"
    return str(value)


class WorkbookOut:
    """A workbook that is being written; it is there when it is closed."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._book = openpyxl().Workbook(write_only=True)
        self._sheet = self._book.create_sheet("list")

    def put(self, cells: Sequence[str]) -> None:
        """Add a row."""
        self._sheet.append(list(cells))

    def close(self) -> None:
        """Write the file beside its place and move it there."""
        beside = self._path.with_name(self._path.name + ".part")
        self._book.save(beside)
        beside.replace(self._path)
