"""Tables in text files: any mark between the cells, any common encoding; a bad row is told and passed over."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.shells.rows import LOOKED_AT, MOST_CHARACTERS, MOST_COLUMNS, MOST_LINES_A_ROW, Row

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import BinaryIO

SAMPLE_BYTES = 1 << 16
SAMPLE_CHARACTERS = 10_000
"""Of each line of the sample."""
BETWEEN = (",", ";", "\t", "|")
"""What may stand between cells, the most usual first."""
UTF_8_MARK = b"\xef\xbb\xbf"
UTF_16_MARKS = (b"\xff\xfe", b"\xfe\xff")
NAMED_BETWEEN = "sep="
"""A first line with which spreadsheets say what stands between cells."""


class _Raw(NamedTuple):
    """One physical line: number, text, where it ends in the file, whether a line end closes it."""

    number: int
    text: str
    end: int
    whole: bool


class _Unclosed(Exception):
    """A quotation mark opens in a row and is not closed."""


class TextTable:
    """The rows of a text table, from the top; `at` tells how many bytes have been read."""

    def __init__(self, stream: BinaryIO, name: str, known: Callable[[str], bool]) -> None:
        sample = stream.read(SAMPLE_BYTES)
        stream.seek(0)
        if not sample.strip():
            raise UsageError(f"'{name}' is empty; a parts list has a row of headings and a row for each part")
        wide = sample[:2] in UTF_16_MARKS
        if b"\0" in sample and not wide:
            raise UsageError(f"'{name}' is no table: it holds binary data; save it as CSV or XLSX")
        self._stream = stream
        self._back: list[_Raw] = []
        self._count = 0
        self._ended = True
        self.at = 0
        self._text: io.TextIOWrapper | None = None
        if wide or (b"\r" in sample and b"\n" not in sample):
            # wide characters, and line ends of an old kind: the interpreter's own reader takes them apart
            self._text = io.TextIOWrapper(stream, "utf-16" if wide else "cp1252", "replace", newline=None)
        first = [self._raw() for _ in range(LOOKED_AT * 2)]
        held = [r for r in first if r is not None]
        if held and not held[0].whole and len(held[0].text) >= MOST_CHARACTERS:
            raise UsageError(f"'{name}' is no table: its first row is longer than {MOST_CHARACTERS} characters")
        if held and held[0].text.strip().lower().startswith(NAMED_BETWEEN) and len(held[0].text.strip()) == 5:
            self.between = held.pop(0).text.strip()[-1]
        else:
            self.between = _found_between([r.text[:SAMPLE_CHARACTERS] for r in held], known)
        self._back = held[::-1]

    def close(self) -> None:
        """Let the file go."""
        (self._text or self._stream).close()

    def __iter__(self) -> Iterator[Row]:
        """Every row that holds something."""
        while True:
            row = self._row()
            if row is None:
                return
            if row.fault or any(c.strip() for c in row.cells):
                yield row

    def _raw(self) -> _Raw | None:
        if self._back:
            return self._back.pop()
        data: bytes | str
        if self._text is not None:
            data = text = self._text.readline(MOST_CHARACTERS)
        else:
            data = self._stream.readline(MOST_CHARACTERS)
            if self._count == 0 and data.startswith(UTF_8_MARK):
                self.at += len(UTF_8_MARK)
                data = data[len(UTF_8_MARK) :]
            text = _decoded(data)
        if not data:
            return None
        self._count += self._ended
        self._ended = text.endswith(("\n", "\r"))
        self.at += len(data)
        return _Raw(self._count, text, self.at, self._ended)

    def _row(self) -> Row | None:
        first = self._raw()
        if first is None:
            return None
        if not first.whole and len(first.text) >= MOST_CHARACTERS // 2 and self._skip_rest():
            return Row(first.number, (first.text[:80],), "parts-problem-line-long", self.at)
        taken: list[_Raw] = []
        try:
            cells = next(csv.reader(self._lines_of_row(first, taken), delimiter=self.between), [])
        except (_Unclosed, csv.Error):
            # only the row in which it opens is lost: what follows is read again as rows of its own
            self._back.extend(taken[:0:-1])
            return Row(first.number, (first.text.strip()[:200],), "parts-problem-quote", first.end, first.whole)
        if len(cells) > MOST_COLUMNS:
            return Row(first.number, tuple(cells[:1]), "parts-problem-wide", taken[-1].end)
        return Row(first.number, tuple(cells), "", taken[-1].end, taken[-1].whole)

    def _lines_of_row(self, first: _Raw, taken: list[_Raw]) -> Iterator[str]:
        taken.append(first)
        yield first.text
        size = len(first.text)
        while True:
            more = self._raw()
            if more is None or len(taken) >= MOST_LINES_A_ROW or size > MOST_CHARACTERS:
                if more is not None:
                    taken.append(more)
                raise _Unclosed
            taken.append(more)
            size += len(more.text)
            yield more.text

    def _skip_rest(self) -> bool:
        """Pass over what is left of a line that is too long; False where it ended by itself."""
        passed = 0
        while (more := self._raw()) is not None:
            passed += len(more.text)
            if more.whole:
                break
        return passed > 0


def _decoded(data: bytes) -> str:
    """A line as UTF-8, or where it is none, in the encoding of older office programs."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _found_between(lines: Sequence[str], known: Callable[[str], bool]) -> str:
    """What stands between the cells: with it a row of headings is known, and the rows have as many cells as that.

    >>> _found_between(["Size;Length", "M8;8,8", "M8;20,5"], lambda cell: cell == "Size")
    ';'
    """
    return max(BETWEEN, key=lambda b: _fitness(lines, b, known))


def _fitness(lines: Sequence[str], between: str, known: Callable[[str], bool]) -> tuple[int, float, int]:
    rows: list[list[str]] = []
    with suppress(csv.Error):
        rows = [r for r in csv.reader(lines, delimiter=between) if r]
    if not rows:
        return 0, 0.0, 0
    heads = [sum(known(c) for c in r[:MOST_COLUMNS]) for r in rows[:LOOKED_AT]]
    best = max(heads)
    width = len(rows[heads.index(best)]) if best else Counter(len(r) for r in rows).most_common(1)[0][0]
    return best, sum(len(r) == width for r in rows) / len(rows), width
