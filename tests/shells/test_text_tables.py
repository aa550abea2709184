"""Tables as people send them: marks between cells, encodings, quotation marks, rows that are none."""

from __future__ import annotations

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.errors import UsageError
from advisor.shells.parts_out import disarmed
from advisor.shells.rows import Row
from advisor.shells.text_tables import TextTable

KNOWN = {"Size", "Length", "Größe", "Strength"}


def rows_of(data: bytes) -> list[Row]:
    return list(TextTable(io.BytesIO(data), "list.csv", lambda cell: cell in KNOWN))


def cells_of(data: bytes) -> list[tuple[str, ...]]:
    return [r.cells for r in rows_of(data)]


@pytest.mark.parametrize("between", [",", ";", "\t", "|"])
def test_the_mark_between_cells_is_found(between: str) -> None:
    data = f"Size{between}Length\nM8{between}20\nM10{between}30\n".encode()
    assert cells_of(data) == [("Size", "Length"), ("M8", "20"), ("M10", "30")]


def test_decimal_commas_do_not_part_cells_of_a_semicolon_table() -> None:
    assert cells_of(b"Size;Length\nM8;20,5\nM8;30,5\n")[1] == ("M8", "20,5")


def test_a_line_that_names_the_mark_is_heeded_and_no_row() -> None:
    assert cells_of(b"sep=|\nSize|Length\nM8|20\n") == [("Size", "Length"), ("M8", "20")]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_usual_encodings_are_read(encoding: str) -> None:
    assert cells_of("Größe;Length\nM8;20\n".encode(encoding))[0] == ("Größe", "Length")


def test_two_encodings_in_one_file_are_read_line_by_line() -> None:
    data = "Size;Größe\n".encode() + "M8;Güte\n".encode("cp1252") + "M8;Güte\n".encode()
    assert [c[1] for c in cells_of(data)] == ["Größe", "Güte", "Güte"]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_of_every_system(end: str) -> None:
    assert cells_of(f"Size;Length{end}M8;20{end}".encode()) == [("Size", "Length"), ("M8", "20")]


def test_a_cell_may_hold_marks_quotes_and_line_breaks() -> None:
    assert cells_of(b'Size,Length\n"M8, ""fine""\nx 1",20\n')[1] == ('M8, "fine"\nx 1', "20")


def test_inch_marks_within_a_cell_open_no_quotation() -> None:
    assert cells_of(b'Size;Length\n1/2" x 3";20\nM8;20\n')[1] == ('1/2" x 3"', "20")


def test_a_quotation_that_is_never_closed_loses_only_its_own_row() -> None:
    rows = rows_of(b'Size;Length\nM6;10\n"M8;20\nM10;30\nM12;40\n')
    assert [r.number for r in rows] == [1, 2, 3, 4, 5]
    assert [r.fault for r in rows] == ["", "", "parts-problem-quote", "", ""]
    assert rows[-1].cells == ("M12", "40")


def test_an_endless_row_is_passed_over_and_the_next_is_read() -> None:
    rows = rows_of(b"Size;Length\nM6;" + b"x" * 3_000_000 + b"\nM8;20\n")
    assert [(r.number, bool(r.fault)) for r in rows] == [(1, False), (2, True), (3, False)]
    assert rows[-1].cells == ("M8", "20")


def test_a_row_of_very_many_cells_is_told() -> None:
    rows = rows_of(b"Size;Length\n" + b"1;" * 5000 + b"\nM8;20\n")
    assert [r.fault for r in rows] == ["", "parts-problem-wide", ""]


@pytest.mark.parametrize("data", [b"", b"  \n\n", b"\x00\x01\x02binary", b"Size;" * 400_000])
def test_what_is_no_table_is_refused_in_one_sentence(data: bytes) -> None:
    with pytest.raises(UsageError) as e:
        rows_of(data)
    assert "list.csv" in str(e.value)
    assert "\n" not in str(e.value)


@given(st.lists(st.lists(st.text(st.characters(exclude_categories=["Cs", "Cc"])), min_size=2, max_size=2), max_size=8))
@settings(max_examples=100, deadline=None)
def test_what_was_written_is_read_again(rows: list[list[str]]) -> None:
    import csv

    text = io.StringIO()
    csv.writer(text, delimiter=";").writerows([["Size", "Length"], *rows])
    kept = [tuple(r) for r in rows if any(c.strip() for c in r)]
    assert cells_of(text.getvalue().encode())[1:] == kept


@pytest.mark.parametrize("cell", ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", " =1"])
def test_no_cell_that_a_spreadsheet_would_run_is_written(cell: str) -> None:
    # the marks that begin a formula: OWASP, "CSV Injection": = + - @ tab carriage return
    assert disarmed(cell).startswith("'")


@pytest.mark.parametrize("cell", ["-5", "+0,5", "M10", "10.9", "-12.75", ""])
def test_numbers_and_words_stay_as_they_are(cell: str) -> None:
    assert disarmed(cell) == cell
