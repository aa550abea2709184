"""Corrosion of metals in air: categories, dose-response estimates, loss over the years, and the life of a zinc coat."""

from __future__ import annotations

from math import exp

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.trade.tables import Table

LONG_TERM_YEARS = 20.0
"""Up to here the power law of ISO 9224:2012 holds; beyond, the loss goes on in a straight line."""


class Climate(NamedTuple):
    """Annual means of a site: °C, % relative humidity, and deposition of SO2 and chloride in mg/(m²·d)."""

    temperature: float
    humidity: float
    so2: float
    chloride: float


class DoseResponse(NamedTuple):
    """Coefficients of one metal in ISO 9223:2012, equations (1) to (4)."""

    k1: float
    p: float
    h1: float
    f_cold: float
    f_warm: float
    k2: float
    s: float
    h2: float
    t2: float


class Estimate(NamedTuple):
    """First-year corrosion in µm/a: the part driven by SO2, the part driven by chloride."""

    so2_part_um_a: float
    chloride_part_um_a: float

    @property
    def total_um_a(self) -> float:
        return self.so2_part_um_a + self.chloride_part_um_a


# categories --------------------------------------------------------------------------------------------------------


def category_of(limits: Table, column: str, rate: float) -> str:
    """The corrosivity category of a first-year loss; a rate equal to a limit still belongs to the class.

    `column` is one of the table's, e.g. `zinc_um_a` (µm/a) or `steel_g_m2_a` (g/m² in a year).
    Source: ISO 9223:2012, Table 2. Raises UsageError for a negative rate and for one above the top of the table.

    >>> t = Table("limits", ("category", "zinc_um_a"), (("C1", 0.1), ("C2", 0.7), ("C3", 2.1)))
    >>> category_of(t, "zinc_um_a", 0.7), category_of(t, "zinc_um_a", 1.4)
    ('C2', 'C3')
    """
    if rate < 0:
        raise UsageError(f"a corrosion rate of {rate:g} is negative; give a loss of 0 or more")
    top = 0.0
    for row in limits.records():
        upper = row[column]
        if upper is None or (isinstance(upper, (int, float)) and rate <= upper):
            return str(row["category"])
        top = float(upper)
    raise UsageError(
        f"a first-year loss of {rate:g} is above the highest category (up to {top:g}); no category covers it, "
        "an engineer must judge the site"
    )


def rate_bounds(limits: Table, column: str, category: str) -> tuple[float, float]:
    """Lower and upper limit of a category, in the unit of the column.

    Source: ISO 9223:2012, Table 2 (the lower limit is the upper limit of the class before).
    Raises UsageError for an unknown category, and where the class is open at the top.

    >>> t = Table("limits", ("category", "zinc_um_a"), (("C1", 0.1), ("C2", 0.7), ("C3", 2.1)))
    >>> rate_bounds(t, "zinc_um_a", "C3"), rate_bounds(t, "zinc_um_a", "C1")
    ((0.7, 2.1), (0.0, 0.1))
    """
    lower = 0.0
    for row in limits.records():
        upper = row[column]
        if row["category"] == category:
            if not isinstance(upper, (int, float)):
                raise UsageError(f"category {category} has no upper limit for this metal; it is open above {lower:g}")
            return lower, float(upper)
        if isinstance(upper, (int, float)):
            lower = float(upper)
    known = ", ".join(str(c) for c in limits.column("category"))
    raise UsageError(f"'{category}' is not a corrosivity category; the categories are {known}")


# estimate from the climate -----------------------------------------------------------------------------------------


def coefficients(table: Table, metal: str) -> DoseResponse:
    """The dose-response coefficients of one metal; UsageError names the metals the table knows.

    >>> names = ("metal", "k1", "p", "h1", "f_cold", "f_warm", "k2", "s", "h2", "t2")
    >>> t = Table("drf", names, (("zinc", 0.0129, 0.44, 0.046, 0.038, -0.071, 0.0175, 0.57, 0.008, 0.085),))
    >>> coefficients(t, "zinc").k1
    0.0129
    """
    for row in table.records():
        if row["metal"] == metal:
            return DoseResponse(**{name: float(row[name] or 0.0) for name in DoseResponse._fields})
    known = ", ".join(str(m) for m in table.column("metal"))
    raise UsageError(f"there is no dose-response function for '{metal}'; there is one for {known}")


def check_climate(ranges: Table, climate: Climate) -> None:
    """UsageError when an input lies outside the range in which the functions hold; nothing is extrapolated.

    Source: ISO 9223:2012, Table 3.

    >>> t = Table("ranges", ("input", "unit", "low", "high"), (("temperature", "°C", -17.1, 28.7),))
    >>> check_climate(t, Climate(10, 80, 10, 60))
    >>> check_climate(t, Climate(-20, 80, 10, 60))
    Traceback (most recent call last):
    ...
    advisor.errors.UsageError: a temperature of -20 °C is outside the range of the functions, -17.1 to 28.7 °C; \
measure the first-year loss on site or name a category with --site
    """
    for row in ranges.records():
        name, unit = str(row["input"]), str(row["unit"])
        value = float(getattr(climate, name))
        low, high = float(row["low"] or 0.0), float(row["high"] or 0.0)
        if not low <= value <= high:
            raise UsageError(
                f"a {name} of {value:g} {unit} is outside the range of the functions, {low:g} to {high:g} {unit}; "
                "measure the first-year loss on site or name a category with --site"
            )


