"""The place of a life calculation: a category or place by its limits, a climate by the dose-response functions."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.entries import text_number
from advisor.calculations.sayings import Sayings, figure, span
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple
from advisor.trade import atmosphere
from advisor.trade.atmosphere import Climate
from advisor.trade.zinc_life import Pair, Site, site_in_air

CLIMATE: Mapping[str, str] = {
    "temperature": "°C",
    "humidity": "%",
    "so2": "mg/(m²·d)",
    "chloride": "mg/(m²·d)",
}
"""The four inputs of a climate with their units."""
_DIGITS = 3
COLD_C = 4.0
"""Below this annual mean the zinc function was found about a factor of 2 low (25 cold sites)."""


class LifeSite(NamedTuple):
    """What is known of a place: its category in words, yearly losses in µm, what to say and to cite.

    `rates` and `classes` are what the engine of life reads; `first_years` is how long soil takes zinc at the fast rate.
    """

    category: str
    zinc: Pair
    steel: Pair | None
    others: Mapping[str, float]
    lines: tuple[str, ...]
    cites: tuple[str, ...]
    method: str
    rates: Site
    classes: tuple[str, ...]
    in_air: bool = True
    first_years: float = 0.0


def read_site(base: Base, given: Mapping[str, str]) -> LifeSite:
    """The place that `site` or the four figures of a climate describe; UsageError when it is missing or unknown."""
    climate = [name for name in CLIMATE if name in given]
    if "site" in given and climate:
        raise UsageError(f"--site and --{climate[0]} exclude each other; give the category or the climate")
    if "site" in given:
        return _named(base, given["site"])
    missing = [f"--{name}" for name in CLIMATE if name not in given]
    if climate and missing:
        raise UsageError(f"the climate needs all four inputs; missing: {', '.join(missing)}")
    if missing:
        raise UsageError("life needs a place: --site C3, or --temperature, --humidity, --so2 and --chloride")
    return _of_climate(base, given)


def _named(base: Base, text: str) -> LifeSite:
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
    wet = next((r for r in base.table("zinc-rates-wet").records() if r["category"] == classes[0]), None)
    if wet is not None:
        return _wet(base, str(node["text"]), wet)
    say = Sayings(base, "life")
    limits = base.table("corrosion-rates")
    spans = [_widest([atmosphere.rate_bounds(limits, f"{m}_um_a", c) for c in classes]) for m in ("zinc", "steel")]
    category = "-".join(dict.fromkeys((classes[0], classes[-1])))
    losses = {m: span(s, digits=_DIGITS) for m, s in zip(("zinc", "steel"), spans, strict=True)}
    lines = (say("category", category=category, text=node["text"]), say("first-year", **losses))
    cites = ("corrosion-rates", "corrosivity-places")
    return LifeSite(
        category, spans[0], spans[1], {}, lines, cites, say("method-category"), site_in_air(limits), classes
    )


def _wet(base: Base, text: str, row: Mapping[str, object]) -> LifeSite:
    """Under water or in soil: zinc rates from their table, no category of the air."""
    say = Sayings(base, "life")
    category = str(row["category"])
    zinc = (float(str(row["slow_um_a"])), float(str(row["fast_um_a"])))
    first = float(str(row["first_years"])) if row["first_years"] is not None else 0.0
    lines = (
        say("wet-category", category=category, text=text),
        say("wet-rate", zinc=span(zinc, digits=_DIGITS)),
    )
    facts = tuple(str(row[c]) for c in ("fact", "fact_too") if row[c] is not None)
    rates = Site({category: zinc}, {category: first} if first else {}, facts)
    method = say("method-soil" if first else "method-wet")
    return LifeSite(category, zinc, None, {}, lines, facts, method, rates, (category,), False, first)


def _of_climate(base: Base, given: Mapping[str, str]) -> LifeSite:
    say = Sayings(base, "life")
    climate = Climate(*(text_number(given, name, -273.0, 1e6, unit) for name, unit in CLIMATE.items()))
    atmosphere.check_climate(base.table("dose-response-range"), climate)
    limits = base.table("corrosion-rates")
    rates = {
        str(r["metal"]): atmosphere.dose_response(atmosphere.coefficients(table, str(r["metal"])), climate).total_um_a
        for table in (base.table("dose-response"), base.table("dose-response-recalled"))
        for r in table.records()
    }
    category = {m: atmosphere.category_of(limits, f"{m}_um_a", rates[m]) for m in ("zinc", "steel", "copper")}
    bands = {
        f"band_{r['metal']}_um_a_{end}": rates[str(r["metal"])] * float(str(r[f"{end}_factor"]))
        for r in base.table("dose-response-uncertainty").records()
        if r["metal"] in ("zinc", "steel")
        for end in ("low", "high")
    }
    others = {"rate_copper_um_a": rates["copper"], "rate_aluminium_um_a": rates["aluminium"], **bands}
    lines = [
        say(
            f"climate-{m}",
            um=figure(rates[m], _DIGITS),
            category=category[m],
            low=figure(bands[f"band_{m}_um_a_low"], _DIGITS),
            high=figure(bands[f"band_{m}_um_a_high"], _DIGITS),
        )
        for m in ("zinc", "steel")
    ]
    copper, aluminium = figure(rates["copper"], 2), figure(rates["aluminium"], 2)
    lines.append(say("climate-others", copper=copper, category=category["copper"], aluminium=aluminium))
    cites = ["dose-response", "dose-response-recalled", "dose-response-range", "dose-response-uncertainty"]
    notes: list[str] = []
    if category["zinc"] != category["steel"]:
        notes += base.role("metals-differ")
    if climate.temperature < COLD_C:
        notes += base.role("cold-air")
    lines += [str(base.node(n)["text"]) for n in notes]
    pair = (rates["zinc"], rates["zinc"])
    return LifeSite(
        category["zinc"],
        pair,
        (rates["steel"], rates["steel"]),
        others,
        tuple(lines),
        (*cites, *notes, "corrosion-rates"),
        say("method-climate"),
        Site({category["zinc"]: pair}, {}, ("dose-response",)),
        (category["zinc"],),
    )


def _widest(pairs: list[Pair]) -> Pair:
    return min(p[0] for p in pairs), max(p[1] for p in pairs)
