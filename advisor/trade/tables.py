"""A published table as data: named columns, rows, and where it was printed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.records import NamedTuple

Cell = float | str | None


class Table(NamedTuple):
    """One table of figures with its citation id.

    `id` is the node id in the knowledge base; it is what an answer cites.
    """

    id: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def records(self) -> Iterator[Mapping[str, Cell]]:
        """Each row as a mapping column -> cell.

        >>> t = Table("demo", ("size", "pitch_mm"), (("M10", 1.5),))
        >>> [dict(r) for r in t.records()]
        [{'size': 'M10', 'pitch_mm': 1.5}]
        """
        for row in self.rows:
            yield dict(zip(self.columns, row, strict=True))

    def column(self, name: str) -> tuple[Cell, ...]:
        """All cells of one column; KeyError names the column and the table when it does not exist.

        >>> Table("demo", ("a",), ((1.0,), (2.0,))).column("a")
        (1.0, 2.0)
        """
        if name not in self.columns:
            raise KeyError(f"table {self.id} has no column {name}; it has {', '.join(self.columns)}")
        i = self.columns.index(name)
        return tuple(row[i] for row in self.rows)
