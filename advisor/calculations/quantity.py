"""`advisor quantity`: surface, mass and coating of a part, and what coating a lot and a year of protection cost."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.calculations.entries import text_number, typed
from advisor.calculations.options import Calculation, Option
from advisor.calculations.sayings import Sayings
from advisor.calculations.sayings import figure as _n
from advisor.calculations.sayings import rounded as _r
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade import quantities as q
from advisor.trade.sizes import INCH_MM, read_size
from advisor.trade.units import density_of, read_number
from advisor.trade.zinc_life import CAP_YEARS, Coat, life, site_in_air

OPTIONS: tuple[Option, ...] = (
    Option(
        "part",
        "hex-bolt, flange-bolt, carriage-bolt, socket-cap-screw, machine-screw, set-screw, stud, threaded-rod, nut, "
        "washer",
        required=True,
        slots=("part",),
        usual="hex-bolt",
    ),
    Option("size", "thread size, e.g. M10, 3/8-16", required=True, slots=("size",)),
    Option(
        "length", "length under the head in mm (or 2in); not for nuts and washers", slots=("length_mm",), needed=True
    ),
    Option("count", "number of pieces of the lot", slots=("quantity",)),
    Option("thickness", "coating thickness in µm; without it 8", slots=("thickness_um",)),
    Option(
        "finish",
        "finish id or family: its cost, least lot and metal are taken; zinc plate without it",
        slots=("finish_asked",),
    ),
    Option("thread-length", "threaded length in mm, when it is not that of the standard"),
    Option("rate", "price of coating a kilogram, for the price of the lot"),
    Option("lot-minimum", "least charge of the coater"),
    Option("fees", "fees of the lot: baking, tests"),
    Option("site", "corrosivity category C1 to CX, for the cost of a year of protection"),
    Option("years", "life in years, in place of a site"),
    Option("price", "price of the bolt against a zinc-plated one; without it the guide value of the finish"),
    Option("renewal", "cost of fitting it anew, in prices of a zinc-plated bolt; without it 10"),
)
EXAMPLE = "advisor quantity --part hex-bolt --size M10 --length 40 --count 200 --thickness 8"

USUAL_METAL, USUAL_UM = "zinc", 8.0
LONGEST_MM = 6000.0
RENEWAL = 10.0
"""Fitting a bolt anew on site costs ten times the bolt and more (trade practice, 10 to 100 times)."""


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """Surface, mass, coat and costs as contracted; UsageError for an unknown part or size and numbers out of range."""
    given = typed(inputs)
    for key, example in (("part", "hex-bolt"), ("size", "M10")):
        if key not in given:
            raise UsageError(f"the {key} is missing; give --{key}, e.g. {example}")
    return _Answer(base, given).answer()


class _Answer:
    """Collects results, lines and citations of one answer."""

    def __init__(self, base: Base, given: Mapping[str, str]) -> None:
        self.base, self.given = base, given
        self.say = Sayings(base, "quantity")
        self.lines: list[str] = []
        self.results: dict[str, object] = {}
        self.cites = ["thread-sizes"]
        self.cautions: list[str] = []
        self.thread = read_size(base.table("thread-sizes"), given["size"])
        self.part = "-".join(given["part"].lower().replace("_", "-").split())
        if self.part not in q.PARTS:
            raise UsageError(f"no dimensions are known for a '{given['part']}'; parts: {', '.join(q.PARTS)}")
        self.family, self.finish = self._coat_family()
        self.cost = self._cost_row()

    def answer(self) -> Calculation:
        """The whole answer."""
        body = self._body()
        mass = q.mass_g(body)
        per_kg = q.surface_dm2_per_kg(body.surface_mm2, mass)
        self.results.update(
            surface_mm2_each=_r(body.surface_mm2),
            mass_g_each=_r(mass),
        )
        self.lines.append(self.say("per-kg", dm2=_n(per_kg), pieces=_n(1000 / mass)))
        self._coat(body, mass)
        self.results["surface_dm2_per_kg"] = _r(per_kg)
        self._lot(body, mass)
        self._year()
        cites = tuple(dict.fromkeys(self.cites))
        method = self.say("method")
        cautions = tuple(self.cautions)
        return Calculation("quantity", dict(self.given), self.results, method, tuple(self.lines), cites, cautions)

    # pieces

    def _coat_family(self) -> tuple[str, str]:
        if "finish" not in self.given:
            return self.base.role("usual-coat")[0], ""
        finish = self.base.resolve_finish(self.given["finish"])
        return str(self.base.finish(finish)["family"]), finish

    def _cost_row(self) -> Mapping[str, object]:
        table = self.base.table("coating-cost-per-kg")
        row = next((r for r in table.records() if r["family"] == self.family), None)
        if row is None:
            known = ", ".join(str(x) for x in table.column("family"))
            raise UsageError(f"no cost a kilogram is known for {self.family}; it is known for {known}")
        return row

    def _length(self, shape: q.Shape) -> float:
        if not shape.has_length:
            return 0.0
        text = self.given.get("length", "")
        if not text:
            raise UsageError(f"a {self.part} needs a length; give --length in mm, e.g. 40")
        inch = re.fullmatch(r"(.+?)\s*(?:in|inch|\")", text)
        number = read_number(inch[1]) * INCH_MM if inch else read_number(re.sub(r"\s*mm$", "", text))
        if not 0 < number <= LONGEST_MM:
            raise UsageError(f"--length {text} is not usable; give more than 0 and up to {LONGEST_MM:g} mm")
        return number

    def _body(self) -> q.Body:
        shape, thread = q.PARTS[self.part], self.thread
        length = self._length(shape)
        size: Mapping[str, float] = {}
        if shape.table:
            table_id = shape.table + ("-inch" if thread.system == "inch" else "")
            if table_id not in self.base.kind("table"):
                raise UsageError(f"no inch dimensions are known for a {self.part}; give a metric size, e.g. M10")
            size = q.dimensions(self.base.table(table_id), thread, self.part)
            self.cites.append(table_id)
        threaded = 0.0
        if shape.has_length:
            threaded = q.thread_length_mm(shape.threaded, thread, length)
            if "thread-length" in self.given:
                threaded = text_number(self.given, "thread-length", 0, length, "mm")
        body = q.part_body(shape, thread, size, length, threaded)
        if body.volume_mm3 <= 0:
            raise UsageError(
                f"a {self.part} of {thread.size} cannot be {length:g} mm long; its socket is deeper than that"
            )
        span = self.say("length", length=_n(length)) if shape.has_length else ""
        surface = body.surface_mm2
        figures = {"surface": _n(surface), "surface_dm2": _n(surface / 1e4), "mass": _n(q.mass_g(body))}
        self.lines.append(self.say("each", part=self.part, size=thread.size, length=span, **figures))
        if shape.has_length:
            self.lines.append(self.say("thread", threaded=_n(threaded), length=_n(length)))
        if shape.table and str(self.base.node(self.cites[-1])["basis"]) == "memory":
            self.lines.append(self.say("memory"))
        return body

    def _coat(self, body: q.Body, mass: float) -> None:
        thickness = self._thickness()
        metal = self.cost["metal"] if self.finish else USUAL_METAL
        self.results["thickness_um"] = thickness
        if metal is None:
            self.results["coating_g_each"] = None
            self.lines.append(self.say("coat-none"))
            return
        name, density = density_of(self.base.table("densities"), str(metal))
        each = q.coating_g(body.surface_mm2, thickness, density)
        self.results["coating_g_each"] = _r(each)
        self.results["coating_metal"] = name
        self.cites.append("densities")
        figures = {"each": _n(each), "thousand": _n(each * 1000), "share": _n(each / mass * 100, 2)}
        self.lines.append(self.say("coat", metal=name, thickness=_n(thickness), **figures))

    def _thickness(self) -> float:
        if "thickness" in self.given:
            return text_number(self.given, "thickness", 0, 500, "µm")
        figure = self.base.figure(self.finish, "thickness_um") if self.finish else None
        if figure is not None and figure.low is not None and figure.high is not None:
            self.cites.append(figure.cite)
            return (figure.low + figure.high) / 2
        self.lines.append(self.say("coat-assumed"))
        return USUAL_UM

    def _lot(self, body: q.Body, mass: float) -> None:
        low, high = float(str(self.cost["factor_low"])), float(str(self.cost["factor_high"]))
        least = (float(str(self.cost["lot_low_kg"])), float(str(self.cost["lot_high_kg"])))
        middle = (low + high) / 2
        self.cites.append("coating-cost-per-kg")
        if "count" not in self.given:
            self.results["relative_lot_cost"] = _r(middle)
            self.results["relative_lot_cost_range"] = [low, high]
            self.lines.append(self.say("relative-full", cost=_n(middle, 2), low=_n(low, 2), high=_n(high, 2)))
            return
        count = text_number(self.given, "count", 1, 1e9, "pieces")
        if count != int(count):
            raise UsageError(f"--count {self.given['count']} is not a whole number of pieces")
        lot = count * mass / 1000
        # the usual least lot is a range; its geometric middle stands for the single figure
        usual = (least[0] * least[1]) ** 0.5
        cost = q.relative_lot_cost(middle, lot, usual)
        span = [q.relative_lot_cost(low, lot, least[0]), q.relative_lot_cost(high, lot, least[1])]
        self.results.update(
            relative_lot_cost=_r(cost),
            relative_lot_cost_range=[_r(x) for x in span],
            lot_kg=_r(lot),
            least_lot_kg=list(least),
        )
        self.lines.append(self.say("lot", count=f"{count:.0f}", kg=_n(lot), dm2=_n(count * body.surface_mm2 / 1e4)))
        if lot < least[1]:
            self.lines.append(self.say("least", low=_n(least[0]), high=_n(least[1]), family=self.family))
            self.cautions += self.base.role("warn-lot")
        self.lines.append(self.say("relative", cost=_n(cost, 2), low=_n(span[0], 2), high=_n(span[1], 2)))
        self._price(count, lot)

    def _price(self, count: float, lot: float) -> None:
        if not {"rate", "lot-minimum"} & self.given.keys():
            return
        rate, least, fees = (text_number(self.given, k, 0, 1e9, "", 0) for k in ("rate", "lot-minimum", "fees"))
        price = q.lot_price(rate, lot, least, fees)
        self.results.update(lot_price=_r(price), price_each=_r(price / count))
        figures = {"least": _n(least), "rate": _n(rate), "fees": _n(fees)}
        self.lines.append(self.say("price", price=_n(price), each=_n(price / count), **figures))

    def _year(self) -> None:
        if not {"site", "years"} & self.given.keys():
            return
        years = self._years()
        renewal = text_number(self.given, "renewal", 0, 10000, "", RENEWAL)
        if "price" in self.given:
            price = (text_number(self.given, "price", 0, 10000, ""),) * 2
        else:
            finish = self.finish or self.base.resolve_finish(self.family)
            figure = self.base.figure(finish, "relative_cost")
            if figure is None or figure.low is None or figure.high is None:
                raise UsageError(f"no price is known for {finish}; give --price against a zinc-plated bolt")
            price = (figure.low, figure.high)
            self.cites.append(figure.cite)
        cost = (q.annual_cost(price[0], renewal, years[1]), q.annual_cost(price[1], renewal, years[0]))
        self.results.update(life_years=[_r(x) for x in years], cost_per_year=[_r(x) for x in cost])
        span = _n(price[0]) if price[0] == price[1] else f"{_n(price[0])} to {_n(price[1])}"
        self.lines.append(
            self.say("year-cost", low=_n(cost[0], 2), high=_n(cost[1], 2), price=span, renewal=_n(renewal))
        )

    def _years(self) -> tuple[float, float]:
        if "years" in self.given:
            years = text_number(self.given, "years", 0.1, 200, "years")
            self.lines.append(self.say("years", low=_n(years), high=_n(years)))
            return years, years
        if self.finish and self.cost["metal"] != USUAL_METAL:
            raise UsageError(f"the life of {self.family} does not follow from a rate; give --years in place of --site")
        site = self.given["site"].upper()
        thickness = float(str(self.results["thickness_um"]))
        air = site_in_air(self.base.table("corrosion-rates"))
        found = life(Coat("thickness", thickness), air, (site,)) if thickness > 0 else None
        if found is None:
            raise UsageError(f"--site {self.given['site']} is not a category of the air; give {', '.join(air.rates)}")
        low, high = min(found.low, CAP_YEARS), min(found.high, CAP_YEARS)
        self.cites.append("corrosion-rates")
        self.lines.append(self.say("life", site=site, low=_n(low), high=_n(high), thickness=_n(thickness)))
        return low, high
