"""Workbooks as parts lists: read, written, gone on with; those that would burst are refused before they are opened."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.errors import UsageError
from advisor.shells.cli import run
from advisor.shells.workbooks import guard

SHEET = "xl/worksheets/sheet1.xml"
Rows = list[list[object]]


@pytest.fixture
def written(tmp_path: Path) -> Callable[[Rows], Path]:
    """A workbook with these rows in its first sheet."""
    openpyxl = pytest.importorskip("openpyxl")

    def write(rows: Rows) -> Path:
        book = openpyxl.Workbook()
        for row in rows:
            book.active.append(row)
        path = tmp_path / "list.xlsx"
        book.save(path)
        return path

    return write


def cells(path: Path) -> list[list[object]]:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.load_workbook(path)
    return [list(r) for r in book.worksheets[0].iter_rows(values_only=True)]


LIST: Rows = [
    ["Branch list", None, None],
    ["Description", "Class", "Qty"],
    ["Hex bolt M10 x 50", 10.9, 200],
    [None, None, None],
    ["'=1+1 carriage bolt M8 x 80", 4.6, 33],
]


def test_a_workbook_comes_back_with_its_own_columns_first(written: Callable[[Rows], Path], tmp_path: Path) -> None:
    out = tmp_path / "out.xlsx"
    assert run(["parts", str(written(LIST)), "--site", "coastal", "--out", str(out)]) == 0
    head, *rows = cells(out)
    assert head[:3] == ["Description", "Class", "Qty"]
    assert [r[:3] for r in rows] == [["Hex bolt M10 x 50", "10.9", "200"], ["'=1+1 carriage bolt M8 x 80", "4.6", "33"]]
    assert all(r[5] for r in rows), "each has a finish"
    before = out.read_bytes()
    assert run(["parts", str(tmp_path / "list.xlsx"), "--site", "coastal", "--out", str(out)]) == 0
    assert [r[:9] for r in cells(out)] == [head[:9], *(r[:9] for r in rows)], "done once, not twice"
    assert before


def test_a_cell_that_would_run_is_text_in_the_result(written: Callable[[Rows], Path], tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Description,Remark\nHex bolt M8 8.8,=HYPERLINK(1)\n", "utf-8")
    out = tmp_path / "out.xlsx"
    pytest.importorskip("openpyxl")
    run(["parts", str(path), "--out", str(out)])
    assert cells(out)[1][1] == "'=HYPERLINK(1)"


def test_a_sheet_that_claims_a_million_columns_is_read_by_what_it_holds(
    written: Callable[[Rows], Path], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = written([["Description"], ["Hex bolt M8 8.8 indoors"]])
    claimed = tmp_path / "claimed.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(claimed, "w") as new:
        for part in old.namelist():
            data = old.read(part)
            new.writestr(part, data.replace(b'ref="A1:A2"', b'ref="A1:XFD1048576"') if part == SHEET else data)
    assert run(["parts", str(claimed), "--json"]) == 0
    assert capsys.readouterr().out.count('"line": ') == 1


def test_a_bomb_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as z:
        z.writestr(SHEET, b"<row/>" * 20_000_000)
    with pytest.raises(UsageError, match="unpacks to 120 MB"):
        guard(path)


def test_declared_entities_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "entities.xlsx"
    with zipfile.ZipFile(path, "w") as z:
        z.writestr(SHEET, b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aa">]><x>&a;</x>')
    with pytest.raises(UsageError, match="entities"):
        guard(path)
