"""Years to first rust of a coat at a site: thickness over rate for zinc, a band of practice for flake and zinc-nickel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

CAP_YEARS = 100.0
"""Longer lives are shown as "over 100": the figures do not carry further."""


class Life(NamedTuple):
    """Years to first rust, low to high, with the facts behind."""

    low: float
    high: float
    cites: tuple[str, ...]


class LifeTable:
    """Rates of zinc by corrosivity class, and the life of every finish that has one."""

    def __init__(
        self,
        rates: Mapping[str, Any] | None,
        index: Mapping[str, int],
        zinc_coats: frozenset[str],
        thickness: Sequence[Any],
        bands: Sequence[Mapping[str, Any]],
    ) -> None:
        self._index = index
        self._zinc = zinc_coats
        self._thickness = thickness
        self._bands = bands
        self._table = str(rates["id"]) if rates else ""
        self._rates = zinc_rates(rates)
        self._memo: dict[tuple[str, tuple[str, ...]], Life | None] = {}

    def years(self, finish: str, classes: tuple[str, ...]) -> Life | None:
        """Life of a finish over the possible classes; None where no coat is eaten or nothing is known.

        Thickness over rate, lower figure with the upper rate (ISO 14713-1 with ISO 9223 Table 2); where the base has a
        band of years for the class (flake, zinc-nickel) that band.
        """
        key = (finish, classes)
        if key not in self._memo:
            self._memo[key] = self._years(finish, classes)
        return self._memo[key]

    def _years(self, finish: str, classes: tuple[str, ...]) -> Life | None:
        bands = self._bands[self._index[finish]]
        thickness = self._thickness[self._index[finish]]
        found: list[Life] = []
        for c in classes:
            if c in bands and bands[c][1] is not None:
                found.append(Life(float(bands[c][1]), float(bands[c][2]), (bands[c][0],)))
            elif not bands and finish in self._zinc and thickness is not None and c in self._rates:
                slow, fast = self._rates[c]
                low = thickness[1]
                found.append(Life(low / fast, low / slow if slow else CAP_YEARS * 10, (thickness[0], self._table)))
        if not found:
            return None
        cites = tuple(dict.fromkeys(x for f in found for x in f.cites))
        return Life(min(f.low for f in found), max(f.high for f in found), cites)

    @staticmethod
    def shown(years: float) -> str:
        """Years as people say them.

        >>> [LifeTable.shown(x) for x in (0.42, 3.81, 23.8, 500.0)]
        ['0.4', '3.8', '24', 'over 100']
        """
        if years > CAP_YEARS:
            return f"over {CAP_YEARS:g}"
        return f"{years:.1f}" if years < 10 else f"{years:.0f}"


def zinc_rates(table: Mapping[str, Any] | None) -> dict[str, tuple[float, float]]:
    """Class -> (lower, upper) first-year rate of zinc in µm/a, from the table of upper limits."""
    if table is None:
        return {}
    at = {c: i for i, c in enumerate(table["columns"])}
    out: dict[str, tuple[float, float]] = {}
    before = 0.0
    for row in table["rows"]:
        upper = float(row[at["zinc_um_a"]])
        out[str(row[at["category"]])] = (before, upper)
        before = upper
    return out
