"""`advisor life`: corrosion rates and category of a site, and the years until a zinc coat is gone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.calculations.options import Calculation, Option
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade import atmosphere
from advisor.trade.atmosphere import Climate

Pair = tuple[float, float]

OPTIONS = (
    Option("site", "corrosivity category (C1, C2, C3, C4, C5, CX) or a place such as coastal"),
    Option("temperature", "annual mean temperature in °C, with --humidity, --so2 and --chloride in place of --site"),
    Option("humidity", "annual mean relative humidity in %"),
    Option("so2", "SO2 deposition in mg/(m²·d)"),
    Option("chloride", "chloride deposition in mg/(m²·d)"),
    Option("zinc", "thickness of the zinc coat in µm"),
    Option("finish", "a finish or finish family in place of --zinc"),
    Option("years", "wanted life in years: gives the thickness needed"),
)

_CLIMATE = ("temperature", "humidity", "so2", "chloride")
_METALS = ("steel", "zinc", "copper", "aluminium")
_STATEMENT = "salt-spray-no-years"


class _Site(NamedTuple):
    """What is known of a place: its category in words, rates of zinc and steel in µm/a, and what to cite."""

    category: str
    zinc: Pair
    steel: Pair | None
    others: Mapping[str, float]
    lines: tuple[str, ...]
    cites: tuple[str, ...]
    method: str
    in_air: bool = True
    categories: tuple[str, ...] = ()


class _Coat(NamedTuple):
    """A coat: its thickness, how its life is found, and bands of years by category when it has no rate."""

    name: str
    thickness: Pair
    bands: Mapping[str, Pair]
    cites: tuple[str, ...]
    note_fact: str = ""


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """Rates, category and years to first rust, as contracted; UsageError for anything missing or out of range."""
    given = {k: str(v) for k, v in inputs.items() if isinstance(v, str) and v.strip()}
    site = _site(base, given)
    coat = _coat(base, given)
    years = _number(given, "years", "years", 0) if "years" in given else None
    results: dict[str, object] = {
        "category": site.category,
        "rate_zinc_um_a": [_short(x) for x in site.zinc],
        "rate_steel_um_a": None if site.steel is None else [_short(x) for x in site.steel],
        "years_to_first_rust": None,
    }
    lines = list(site.lines)
    cites = list(site.cites)
    results.update({k: _short(v) for k, v in site.others.items()})
    if coat is not None:
        cites += coat.cites
        _life(base, site, coat, results, lines, cites)
        if coat.note_fact:
            lines.append(str(base.node(coat.note_fact)["text"]))
    if years is not None:
        _needed(base, site, years, results, lines, cites)
    lines.append(str(base.node(_STATEMENT)["text"]))
    cites.append(_STATEMENT)
    return Calculation(
        "life", given, results, site.method, tuple(lines), tuple(dict.fromkeys(cites)), ("salt-spray-is-not-life",)
    )


# the place ---------------------------------------------------------------------------------------------------------


def _site(base: Base, given: Mapping[str, str]) -> _Site:
    climate = [name for name in _CLIMATE if name in given]
    if "site" in given and climate:
        raise UsageError(f"--site and --{climate[0]} exclude each other; give the category or the climate")
    if "site" in given:
        return _named_site(base, given["site"])
    missing = [f"--{name}" for name in _CLIMATE if name not in given]
    if climate and missing:
        raise UsageError(f"the climate needs all four inputs; missing: {', '.join(missing)}")
    if missing:
        raise UsageError("life needs a place: --site C3, or --temperature, --humidity, --so2 and --chloride")
    return _climate_site(base, given)


def _named_site(base: Base, text: str) -> _Site:
    word = text.strip().lower().replace(" ", "-").replace("_", "-")
    exposures = base.kind("exposure")
    node = exposures.get(word)
    if node is None or node["group"] not in ("category", "environment") or not node.get("corrosivity"):
        usable = [i for i, d in exposures.items() if d["group"] == "environment" and d.get("corrosivity")]
        raise UsageError(
            f"'{text}' is not a corrosivity category or a place with one; categories: C1, C2, C3, C4, C5, CX; "
            f"places: {', '.join(usable)}"
        )
    classes = tuple(str(c) for c in node["corrosivity"])
    if classes[0].startswith("Im"):
        return _wet_site(base, node, classes[0])
    limits = base.table("corrosion-rates")
    spans = {m: _span([atmosphere.rate_bounds(limits, f"{m}_um_a", c) for c in classes]) for m in ("zinc", "steel")}
    category = "-".join(dict.fromkeys((classes[0], classes[-1])))
    lines = (
        f"Category {category}: {node['text']}",
        f"First-year loss of bare zinc {_range(spans['zinc'])} µm/a, of carbon steel {_range(spans['steel'])} µm/a.",
    )
    method = (
        "Rates are the limits of the category (ISO 9223:2012, Table 2); years = thickness / rate, straight line "
        "(ISO 14713-1:2017)."
    )
    cites = ("corrosion-rates", "corrosivity-places")
    return _Site(category, spans["zinc"], spans["steel"], {}, lines, cites, method, True, classes)


def _wet_site(base: Base, node: Mapping[str, object], category: str) -> _Site:
    """Under water or in soil: zinc rates by fact, no category of the air."""
    facts = [f for f in _WET_FACTS[category] if f in base.kind("fact")]
    values = [_pair(base.node(f)["value"]) for f in facts]
    zinc = _span(values)
    method = "Zinc rates in water and soil from the cited sheets, not from ISO 9223; years = thickness / rate" + (
        ", first two years at the higher rate." if category == "Im3" else "."
    )
    lines = (
        f"{category}: {node['text']} The categories of the air do not apply.",
        f"Zinc loses {_range(zinc)} µm/a there.",
    )
    return _Site(category, zinc, None, {}, lines, tuple(facts), method, False)


_WET_FACTS: Mapping[str, tuple[str, ...]] = {
    "Im1": ("zinc-hard-water", "zinc-soft-water"),
    "Im2": ("zinc-sea-water",),
    "Im3": ("zinc-soil-later", "zinc-soil-first"),
}


def _climate_site(base: Base, given: Mapping[str, str]) -> _Site:
    climate = Climate(*(_number(given, name, _UNITS[name]) for name in _CLIMATE))
    atmosphere.check_climate(base.table("dose-response-range"), climate)
    limits = base.table("corrosion-rates")
    rates: dict[str, float] = {}
    for metal in _METALS:
        table = base.table("dose-response" if metal in ("steel", "zinc") else "dose-response-recalled")
        rates[metal] = atmosphere.dose_response(atmosphere.coefficients(table, metal), climate).total_um_a
    category = atmosphere.category_of(limits, "zinc_um_a", rates["zinc"])
    steel_category = atmosphere.category_of(limits, "steel_um_a", rates["steel"])
    copper_category = atmosphere.category_of(limits, "copper_um_a", rates["copper"])
    factors = {str(r["metal"]): r for r in base.table("dose-response-uncertainty").records()}
    bands = {
        f"band_{m}_um_a_{end}": rates[m] * float(factors[m][f"{end}_factor"] or 0.0)
        for m in ("zinc", "steel")
        for end in ("low", "high")
    }
    others = {"rate_copper_um_a": rates["copper"], "rate_aluminium_um_a": rates["aluminium"], **bands}
    zinc, steel = rates["zinc"], rates["steel"]
    spread = {
        m: f"{_plain(bands[f'band_{m}_um_a_low'])} to {_plain(bands[f'band_{m}_um_a_high'])} µm"
        for m in ("zinc", "steel")
    }
    lines = [
        f"Zinc: {_plain(zinc)} µm in the first year, category {category} (the estimate may be off: {spread['zinc']}).",
        f"Carbon steel: {_plain(steel)} µm in the first year, category {steel_category} ({spread['steel']}).",
        f"Copper: {rates['copper']:.2g} µm, category {copper_category}; aluminium: {rates['aluminium']:.2g} µm "
        "(coefficients recalled, not confirmed).",
    ]
    cites = ["dose-response", "dose-response-recalled", "dose-response-range", "dose-response-uncertainty"]
    if category != steel_category:
        lines.append(str(base.node("category-differs-by-metal")["text"]))
        cites.append("category-differs-by-metal")
    if climate.temperature < _COLD_C:
        lines.append(str(base.node("zinc-cold-underestimate")["text"]))
        cites.append("zinc-cold-underestimate")
    method = (
        "First-year loss by the dose-response functions of ISO 9223:2012, equations (1) and (2), copper and aluminium "
        "(3) and (4); years = thickness / rate, straight line."
    )
    cites.append("corrosion-rates")
    return _Site(category, (zinc, zinc), (steel, steel), others, tuple(lines), tuple(cites), method, True, (category,))


_COLD_C = 4.0
"""Below this annual mean the zinc function was found about a factor of 2 low (25 cold sites)."""

_UNITS = {"temperature": "°C", "humidity": "%", "so2": "mg/(m²·d)", "chloride": "mg/(m²·d)"}


# the coat ----------------------------------------------------------------------------------------------------------


def _coat(base: Base, given: Mapping[str, str]) -> _Coat | None:
    if "zinc" in given and "finish" in given:
        raise UsageError("--zinc and --finish exclude each other; give the thickness or the finish")
    if "zinc" in given:
        um = _number(given, "zinc", "µm", 0)
        return _Coat("zinc", (um, um), {}, ("zinc-life-proportional",))
    if "finish" not in given:
        return None
    finish_id = base.resolve_finish(given["finish"])
    finish = base.finish(finish_id)
    rows = {str(r["family"]): r for r in base.table("life-basis").records()}
    row = rows.get(str(finish["family"]))
    if row is None:
        raise UsageError(
            f"'{given['finish']}' has no zinc that wears away at a known rate; life by thickness is known for "
            f"{', '.join(rows)}"
        )
    name, note = str(finish["name"]), str(row["note_fact"])
    bands: dict[str, Pair] = {}
    if row["method"] == "band":
        for c in ("c1", "c2", "c3", "c4", "c5"):
            bands[c.upper()] = (float(row[f"{c}_low"] or 0.0), float(row[f"{c}_high"] or 0.0))
    figure = base.figure(finish_id, "thickness_um")
    if figure is None or figure.low is None:
        if bands:
            return _Coat(name, (0.0, 0.0), bands, ("life-basis", note), note)
        raise UsageError(f"no thickness is known for '{given['finish']}'; give it with --zinc")
    thickness = (figure.low, figure.low if figure.high is None else figure.high)
    basis = ("life-basis", note) if bands else ("life-basis", "zinc-life-proportional", note)
    return _Coat(name, thickness, bands, (figure.cite, *basis), note)


def _life(base: Base, site: _Site, coat: _Coat, results: dict[str, object], lines: list[str], cites: list[str]) -> None:
    thin, thick = coat.thickness
    if thin:
        results["thickness_um"] = [thin, thick]
    if coat.bands:
        _banded_life(site, coat, results, lines)
        return
    if site.category == "Im3":
        first, later = site.zinc[1], site.zinc[0]
        years = tuple(atmosphere.two_stage_years(t, first, _SOIL_FIRST_YEARS, later) for t in coat.thickness)
        results["years_to_first_rust"] = [_short(y) for y in years]
        lines.append(f"{_range(coat.thickness)} µm of zinc in soil: {_range(_pair(list(years)))} years to the steel.")
        cites.append("zinc-soil-85-um")
        return
    life = atmosphere.straight_life(coat.thickness, site.zinc)
    results["years_to_first_rust"] = [_short(y) for y in life]
    lines.append(
        f"{coat.name[:1].upper()}{coat.name[1:]}, {_range(coat.thickness)} µm: {_years(life)} to first rust "
        f"(thickness / rate; count on {life[0]:.2g})."
    )
    if site.in_air:
        exponents = {str(r["metal"]): r for r in base.table("iso-9224-exponents").records()}["zinc"]
        b1, b2 = float(exponents["b1"] or 1.0), float(exponents["b2"] or 1.0)
        least = atmosphere.years_until(site.zinc[1], b2, thin)
        most = atmosphere.years_until(site.zinc[0], b1, thick) if site.zinc[0] > 0 else 100.0
        curved = (min(least, 100.0), min(most, 100.0))
        results["years_power_law"] = [_short(y) for y in curved]
        lines.append(
            f"As zinc slows down with the years (ISO 9224:2012, t^{b2:g} cautious, t^{b1:g} mean): {_years(curved)}; "
            "near salt keep to the straight figure."
        )
        cites += ["iso-9224-exponents", "marine-zinc-linear", "zinc-first-maintenance"]


_SOIL_FIRST_YEARS = 2.0


def _banded_life(site: _Site, coat: _Coat, results: dict[str, object], lines: list[str]) -> None:
    """Coats without a rate of their own: the customary band of the category."""
    known = [coat.bands[c] for c in site.categories if c in coat.bands]
    if not known or len(known) < len(site.categories):
        lines.append(f"{coat.name}: no customary life for {site.category}; test it on site or take a thicker coat.")
        return
    band = (min(x[0] for x in known), max(x[1] for x in known))
    results["years_to_first_rust"] = [_short(y) for y in band]
    results["years_basis"] = "practice"
    lines.append(f"{coat.name}: {_years(band)} to first rust by custom of the trade; no standard gives it a rate.")


def _needed(
    base: Base, site: _Site, years: float, results: dict[str, object], lines: list[str], cites: list[str]
) -> None:
    """Thickness for a wanted life, and what the power law says is lost by then."""
    if site.category == "Im3":
        first, later = site.zinc[1], site.zinc[0]
        um = first * min(years, _SOIL_FIRST_YEARS) + later * max(0.0, years - _SOIL_FIRST_YEARS)
        results["thickness_needed_um"] = [_short(um), _short(um)]
        lines.append(f"{years:g} years in soil need {_plain(um)} µm of zinc.")
        return
    need = atmosphere.thickness_for(years, site.zinc)
    results["thickness_needed_um"] = [_short(x) for x in need]
    lines.append(f"{years:g} years need {_range(need)} µm of zinc; plan with {_plain(need[1])} µm.")
    if site.in_air and site.steel is not None:
        table = {str(r["metal"]): r for r in base.table("iso-9224-exponents").records()}
        for metal, rate in (("zinc", site.zinc[1]), ("steel", site.steel[1])):
            row = table[metal]
            mean, upper = (atmosphere.loss_after(rate, float(row[b] or 1.0), years) for b in ("b1", "b2"))
            results[f"loss_{metal}_um"] = [_short(mean), _short(upper)]
            lines.append(
                f"After {years:g} years bare {metal} has lost {_plain(mean)} µm (mean) to {_plain(upper)} µm "
                "(cautious) at the upper rate, by ISO 9224:2012."
            )
        cites += ["iso-9224-exponents", "power-law"]


# small helpers -----------------------------------------------------------------------------------------------------


def _number(given: Mapping[str, str], name: str, unit: str, above: float | None = None) -> float:
    text = given[name].strip().replace(",", ".").replace("−", "-")
    try:
        value = float(text)
    except ValueError:
        raise UsageError(f"--{name} '{given[name]}' is not a number; give {unit}, for example --{name} 8") from None
    if value != value or value in (float("inf"), float("-inf")):
        raise UsageError(f"--{name} '{given[name]}' is not a finite number; give {unit}")
    if above is not None and not value > above:
        raise UsageError(f"--{name} {value:g} must be above {above:g} {unit}")
    limit = _GREATEST.get(name)
    if limit is not None and value > limit:
        raise UsageError(f"--{name} {value:g} is beyond what a coat or a plan can be; give at most {limit:g} {unit}")
    return value


_GREATEST = {"zinc": 1000.0, "years": 100.0}


def _pair(value: object) -> Pair:
    if isinstance(value, (list, tuple)):
        return float(value[0]), float(value[-1])
    return float(str(value)), float(str(value))


def _span(pairs: list[Pair]) -> Pair:
    return min(p[0] for p in pairs), max(p[1] for p in pairs)


def _plain(value: float) -> str:
    """Three significant digits, never as a power of ten."""
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def _range(pair: Pair) -> str:
    low, high = (_plain(x) for x in pair)
    return high if low == high else f"{low} to {high}"


def _years(pair: Pair) -> str:
    low, high = (f"{x:.2g}" for x in pair)
    if pair[0] >= 100:
        return "more than 100 years"
    if pair[1] >= 100:
        return f"{low} to more than 100 years"
    return f"{low} years" if low == high else f"{low} to {high} years"


def _short(value: float) -> float:
    """Five significant digits."""
    return float(f"{value:.5g}")