def dose_response(c: DoseResponse, climate: Climate) -> Estimate:
    """First-year corrosion of a flat bare sheet in µm/a from annual means of the climate.

    r = k1·Pd^p·exp(h1·RH + f·(T - 10)) + k2·Sd^s·exp(h2·RH + t2·T), f = f_cold up to 10 °C and f_warm above;
    Pd and Sd in mg/(m²·d). Source: ISO 9223:2012, equations (1) to (4). Does not check the range: see check_climate.

    >>> steel = DoseResponse(1.77, 0.52, 0.020, 0.150, -0.054, 0.102, 0.62, 0.033, 0.040)
    >>> round(dose_response(steel, Climate(10, 80, 10, 60)).total_um_a, 2)
    56.03
    """
    t, rh, pd, sd = climate
    f = c.f_cold if t <= 10 else c.f_warm
    return Estimate(
        c.k1 * pd**c.p * exp(c.h1 * rh + f * (t - 10)),
        c.k2 * sd**c.s * exp(c.h2 * rh + c.t2 * t),
    )


# over the years ----------------------------------------------------------------------------------------------------


def loss_after(rate_um_a: float, exponent: float, years: float) -> float:
    """Loss in µm after some years from the first-year rate.

    D = r·t^b up to 20 years, then D = r·[20^b + b·20^(b-1)·(t - 20)]. Source: ISO 9224:2012, clause 6.
    Raises UsageError for negative years.

    >>> round(loss_after(50, 0.575, 20), 1), round(loss_after(50, 0.523, 50), 1)
    (279.9, 427.5)
    """
    if years < 0:
        raise UsageError(f"{years:g} years are negative; give 0 or more")
    if years <= LONG_TERM_YEARS:
        return float(rate_um_a * years**exponent)
    at_limit = LONG_TERM_YEARS**exponent
    slope = exponent * LONG_TERM_YEARS ** (exponent - 1)
    return float(rate_um_a * (at_limit + slope * (years - LONG_TERM_YEARS)))


def years_until(rate_um_a: float, exponent: float, thickness_um: float) -> float:
    """Years until a thickness in µm is gone, the inverse of loss_after.

    Below one year the power law would give a shorter life than the straight rate, for which the standard offers no
    support: there the straight rate counts. Source: ISO 9224:2012, clause 6, solved for the time.
    Raises UsageError unless rate and thickness are above 0.

    >>> round(years_until(2.1, 0.873, 8), 1), round(years_until(10, 0.873, 5), 2)
    (4.6, 0.5)
    """
    _positive("a corrosion rate", rate_um_a, "µm/a")
    _positive("a thickness", thickness_um, "µm")
    ratio = thickness_um / rate_um_a
    if ratio <= 1:
        return ratio
    at_limit = LONG_TERM_YEARS**exponent
    if ratio <= at_limit:
        return float(ratio ** (1 / exponent))
    slope = exponent * LONG_TERM_YEARS ** (exponent - 1)
    return float(LONG_TERM_YEARS + (ratio - at_limit) / slope)


def thickness_for(years: float, rate_um_a: tuple[float, float]) -> tuple[float, float]:
    """Thickness in µm that lasts some years at the lower and at the upper rate, straight line.

    Source: ISO 14713-1:2017 and ISO 1461 Annex E (life in proportion to zinc
    thickness). Raises UsageError unless years are above 0.

    >>> [round(x, 1) for x in thickness_for(10, (0.7, 2.1))]
    [7.0, 21.0]
    """
    _positive("a wanted life", years, "years")
    return rate_um_a[0] * years, rate_um_a[1] * years


def two_stage_years(thickness_um: float, first_um_a: float, first_years: float, later_um_a: float) -> float:
    """Years until a coat in soil is gone: one rate in the first years, a lower one after.

    Source: AASHTO 2017 for zinc in selected backfill (15 µm/a for two years, then 4 µm/a).
    Raises UsageError unless thickness and rates are above 0.

    >>> two_stage_years(86, 15, 2, 4), two_stage_years(50, 15, 2, 4), two_stage_years(15, 15, 2, 4)
    (16.0, 7.0, 1.0)
    """
    _positive("a thickness", thickness_um, "µm")
    _positive("a corrosion rate", min(first_um_a, later_um_a), "µm/a")
    at_first = first_um_a * first_years
    if thickness_um <= at_first:
        return thickness_um / first_um_a
    return first_years + (thickness_um - at_first) / later_um_a


def _positive(what: str, value: float, unit: str) -> None:
    if not value > 0:
        raise UsageError(f"{what} of {value:g} {unit} makes no sense; give a number above 0")
