"""Years to first rust of a coat at a site: the one engine behind advice and `advisor life`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.records import NamedTuple
from advisor.trade.atmosphere import two_stage_years
from advisor.trade.tables import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Pair = tuple[float, float]

CAP_YEARS = 100.0
"""Longer lives are shown as "over 100": the figures do not carry further."""


class Coat(NamedTuple):
    """A coat as its life is counted.

    `method` is thickness (worn away at the rate of zinc) or band (years by custom, for coats of `reference_um` and
    more); `least_um` the least thickness promised, None where none is known; `bands` years by corrosivity class.
    """

    method: str
    least_um: float | None
    bands: Mapping[str, Pair] = {}
    reference_um: float = 0.0
    cites: tuple[str, ...] = ()


class Site(NamedTuple):
    """A place: slow and fast yearly loss of zinc in µm by class, and for soil how many years the fast one lasts."""

    rates: Mapping[str, Pair]
    first_years: Mapping[str, float] = {}
    cites: tuple[str, ...] = ()


class Life(NamedTuple):
    """Years to first rust, low to high, the facts behind, and the classes of the site for which nothing is known."""

    low: float
    high: float
    cites: tuple[str, ...]
    missing: tuple[str, ...] = ()


def life(coat: Coat, site: Site, classes: Sequence[str]) -> Life | None:
    """Life over the possible classes of a site; None where nothing is known for any of them.

    Pure zinc: the least thickness over the fast and over the slow rate (ISO 14713-1 with ISO 9223 Table 2); count on
    the low end. Coats without a rate of their own: the customary band of the class, cut down in proportion where the
    coat is thinner than those it was seen on, never stretched.

    >>> c3 = Site({"C3": (0.7, 2.1)})
    >>> [round(x, 1) for x in life(Coat("thickness", 8), c3, ("C3",))[:2]]
    [3.8, 11.4]
    >>> life(Coat("band", 4, {"C4": (4, 10), "C1": (100, 100)}, 8), c3, ("C4", "CX"))
    Life(low=2.0, high=5.0, cites=(), missing=('CX',))
    """
    found = [(c, _in_class(coat, site, c)) for c in classes]
    known = [pair for _, pair in found if pair is not None]
    if not known:
        return None
    cites = coat.cites if coat.method == "band" else (*coat.cites, *site.cites)
    missing = tuple(c for c, pair in found if pair is None)
    return Life(min(p[0] for p in known), max(p[1] for p in known), cites, missing)


def _in_class(coat: Coat, site: Site, category: str) -> Pair | None:
    if coat.method == "band":
        band = coat.bands.get(category)
        if band is None or band[0] >= CAP_YEARS or coat.least_um is None:
            return band
        share = min(1.0, coat.least_um / coat.reference_um)
        return band[0] * share, band[1] * share
    rate = site.rates.get(category)
    if coat.method != "thickness" or coat.least_um is None or rate is None:
        return None
    slow, fast = rate
    first = site.first_years.get(category)
    if first is not None:
        years = two_stage_years(coat.least_um, fast, first, slow)
        return years, years
    return coat.least_um / fast, coat.least_um / slow if slow else CAP_YEARS * 10


def coat_of(basis: Table, family: str, least_um: float | None, cites: tuple[str, ...]) -> Coat | None:
    """The coat of a family by the table of methods; None where the family has no life that can be counted.

    The table has the columns family, method, reference_um, and c1_low, c1_high to c5_high for bands.

    >>> t = Table("basis", ("family", "method", "reference_um"), (("dip", "thickness", None),))
    >>> coat_of(t, "dip", 50, ("f",)), coat_of(t, "paint", 50, ())
    (Coat(method='thickness', least_um=50, bands={}, reference_um=0.0, cites=('f', 'basis')), None)
    """
    for row in basis.records():
        if row["family"] != family:
            continue
        bands = {
            c.upper(): (_years(row[f"{c}_low"]), _years(row[f"{c}_high"]))
            for c in ("c1", "c2", "c3", "c4", "c5", "cx")
            if isinstance(row.get(f"{c}_low"), (int, float))
        }
        reference = row["reference_um"]
        um = float(reference) if isinstance(reference, (int, float)) else 0.0
        return Coat(str(row["method"]), least_um, bands, um, (*cites, basis.id))
    return None


def _years(cell: object) -> float:
    assert isinstance(cell, (int, float))
    return float(cell)


def site_in_air(rates: Table) -> Site:
    """The classes of the air with the limits of each as slow and fast loss of zinc, from the table of upper limits.

    >>> site_in_air(Table("r", ("category", "zinc_um_a"), (("C1", 0.1), ("C2", 0.7)))).rates
    {'C1': (0.0, 0.1), 'C2': (0.1, 0.7)}
    """
    out: dict[str, Pair] = {}
    before = 0.0
    for row in rates.records():
        upper = _years(row["zinc_um_a"])
        out[str(row["category"])] = (before, upper)
        before = upper
    return Site(out, {}, (rates.id,))


class LifeTable:
    """The life of every finish of a base that has one, remembered by finish and classes."""

    def __init__(
        self,
        basis: Table | None,
        rates: Table | None,
        families: Mapping[str, str],
        thickness: Mapping[str, Any],
    ) -> None:
        self._site = site_in_air(rates) if rates else Site({})
        self._basis = basis
        self._families = families
        self._thickness = thickness
        self._by_family: dict[str, Coat | None] = {}
        self._memo: dict[tuple[str, tuple[str, ...]], Life | None] = {}

    def years(self, finish: str, classes: tuple[str, ...]) -> Life | None:
        """Life of a finish over the possible classes; None where no coat is eaten or nothing is known."""
        key = (finish, classes)
        if key not in self._memo:
            coat = self._coat(finish)
            # bounded: finishes of the base times the few sets of classes that places have
            self._memo[key] = None if coat is None else life(coat, self._site, classes)
        return self._memo[key]

    def _coat(self, finish: str) -> Coat | None:
        """The coat of a finish; None where it has no life that can be counted."""
        family = self._families.get(finish)
        if family is None or self._basis is None:
            return None
        if family not in self._by_family:
            self._by_family[family] = coat_of(self._basis, family, None, ())
        coat, figure = self._by_family[family], self._thickness.get(finish)
        if coat is None or (figure is None and coat.method != "band"):
            return None
        cites = ((figure[0],) if figure else ()) + coat.cites
        return coat._replace(least_um=figure[1] if figure else None, cites=cites)

    @staticmethod
    def shown(years: float) -> str:
        """Years as people say them.

        >>> [LifeTable.shown(x) for x in (0.42, 3.81, 23.8, 500.0)]
        ['0.4', '3.8', '24', 'over 100']
        """
        if years > CAP_YEARS:
            return f"over {CAP_YEARS:g}"
        return f"{years:.1f}" if years < 10 else f"{years:.0f}"
