"""`advisor convert`: hardness and strength, coating mass and thickness, lengths, torques, forces, temperatures."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.entries import typed
from advisor.calculations.options import Calculation, Option
from advisor.calculations.sayings import Sayings, figure, rounded
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade import units as u
from advisor.trade.units import Unit

OPTIONS: tuple[Option, ...] = (
    Option("value", "a number, e.g. 8, 0.5, 1/2", True, True, slots=("value",)),
    Option(
        "unit",
        "its unit: HRC, HV, HB, HRB, MPa, ksi, um, mil, mm, inch, g/m2, oz/ft2, N.m, lbf.ft, kN …",
        True,
        True,
        slots=("unit",),
    ),
    Option(
        "to", "the unit wanted; without it the usual counterpart, with all others beside it", slots=("unit_wanted",)
    ),
    Option("metal", "metal of the coat for mass and thickness; zinc without it"),
)
EXAMPLE = "advisor convert 39 HRC --to HV"

_HARDNESS = ("hardness-conversion", "hardness-conversion-hrb", "hardness-conversion-hard")


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """The value in the unit wanted and in all others; UsageError for unknown units and values outside the tables."""
    given = typed(inputs)
    for key in ("value", "unit"):
        if key not in given:
            raise UsageError(f"the {key} is missing; for example: {EXAMPLE}")
    table = base.table("unit-factors")
    value, unit = u.read_number(given["value"]), u.find_unit(table, given["unit"])
    metal, density = u.density_of(base.table("densities"), given.get("metal", "zinc"))
    hardness = tuple(base.table(i) for i in _HARDNESS)
    values: dict[str, float] = {}
    failure: UsageError | None = None
    wanted = u.find_unit(table, given["to"]).name if "to" in given else ""
    for name in dict.fromkeys((*([wanted] if wanted else []), *u.partners(table, unit))):
        other = u.find_unit(table, name)
        if name != wanted and {unit.kind, other.kind} == {"length", "mass-per-area"} and _no_coat(value, unit):
            continue
        try:
            values[name] = rounded(u.convert(table, hardness, density, value, unit, other), 7)
        except UsageError as e:
            # beside the wanted unit, a scale whose table ends earlier is left out
            if name == wanted:
                raise
            failure = failure or e
    if not values:
        raise failure or UsageError(f"{unit.name} has no other unit here")
    to = wanted or next(iter(values))
    found = (values.pop(to), u.find_unit(table, to))
    return _answer(base, given, (value, unit), found, values, (metal, density))


def _no_coat(value: float, unit: Unit) -> bool:
    """Whether a length is no thickness of a coat: 1 mm and more, or below zero."""
    return unit.kind == "length" and value * unit.factor >= 1


def _reaches(base: Base, table_id: str, start: tuple[float, Unit], found: tuple[float, Unit]) -> bool:
    """Whether both figures stand in a table of hardness: then it may be the one that was read."""
    table = base.table(table_id)
    for value, unit in (start, found):
        column = "tensile_mpa" if unit.kind == "stress" else unit.name.lower()
        figures = [c for c in table.column(column) if isinstance(c, (int, float))] if column in table.columns else []
        number = value * unit.factor if unit.kind == "stress" else value
        if not figures or not min(figures) <= number <= max(figures):
            return False
    return True


def _answer(
    base: Base,
    given: Mapping[str, str],
    start: tuple[float, Unit],
    found: tuple[float, Unit],
    also: Mapping[str, float],
    metal: tuple[str, float],
) -> Calculation:
    say = Sayings(base, "convert")
    (value, unit), (result, to) = start, found
    lines = [say("result", value=figure(value, 5), unit=unit.name, result=figure(result, 5), to=to.name)]
    if also:
        lines.append(say("also", list=", ".join(f"{figure(v, 5)} {n}" for n, v in also.items())))
    kinds = {unit.kind, to.kind}
    coat = "mass-per-area" in kinds or "g/m2" in also
    cites = ["unit-factors"]
    method = "factor"
    if coat:
        method = "density"
        cites.append("densities")
        lines.append(say("metal", metal=metal[0], density=metal[1]))
    elif "hardness" in kinds:
        method = "hardness"
        cites = [t for t in _HARDNESS if _reaches(base, t, (value, unit), (result, to))]
        lines.append(say("hardness"))
    elif "temperature" in kinds:
        method = "temperature"
    results: dict[str, object] = {"value": result, "unit": to.name, "also": dict(also)}
    if coat:
        results["metal"] = metal[0]
    return Calculation("convert", dict(given), results, say(f"method-{method}"), tuple(lines), tuple(cites))
