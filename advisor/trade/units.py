"""Conversions of the workshop: units by factors, coating mass and thickness by density, hardness by table."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.trade.hardness import convert_hardness
from advisor.trade.tables import Table

ABSOLUTE_ZERO_C = -273.15


class Unit(NamedTuple):
    """A unit: its name, kind, factor to the base unit of the kind, and its usual counterpart."""

    name: str
    kind: str
    factor: float
    counterpart: str


def read_number(text: str) -> float:
    """A number as typed: 12, 0.5, 0,5, 1/2, 1-1/2, 1 1/2.

    >>> read_number("0,5"), read_number("1/2"), read_number("1-1/2"), read_number("-40")
    (0.5, 0.5, 1.5, -40.0)
    """
    t = text.strip().replace(",", ".").replace("−", "-")
    m = re.fullmatch(r"(?:(\d+)[ -])?(\d+)/([1-9]\d*)", t)
    if m:
        return int(m[1] or 0) + int(m[2]) / int(m[3])
    if re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d{1,2})?", t.lower()):
        return float(t)
    raise UsageError(f"'{text}' is not a number; write it as 12, 0.5 or 1/2")


def find_unit(table: Table, text: str) -> Unit:
    """The unit a spelling means; UsageError lists the units.

    >>> t = Table("u", ("unit", "kind", "factor", "counterpart", "spellings"),
    ...           (("lbf.ft", "torque", 1.3558, "N.m", "ft-lb ft.lb"),))
    >>> find_unit(t, "Ft-Lb").name, find_unit(t, "lbf·ft").kind
    ('lbf.ft', 'torque')
    """
    key = _key(text)
    for r in table.records():
        if key in (_key(str(r["unit"])), *(_key(s) for s in str(r["spellings"]).split())):
            factor = r["factor"] if isinstance(r["factor"], (int, float)) else 1
            return Unit(str(r["unit"]), str(r["kind"]), float(factor), str(r["counterpart"]))
    names = ", ".join(str(x) for x in table.column("unit"))
    raise UsageError(f"'{text}' is not a unit known here; units: {names}")


def _key(text: str) -> str:
    t = text.strip().lower().replace("²", "2").replace("^2", "2").replace("μ", "u").replace("µ", "u")
    t = t.rstrip(".") if len(t) > 1 else t
    return t.replace("·", ".").replace("*", ".").replace(" ", ".").replace("°", "").replace('"', "in")


def density_of(table: Table, metal: str) -> tuple[str, float]:
    """Name and density in g/cm³ of a metal; UsageError lists the metals.

    >>> density_of(Table("d", ("metal", "density_g_cm3", "words"), (("zinc", 7.14, "zn"),)), "Zn")
    ('zinc', 7.14)
    """
    key = "-".join(metal.strip().lower().split())
    for r in table.records():
        if key == r["metal"] or key in str(r["words"]).split():
            return str(r["metal"]), float(str(r["density_g_cm3"]))
    raise UsageError(f"no density is known for '{metal}'; metals: {', '.join(str(x) for x in table.column('metal'))}")


def thickness_from_mass_um(mass_g_m2: float, density_g_cm3: float) -> float:
    """Thickness in µm of a coat of so many g/m² on one face: mass / density.

    >>> round(thickness_from_mass_um(610, 7.14), 1)
    85.4
    """
    return mass_g_m2 / density_g_cm3


def mass_from_thickness_g_m2(thickness_um: float, density_g_cm3: float) -> float:
    """Coating mass in g/m² on one face: thickness in µm times density in g/cm³.

    >>> mass_from_thickness_g_m2(1, 7.14)
    7.14
    """
    return thickness_um * density_g_cm3


def convert(
    units: Table, hardness: tuple[Table, ...], density_g_cm3: float, value: float, unit: Unit, to: Unit
) -> float:
    """A value in another unit; lengths of coats and mass per area are joined by the density.

    Hardness and tensile strength: published table, linear between rows, never outside it.
    Raises UsageError for kinds that do not belong together, for a size below zero and below absolute zero.

    >>> t = Table("u", ("unit", "kind", "factor", "counterpart", "spellings"),
    ...           (("um", "length", 0.001, "mil", ""), ("oz/ft2", "mass-per-area", 305.15, "um", ""),
    ...            ("C", "temperature", 1, "F", ""), ("F", "temperature", 1, "C", "")))
    >>> u = {n: find_unit(t, n) for n in ("um", "oz/ft2", "C", "F")}
    >>> round(convert(t, (), 7.14, 1, u["oz/ft2"], u["um"]), 2), convert(t, (), 7.14, 100, u["C"], u["F"])
    (42.74, 212.0)
    """
    if unit.kind != "temperature" and value < 0:
        raise UsageError(f"{value:g} {unit.name} is below zero; give a positive number")
    if unit.kind == to.kind == "temperature":
        return _temperature(value, unit.name, to.name)
    if _joined(unit, to):
        if unit.kind == to.kind:
            return value * unit.factor / to.factor
        if unit.kind == "length":
            return mass_from_thickness_g_m2(value * unit.factor * 1000, density_g_cm3) / to.factor
        return thickness_from_mass_um(value * unit.factor, density_g_cm3) / 1000 / to.factor
    if {unit.kind, to.kind} <= {"hardness", "stress"}:
        scale, start = _scale(unit, value)
        wanted, _ = _scale(to, 0)
        found = convert_hardness(hardness, scale, start, wanted)
        return found / to.factor if to.kind == "stress" else found
    raise UsageError(
        f"{unit.name} cannot be turned into {to.name}; {unit.name} goes into {', '.join(partners(units, unit))}"
    )


def _joined(unit: Unit, to: Unit) -> bool:
    if unit.kind == to.kind:
        return unit.kind != "hardness" or unit.name == to.name
    return {unit.kind, to.kind} == {"length", "mass-per-area"}


def _scale(unit: Unit, value: float) -> tuple[str, float]:
    return ("tensile_mpa", value * unit.factor) if unit.kind == "stress" else (unit.name.lower(), value)


def _temperature(value: float, unit: str, to: str) -> float:
    celsius = value if unit == "C" else (value - 32) / 1.8
    if celsius < ABSOLUTE_ZERO_C - 1e-9:
        raise UsageError(f"{value:g} °{unit} is below absolute zero (-273.15 °C); check the number")
    return float(celsius if to == "C" else round(celsius * 1.8 + 32, 9))


def partners(units: Table, unit: Unit) -> tuple[str, ...]:
    """The other units a unit can be turned into, its usual counterpart first.

    >>> t = Table("u", ("unit", "kind", "factor", "counterpart", "spellings"),
    ...           (("N", "force", 0.001, "lbf", ""), ("kN", "force", 1, "lbf", ""), ("lbf", "force", 0.0044, "kN", "")))
    >>> partners(t, find_unit(t, "N"))
    ('lbf', 'kN')
    """
    joined: Mapping[str, tuple[str, ...]] = {
        "length": ("length", "mass-per-area"),
        "mass-per-area": ("mass-per-area", "length"),
        "hardness": ("hardness", "stress"),
        "stress": ("stress", "hardness"),
    }
    kinds = joined.get(unit.kind, (unit.kind,))
    names = [str(r["unit"]) for k in kinds for r in units.records() if r["kind"] == k and r["unit"] != unit.name]
    return (unit.counterpart, *(n for n in names if n != unit.counterpart))
