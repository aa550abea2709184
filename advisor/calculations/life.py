"""`advisor life`: corrosion rates and category of a site, and the years until a coat is used up."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.entries import text_number, typed
from advisor.calculations.life_site import LifeSite, read_site
from advisor.calculations.options import Calculation, Option
from advisor.calculations.sayings import Sayings, figure, rounded, span
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple
from advisor.trade import atmosphere
from advisor.trade.zinc_life import CAP_YEARS, Coat, Life, coat_of
from advisor.trade.zinc_life import life as years_of

OPTIONS = (
    Option(
        "site",
        "corrosivity category (C1, C2, C3, C4, C5, CX) or a place such as coastal",
        slots=("corrosivity", "environment"),
    ),
    Option(
        "temperature",
        "annual mean temperature in °C, with --humidity, --so2 and --chloride in place of --site",
        slots=("mean_temperature_c",),
    ),
    Option("humidity", "annual mean relative humidity in %", slots=("humidity_percent",)),
    Option("so2", "SO2 deposition in mg/(m²·d)", slots=("so2",)),
    Option("chloride", "chloride deposition in mg/(m²·d)", slots=("chloride",)),
    Option("zinc", "thickness of the zinc coat in µm", slots=("thickness_um",)),
    Option("finish", "a finish or finish family in place of --zinc", slots=("finish_asked",)),
    Option("years", "wanted life in years: gives the thickness needed"),
)
EITHER = ((("temperature", "humidity", "so2", "chloride"), ("site",)), (("zinc",), ("finish",)))
EXAMPLE = "advisor life --site C3 --zinc 50 --years 20"

THICKEST_UM, LONGEST_YEARS = 1000.0, 100.0
"""Beyond what a coat or a plan can be."""
_DIGITS = 3


class _Counted(NamedTuple):
    """A coat as it is told: its name, the greatest thickness beside the least, and the fact that goes with it."""

    name: str
    coat: Coat
    most_um: float
    note_fact: str = ""


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """Rates, category and years to first rust, as contracted; UsageError for anything missing or out of range."""
    given = typed(inputs)
    say = Sayings(base, "life")
    site = read_site(base, given)
    counted = _coat(base, say, given)
    wanted = text_number(given, "years", 0.01, LONGEST_YEARS, "years") if "years" in given else None
    results: dict[str, object] = {
        "category": site.category,
        "rate_zinc_um_a": [rounded(x, 5) for x in site.zinc],
        "rate_steel_um_a": None if site.steel is None else [rounded(x, 5) for x in site.steel],
        "years_to_first_rust": None,
        **{k: rounded(v, 5) for k, v in site.others.items()},
    }
    lines, cites = list(site.lines), list(site.cites)
    if counted is not None:
        found = years_of(counted.coat, site.rates, site.classes)
        cites += counted.coat.cites if found is None else found.cites
        _tell(say, site, counted, found, results, lines)
        if counted.coat.method == "thickness":
            cites.append(base.role("life-by-thickness")[0])
        if counted.coat.method == "thickness" and site.in_air:
            _slowing(base, say, site, counted.coat.least_um or 0.0, results, lines)
            cites += ["iso-9224-exponents", *base.role("zinc-slows-down")]
        if counted.note_fact:
            lines.append(str(base.node(counted.note_fact)["text"]))
            cites.append(counted.note_fact)
    if wanted is not None:
        cites += _needed(base, say, site, wanted, results, lines)
    statement = base.role("hours-are-no-years")[0]
    lines.append(str(base.node(statement)["text"]))
    cites.append(statement)
    cautions = base.role("life-warns")
    return Calculation("life", given, results, site.method, tuple(lines), tuple(dict.fromkeys(cites)), cautions)


def _coat(base: Base, say: Sayings, given: Mapping[str, str]) -> _Counted | None:
    """The coat that is named; UsageError where its life cannot be counted."""
    if "zinc" in given and "finish" in given:
        raise UsageError("--zinc and --finish exclude each other; give the thickness or the finish")
    if "zinc" in given:
        um = text_number(given, "zinc", 0.01, THICKEST_UM, "µm")
        return _Counted(say("zinc"), Coat("thickness", um), um)
    if "finish" not in given:
        return None
    finish = base.resolve_finish(given["finish"])
    family = str(base.finish(finish)["family"])
    basis = base.table(base.role("life-basis")[0])
    thickness = base.figure(finish, "thickness_um")
    least = None if thickness is None else thickness.low
    cites = () if thickness is None else (thickness.cite,)
    coat = coat_of(basis, family, least, cites)
    if coat is None:
        known = ", ".join(str(f) for f in basis.column("family"))
        raise UsageError(
            f"'{given['finish']}' has no zinc that wears away at a known rate; life by thickness is known for {known}"
        )
    if least is None and coat.method == "thickness":
        raise UsageError(f"no thickness is known for '{given['finish']}'; give it with --zinc")
    most = least if thickness is None or thickness.high is None else thickness.high
    note = next(str(r["note_fact"]) for r in basis.records() if r["family"] == family)
    return _Counted(str(base.finish(finish)["name"]), coat, most or 0.0, note)


def _tell(
    say: Sayings, site: LifeSite, counted: _Counted, found: Life | None, results: dict[str, object], lines: list[str]
) -> None:
    """The years, and what they rest on."""
    coat = counted.coat
    name = f"{counted.name[:1].upper()}{counted.name[1:]}"
    if coat.least_um:
        results["thickness_um"] = [coat.least_um, counted.most_um]
    if found is None:
        lines.append(say("no-custom", coat=name, site=site.category))
        return
    years = (min(found.low, CAP_YEARS), min(found.high, CAP_YEARS))
    results["years_to_first_rust"] = [rounded(y, 5) for y in years]
    figures = {"coat": name, "years": shown_years(say, years), "least": figure(years[0], 2)}
    if coat.method == "band":
        results["years_basis"] = "practice"
        lines.append(say("band", **figures))
        if coat.least_um is not None and coat.least_um < coat.reference_um and found.low < CAP_YEARS:
            lines.append(say("band-thin", um=figure(coat.least_um), usual=figure(coat.reference_um)))
        lines += [say("no-custom-beside", site=c) for c in found.missing]
    else:
        um = figure(coat.least_um or 0.0, _DIGITS)
        lines.append(say("thickness" if site.in_air else "wet", um=um, **figures))


def _slowing(base: Base, say: Sayings, site: LifeSite, um: float, results: dict[str, object], lines: list[str]) -> None:
    """What the power law makes of the same coat: zinc slows down with the years."""
    row = next(r for r in base.table("iso-9224-exponents").records() if r["metal"] == "zinc")
    mean, upper = float(row["b1"] or 1.0), float(row["b2"] or 1.0)
    least = atmosphere.years_until(site.zinc[1], upper, um)
    most = atmosphere.years_until(site.zinc[0], mean, um) if site.zinc[0] > 0 else CAP_YEARS
    curved = (min(least, CAP_YEARS), min(most, CAP_YEARS))
    results["years_power_law"] = [rounded(y, 5) for y in curved]
    lines.append(say("slowing", upper=f"{upper:g}", mean=f"{mean:g}", years=shown_years(say, curved)))


def _needed(
    base: Base, say: Sayings, site: LifeSite, years: float, results: dict[str, object], lines: list[str]
) -> list[str]:
    """Thickness for a wanted life, and what the power law says is lost by then; returns what to cite."""
    if site.first_years:
        slow, fast = site.zinc
        um = fast * min(years, site.first_years) + slow * max(0.0, years - site.first_years)
        results["thickness_needed_um"] = [rounded(um, 5), rounded(um, 5)]
        lines.append(say("soil-needs", years=f"{years:g}", um=figure(um, _DIGITS)))
        return []
    need = atmosphere.thickness_for(years, site.zinc)
    results["thickness_needed_um"] = [rounded(x, 5) for x in need]
    lines.append(say("needs", years=f"{years:g}", um=span(need, digits=_DIGITS), most=figure(need[1], _DIGITS)))
    if not site.in_air or site.steel is None:
        return []
    for row in base.table("iso-9224-exponents").records():
        metal = str(row["metal"])
        rate = {"zinc": site.zinc[1], "steel": site.steel[1]}.get(metal)
        if rate is None:
            continue
        mean, upper = (atmosphere.loss_after(rate, float(row[b] or 1.0), years) for b in ("b1", "b2"))
        results[f"loss_{metal}_um"] = [rounded(mean, 5), rounded(upper, 5)]
        figures = {"mean": figure(mean, _DIGITS), "upper": figure(upper, _DIGITS)}
        lines.append(say("lost", years=f"{years:g}", metal=metal, **figures))
    return ["iso-9224-exponents", *base.role("loss-over-years")]


def shown_years(say: Sayings, pair: tuple[float, float]) -> str:
    """Years in two digits, and no figure where they pass what the sources carry."""
    if pair[0] >= CAP_YEARS:
        return say("years-over")
    if pair[1] >= CAP_YEARS:
        return say("years-to-over", low=figure(pair[0], 2))
    return say("years", span=span(pair, digits=2))
