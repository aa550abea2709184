"""Hardness and tensile strength of steel converted by published tables, never outside them."""

from __future__ import annotations

from bisect import bisect_right

from advisor.errors import UsageError
from advisor.trade.tables import Table


def interpolate(table: Table, x_column: str, y_column: str, x: float, what: str) -> float:
    """The value of one column at a value of another, linear between the rows of a table.

    Rows may stand in any order; rows without a number in either column are left out.
    Raises UsageError outside the table: nothing is extrapolated.

    >>> t = Table("demo", ("hrc", "hv"), ((38.0, 372.0), (39.0, 382.0)))
    >>> interpolate(t, "hrc", "hv", 38.5, "Rockwell C hardness")
    377.0
    """
    cells = zip(table.column(x_column), table.column(y_column), strict=True)
    pairs = sorted((a, b) for a, b in cells if isinstance(a, (int, float)) and isinstance(b, (int, float)))
    xs = [p[0] for p in pairs]
    if not xs[0] <= x <= xs[-1]:
        raise UsageError(
            f"{what} {x:g} lies outside the published table ({xs[0]:g} to {xs[-1]:g}); "
            "measure the part in the wanted scale instead of converting"
        )
    i = min(bisect_right(xs, x), len(xs) - 1)
    (x0, y0), (x1, y1) = pairs[i - 1], pairs[i]
    return y0 if x1 == x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def convert_hardness(tables: tuple[Table, ...], scale: str, value: float, to: str) -> float:
    """A hardness or tensile strength in another scale: `hrc`, `hrb`, `hv`, `hb`, `tensile_mpa`.

    `tables` are tried in order (harder steel first); the first that has both scales and reaches the value counts.
    Source: the conversion tables of ASTM A370 and E140 for carbon and low-alloy steel. Approximate: a limit is
    never converted.
    Raises UsageError when no table reaches the value.

    >>> hard = Table("hard", ("hrc", "hv"), ((20.0, 238.0), (21.0, 243.0)))
    >>> soft = Table("soft", ("hrb", "hv"), ((98.0, 228.0), (100.0, 240.0)))
    >>> convert_hardness((hard, soft), "hrc", 20, "hv"), convert_hardness((hard, soft), "hrb", 99, "hv")
    (238.0, 234.0)
    """
    usable = [t for t in tables if scale in t.columns and to in t.columns]
    if not usable:
        raise UsageError(f"no published table turns {scale.upper()} into {to.upper()}; give the value in HRC, HV or HB")
    failure: UsageError | None = None
    for t in usable:
        try:
            return interpolate(t, scale, to, value, SCALE_NAMES.get(scale, scale))
        except UsageError as e:
            failure = failure or e
    assert failure is not None
    raise failure


SCALE_NAMES = {
    "hrc": "a Rockwell C hardness of",
    "hrb": "a Rockwell B hardness of",
    "hv": "a Vickers hardness of",
    "hb": "a Brinell hardness of",
    "tensile_mpa": "a tensile strength in MPa of",
}
"""How a scale is named in a message."""
