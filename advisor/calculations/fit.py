"""`advisor fit`: limits of a thread before and after coating, the greatest thickness, and what to order instead."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.entries import text_number, typed
from advisor.calculations.options import Calculation, Option
from advisor.calculations.sayings import Sayings
from advisor.calculations.sayings import figure as _n
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade import coating_fit as f
from advisor.trade.sizes import read_size
from advisor.trade.tables import Table
from advisor.trade.thread_limits import ClassLimits, Limits
from advisor.trade.threads import thread_limits

OPTIONS: tuple[Option, ...] = (
    Option("size", "thread size, e.g. M10, M10x1.25, 3/8-16", required=True, slots=("size",)),
    Option("class", "thread class, e.g. 6g, 6e, 6H, 6AZ, 2A, 3B; without it 6g or 2A", slots=("thread_class",)),
    Option("thickness", "coating thickness in µm", slots=("thickness_um",)),
    Option("finish", "finish id or family: its thickness is taken", slots=("finish_asked",)),
    Option("length", "length of the bolt in mm, for the long-part rule", slots=("length_mm",)),
    Option("mate", "class of the other thread, e.g. 6H, 6AZ, 2B: shows the room of the pair"),
)
EITHER = ((("thickness",), ("finish",)),)
EXAMPLE = "advisor fit --size M10 --class 6g --thickness 12"

THICKEST_UM = 300
"""No coat for threads is thicker; hot-dip zinc ends at about 100 µm on threads."""
PLATED_TO_UM = 30
"""The nominal thicknesses of plating end here; above it a coat is sprayed or dipped zinc and asks for oversize nuts."""


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """Limits, greatest thickness, verdict and remedy; UsageError for a size, class or number out of range."""
    given = typed(inputs)
    if "size" not in given:
        raise UsageError("the size is missing; give --size, e.g. M10 or 3/8-16")
    thread = read_size(base.table("thread-sizes"), given["size"])
    tables = f.load_tables(base.table)
    c = thread_limits(tables, thread, given.get("class"))
    return _Answer(base, tables, c, given).answer()


class _Answer:
    """Collects results, lines and citations of one answer."""

    def __init__(self, base: Base, tables: Mapping[str, Table], c: ClassLimits, given: Mapping[str, str]) -> None:
        self.base, self.tables, self.c, self.given = base, tables, c, given
        self.say = Sayings(base, "fit")
        self.cites = ["thread-sizes", *c.cites]
        self.lines: list[str] = []
        self.cautions: list[str] = []
        self.length_mm = text_number(given, "length", 1, 100000, "mm") if "length" in given else None
        self.divisor = f.divisor_for(c, self.length_mm)
        self.thickness_um = self._thickness()
        self.greatest_um = c.allowance_um / self.divisor
        self.verdict = f.judge(c, self.thickness_um, self.greatest_um)
        self.after = f.coated(c.limits, c.external, self.thickness_um)

    def _thickness(self) -> float:
        if "thickness" in self.given:
            return text_number(self.given, "thickness", 0, THICKEST_UM, "µm")
        if "finish" not in self.given:
            raise UsageError("give --thickness in µm, or --finish with a finish or family, e.g. zinc-nickel")
        finish = self.base.resolve_finish(self.given["finish"])
        figure = self.base.figure(finish, "thickness_um")
        if figure is None or figure.high is None:
            raise UsageError(
                f"no coating thickness is known for '{finish}'; give --thickness in µm (solid metals have no coat: 0)"
            )
        self.cites.append(figure.cite)
        name = str(self.base.finish(finish).get("name", finish))
        self.lines.append(self.say("finish", finish=name, thickness=_n(figure.high)))
        others = [x for x in self.base.figures(finish, "thickness_um") if x.high is not None and x.high > figure.high]
        if others:
            most = max(others, key=lambda x: x.high or 0.0)
            when = f" ({most.when})" if most.when else ""
            self.lines.append(self.say("finish-more", most=_n(most.high or 0.0), when=when))
            self.cites.append(most.cite)
        return figure.high

    def answer(self) -> Calculation:
        """The whole answer."""
        c = self.c
        kind = "bolt" if c.external else "nut"
        self.lines.append(self.say(kind, size=c.thread.size, name=c.name, **_texts(c.limits)))
        basic = f"{c.thread.pitch_diameter_mm:.3f}"
        after = _texts(self.after)
        self.lines.append(self.say(f"{kind}-after", thickness=_n(self.thickness_um), basic=basic, **after))
        self._draw()
        word = self.verdict if c.external else f"nut-{self.verdict}"
        figures = {"thickness": _n(self.thickness_um), "greatest": _n(self.greatest_um)}
        self.lines.append(self.say(f"verdict-{word}", mid=_n(f.mid_tolerance_um(c)), **figures))
        nominal = self._nominal()
        self._mate()
        gauge = self._gauge()
        remedy = self._remedy(nominal, gauge)
        self.lines.append(self.say("remedy", remedy=remedy))
        self._warn()
        results: dict[str, object] = {
            "before": c.limits._asdict(),
            "after": self.after._asdict(),
            "allowance_um": c.allowance_um,
            "greatest_thickness_um": round(self.greatest_um, 4),
            "verdict": self.verdict,
            "remedy": remedy,
            "thickness_um": self.thickness_um,
            "class": c.name,
            "mid_tolerance_thickness_um": round(f.mid_tolerance_um(c), 3),
            "nominal_thickness_um": nominal,
            "pitch_tolerance_um": c.pitch_tolerance_um,
            "gauge_after_coating": None if gauge is None else {"go": gauge[0], "not_go": gauge[1]},
        }
        shown = {
            "size": c.thread.size,
            "class": c.name,
            **{k: v for k, v in self.given.items() if k not in ("size", "class")},
        }
        system = c.thread.system
        self.cites.append("thread-thickness-iso-4042" if system == "metric" else "thread-thickness-astm-f1941")
        method = self.say(f"method-{system}", divisor=self.divisor)
        cites = tuple(dict.fromkeys(self.cites))
        return Calculation("fit", shown, results, method, tuple(self.lines), cites, tuple(dict.fromkeys(self.cautions)))

    # pieces

    def _draw(self) -> None:
        """Allowance, coat and mid-tolerance as bars of one scale."""
        coat = f.PITCH_FACTOR * self.thickness_um
        mid = f.PITCH_FACTOR * f.mid_tolerance_um(self.c)
        step = next(s for s in (1, 2, 4, 5, 10, 20, 50) if max(coat, mid, self.c.allowance_um) / s <= 40)
        self.lines.append(self.say("draw-title", step=step))

        def bar(um: float, mark: str) -> str:
            return "|" + mark * round(um / step)

        room = self.c.allowance_um
        self.lines.append(self.say("draw-room", bar=bar(room, "="), um=_n(room)))
        self.lines.append(
            self.say(
                "draw-coat", bar=bar(coat, "#"), um=_n(coat), factor=f.PITCH_FACTOR, thickness=_n(self.thickness_um)
            )
        )
        self.lines.append(self.say("draw-mid", bar=bar(mid, "-"), um=_n(mid)))

    def _nominal(self) -> float | None:
        """The nominal plating thickness to order; lines on length, nominal and the printed table."""
        c = self.c
        if self.length_mm is not None:
            if c.external and c.thread.system == "metric":
                ratio = _n(self.length_mm / c.thread.diameter_mm)
                self.lines.append(self.say("long", length=_n(self.length_mm), ratio=ratio, divisor=self.divisor))
                self.cites.append("thread-deviation-for-thickness")
            else:
                self.lines.append(self.say("long-not-used"))
        nominal = f.nominal_below(self.base.table("nominal-thicknesses"), self.greatest_um)
        self.cites.append("nominal-thicknesses")
        if nominal is None:
            if c.external:
                self.lines.append(self.say("nominal-none"))
        elif "a" not in c.name.lower() or c.thread.system == "inch":
            self.lines.append(self.say("nominal", nominal=_n(nominal)))
        printed = self._printed()
        if printed is not None and nominal is not None and printed < nominal:
            self.lines.append(self.say("printed", printed=_n(printed)))
        return nominal

    def _printed(self) -> float | None:
        position = self.c.name.lstrip("0123456789")[:1]
        if not self.c.external or position not in "gfe" or self.c.thread.system != "metric":
            return None
        column = "local" if self.length_mm is None else {4: "mean_5d", 5: "mean_10d", 6: "mean_15d"}[self.divisor]
        for r in self.base.table("thread-thickness-iso-4042").records():
            if r["pitch_mm"] == self.c.thread.pitch_mm:
                cell = r[f"{position}_{column}"]
                return float(cell) if isinstance(cell, (int, float)) else None
        return None

    def _gauge(self) -> tuple[str, str] | None:
        for r in self.base.table("gauges-after-coating").records():
            if r["class"] == self.c.name:
                self.lines.append(self.say("gauge", go=r["go"], not_go=r["not_go"]))
                self.cites.append("gauges-after-coating")
                return str(r["go"]), str(r["not_go"])
        return None

    def _mate(self) -> None:
        if "mate" not in self.given:
            return
        mate = thread_limits(self.tables, self.c.thread, self.given["mate"])
        if mate.external == self.c.external:
            part = "bolt" if mate.external else "nut"
            raise UsageError(
                f"--mate {mate.name} is a {part} thread like {self.c.name}; name the class of the other thread"
            )
        bolt, nut = (self.c, mate) if self.c.external else (mate, self.c)
        room = f.room_um(bolt, nut)
        self.lines.append(self.say("mate", mate=mate.name, room=_n(room)))
        self.cites += mate.cites
        self._carries_less(nut)

    def _carries_less(self, nut: ClassLimits) -> None:
        if "AZ" not in nut.name and "AX" not in nut.name:
            return
        rows = [
            r
            for r in self.base.table("oversize-nut-proof-loads").records()
            if r["diameter_mm"] == nut.thread.diameter_mm
        ]
        if rows:
            loads = ", ".join(self.say("mate-load", grade=r["class"], load=r["proof_kn"]) for r in rows)
            self.lines.append(self.say("mate-carries-less", loads=loads))
            self.cites.append("oversize-nut-proof-loads")

    def _remedy(self, nominal: float | None, gauge: tuple[str, str] | None) -> str:
        if self.verdict == "fits":
            return self.say("remedy-none")
        parts = self._for_bolt(nominal) if self.c.external else self._for_nut()
        if self.verdict == "tight" and self.c.external and gauge is not None:
            parts.append(self.say("remedy-gauge", go=gauge[0]))
        return self.say("and").join(parts)

    def _listed(self, key: str, options: list[tuple[str, float]]) -> str:
        return self.say("or").join(self.say(key, name=n, room=_n(room)) for n, room in options)

    def _for_bolt(self, nominal: float | None) -> list[str]:
        c, t = self.c, self.thickness_um
        parts: list[str] = []
        thick = t > PLATED_TO_UM
        if nominal is not None and not thick:
            parts.append(self.say("remedy-thinner", nominal=_n(nominal)))
        wider = [(o.name, o.greatest_um) for o in f.wider_classes(self.tables, c, t, self.length_mm)]
        if wider:
            parts.append(self.say("remedy-wider", options=self._listed("remedy-wider-option", wider)))
        deviation = self.divisor * t
        if not wider and not thick:
            top = c.thread.pitch_diameter_mm - deviation / 1000
            parts.append(self.say("remedy-undercut", pitch_max=f"{top:.3f}", deviation=_n(deviation)))
        if thick:
            nuts = [o for o in f.oversize_nut(self.tables, self.base.table("oversize-tapping-inch"), c) if o[1] >= t]
            metric = c.thread.system == "metric"
            if nuts:
                parts.append(self.say("remedy-nut", options=self._listed("remedy-nut-option", nuts)))
                self.cites.append("iso-965-hot-dip-deviations" if metric else "oversize-tapping-inch")
                if metric:
                    parts.append(self.say("remedy-bolt"))
                self.cautions += self.base.role("warn-oversize-nut")
            else:
                parts.append(self.say("remedy-no-hot-dip" if metric else "remedy-no-hot-dip-inch"))
                self.cautions += self.base.role("warn-dip-too-small")
        return parts

    def _for_nut(self) -> list[str]:
        c, t = self.c, self.thickness_um
        parts: list[str] = []
        if self.verdict == "tight":
            parts.append(self.say("remedy-nut-plated"))
        wider = [(o.name, o.greatest_um) for o in f.wider_classes(self.tables, c, t, None)]
        if wider:
            parts.append(self.say("remedy-nut-wider", options=self._listed("remedy-wider-option", wider)))
        elif t <= PLATED_TO_UM:
            deviation = f.PITCH_FACTOR * t
            low = c.thread.pitch_diameter_mm + deviation / 1000
            parts.append(self.say("remedy-opened", pitch_min=f"{low:.3f}", deviation=_n(deviation)))
        if t > PLATED_TO_UM:
            usual = thread_limits(self.tables, c.thread, "2A" if c.thread.system == "inch" else "6g")
            nuts = f.oversize_nut(self.tables, self.base.table("oversize-tapping-inch"), usual)
            if nuts:
                names = self.say("or").join(n for n, _ in nuts)
                parts.append(self.say("remedy-nut-after", options=names))
            else:
                parts.append(self.say("remedy-no-hot-dip" if c.thread.system == "metric" else "remedy-no-hot-dip-inch"))
        return parts

    def _warn(self) -> None:
        c = self.c
        if self.verdict != "fits":
            self.cautions[:0] = self.base.role("warn-fit")
            if c.external and c.allowance_um == 0:
                self.cautions += self.base.role("warn-no-allowance")
        if not c.external:
            self.cautions += self.base.role("warn-bore")
        if any(x in c.name for x in ("AZ", "AX", "az")):
            self.cautions.append(self.base.role("warn-oversize-nut")[1 if c.external else 0])
            self._carries_less(c)


def _texts(limits: Limits) -> dict[str, str]:
    return {k.removesuffix("_mm"): "-" if v is None else f"{v:.3f}" for k, v in limits._asdict().items()}
