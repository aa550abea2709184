"""`advisor specify`: the designation and the purchase-order lines to write for a finish on a part."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.calculations.options import Calculation, Option
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.graph.nodes import Figure
from advisor.graph.wording import named
from advisor.trade.sizes import read_size

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

OPTIONS = (
    Option("finish", "a finish or finish family, e.g. zinc-8-clear or zinc-flake", True, True, slots=("finish_asked",)),
    Option("part", "the part, e.g. hex-bolt or nut", slots=("part",)),
    Option("size", "thread size, e.g. M10 or 3/8-16", slots=("size",)),
    Option("length", "length in mm", slots=("length_mm",)),
    Option("strength", "strength class or grade, e.g. 10.9", slots=("strength",)),
    Option("hours", "salt-spray hours demanded"),
    Option("rust", "white or red (the rust the hours speak of); red when not said"),
    Option("friction", "window of the friction coefficient, e.g. 0.09-0.14"),
    Option("quantity", "number of pieces"),
)
EXAMPLE = "advisor specify zinc-flake-720-lubricated --size M10 --strength 10.9 --friction 0.09-0.14"

_TESTED = ("electroplated", "electroless")
THIN_UM = 15.0
"""Above this no thread takes a coat within its allowance: the largest tabled plate thickness (ISO 4042:1999)."""


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """The designations in each current standard and the order lines; UsageError for an input that cannot be read."""
    given = {k: v if isinstance(v, str) else " ".join(v) for k, v in inputs.items() if v}
    if "finish" not in given:
        raise UsageError("the finish is missing; name a finish or family, e.g. advisor specify zinc-flake")
    order = _Order(base, given)
    order.write()
    results: dict[str, object] = {
        "finish": order.finish_id,
        "designations": order.designations,
        "lines": order.lines,
        "open": order.open,
    }
    cautions = [c for c in dict.fromkeys(order.cautions) if c in base.kind("caution")]
    method = base.phrase("say-specify-method")
    shown = [order.title, *order.shown_designations(), *order.lines, *order.open]
    return Calculation(
        "specify", given, results, method, tuple(shown), tuple(dict.fromkeys(order.cites)), tuple(cautions)
    )


class _Order:
    """The order as it is being written: lines, what is open, cautions and cited figures."""

    def __init__(self, base: Base, given: Mapping[str, str]) -> None:
        self.base = base
        self.given = given
        self.finish_id = base.resolve_finish(given["finish"])
        self.finish = base.finish(self.finish_id)
        self.family = base.kind("family")[self.finish["family"]]
        self.process = str(self.finish.get("process") or self.family["process"])
        self.coat = self.process not in ("base-material", "none")
        self.name = str(self.finish["name"])
        self.lines: list[str] = []
        self.open: list[str] = []
        self.cautions: list[str] = []
        self.cites: list[str] = []
        self.title = self._say("title", name=self.name)
        self.designations = designations(base, self.finish_id, self._inch())
        self.papers = ""

    def _say(self, key: str, **values: object) -> str:
        return self.base.phrase(f"say-specify-{key}", **values)

    def _add(self, key: str, **values: object) -> None:
        self.lines.append(self._say(key, **values))

    def _figure(self, quantity: str) -> Figure | None:
        figure = self.base.figure(self.finish_id, quantity)
        if figure is not None:
            self.cites.append(figure.cite)
        return figure

    def _inch(self) -> bool:
        """Whether the part is of the inch system, as its size or grade says."""
        size = self.given.get("size", "").strip().lower()
        strength = self.base.kind("strength").get(self.given.get("strength", "").strip().lower(), {})
        return (bool(size) and not size.startswith("m")) or strength.get("system") == "inch"

    def _structural(self) -> bool:
        """Whether the class is one of structural sets."""
        strength = self.given.get("strength", "").strip().lower()
        return bool(self.base.kind("strength").get(strength, {}).get("structural"))

    def shown_designations(self) -> list[str]:
        """The designations as lines."""
        return [
            self._say("in-words", designation=d["designation"])
            if d["standard"] == "trade-practice"
            else self._say("designation", designation=d["designation"], title=d["title"])
            for d in self.designations
        ]

    def write(self) -> None:
        """All lines in the order of a purchase order."""
        self._part()
        written = self.designations[0]["designation"] if self.designations else self.name
        self._add("coating" if self.coat else "material", name=self.name, designation=written)
        if len(self.designations) > 1 and self.designations[0]["standard"] != "trade-practice":
            self._add("standard", standard=written)
        if self.coat:
            self._coat()
        self._friction()
        self._hours()
        self._hydrogen()
        self._thread()
        self._papers()

    def _part(self) -> None:
        given = self.given
        what = [named(self.base, given[k]) for k in ("part", "size") if k in given]
        if "length" in given:
            what.append(f"{_number(given['length'], 'length', 'mm'):g} mm")
        if "strength" in given:
            what.append(given["strength"])
        elif not self.coat and self.finish.get("grade"):
            what.append(str(self.finish["grade"]))
        if what:
            self._add("part", what=", ".join(what))
        if "part" not in given:
            self.open.append(self._say("open-part"))
        if "size" not in given:
            self.open.append(self._say("open-size"))
        if "strength" not in given and self.finish["material"] == "carbon-steel":
            self.open.append(self._say("open-strength"))
        if "quantity" in given:
            self._add("quantity", count=f"{_number(given['quantity'], 'quantity', 'pieces'):g}")
        else:
            self.open.append(self._say("open-quantity"))

    def _coat(self) -> None:
        thickness = self._figure("thickness_um")
        if thickness is not None and thickness.low is not None and thickness.high:
            if thickness.low == thickness.high:
                self._add("thickness", value=f"{thickness.low:g}")
            else:
                self._add("thickness-range", low=f"{thickness.low:g}", high=f"{thickness.high:g}")
        if self.finish.get("passivation"):
            self._add("film", film=self.finish["passivation"])
        chromium = self.finish.get("hexavalent_chromium", "unstated")
        if chromium == "yes":
            self._add("chromium-yes")
            self.cautions += self.base.role("warn-chromium")
        else:
            self._add("chromium-free" if chromium == "no" else "chromium-open")
        if self.finish.get("cadmium") == "yes":
            self.cautions += self.base.role("warn-cadmium")
        if self.process == "electroplated":
            self._add("sealed" if self.finish.get("sealed") else "not-sealed")
        if self.finish.get("top_coat"):
            self._add("top-coat")

    def _friction(self) -> None:
        lubricated = bool(self.finish.get("lubricated"))
        if "friction" in self.given:
            window = _window(self.given["friction"])
            self._add("lubricated" if lubricated else "friction", window=window)
            self.cautions += self.base.role("warn-torque")
            return
        figure = self._figure("friction")
        if lubricated and figure is not None and figure.low is not None and figure.high is not None:
            self._add("lubricated", window=f"{figure.low:g} to {figure.high:g}")
        elif not lubricated and self.coat and not self._structural():
            self._add("no-lubricant")
        if not self._structural():
            self.open.append(self._say("open-friction"))

    def _hours(self) -> None:
        rust = self.given.get("rust", "red").strip().lower()
        if rust not in ("white", "red"):
            raise UsageError(f"'{rust}' is not a rust; --rust is white (the coat) or red (the steel)")
        if "hours" in self.given:
            asked = _number(self.given["hours"], "hours", "h")
            figures = [
                f.high
                for q in (f"salt_spray_{rust}_push_h", f"salt_spray_{rust}_h")
                for f in self.base.figures(self.finish_id, q)
                if f.high is not None
            ]
            self._figure(f"salt_spray_{rust}_h")
            if self.coat and figures and asked > max(figures):
                self._add("hours-beyond", asked=f"{asked:g}", rust=rust, most=f"{max(figures):g}")
                self.cautions += self.base.role("warn-unrealistic")
                return
            said = self.base.phrase(f"say-decode-hours-{rust}", hours=f"{asked:g}")
            self._add("hours", hours=said)
            self.papers = self._say("papers-hours")
            self.cautions += self.base.role("life-warns")
            return
        if not self.coat and self.process == "base-material":
            self._add("no-hours-material")
            return
        parts: list[str] = []
        # white rust is that of zinc: a coat without it goes by red rust alone
        for rust in ("white", "red") if holds_zinc(self.base, self.finish_id) else ("red",):
            figure = self._figure(f"salt_spray_{rust}_h")
            if figure is not None and figure.low:
                parts.append(self.base.phrase(f"say-decode-hours-{rust}", hours=f"{figure.low:g}"))
        if parts:
            self._add("hours", hours=", ".join(parts))
            self.papers = self._say("papers-hours")
            self.cautions += self.base.role("life-warns")
        elif self.process in ("hot-dipped",):
            self._add("no-hours")
        else:
            self.open.append(self._say("open-hours"))

    def _hydrogen(self) -> None:
        if "strength" not in self.given or self.finish["material"] != "carbon-steel":
            return
        from advisor.calculations import hydrogen

        asked = {k: self.given[k] for k in ("strength", "size") if k in self.given}
        judged = hydrogen.run(self.base, {**asked, "finish": self.finish_id})
        verdict = str(judged.results["verdict"])
        self.cites += judged.cites
        self.cautions += judged.cautions
        if verdict != "allowed":
            because = str(judged.results["because"]).rstrip(".")
            said = {"strength": self.given["strength"], "because": because}
            if verdict in ("avoid", "forbidden"):
                word = self._say("avoided") if verdict == "avoid" else verdict
                others: Any = judged.results["alternatives"]
                names = ", ".join(str(self.base.kind("family")[f]["name"]) for f in others)
                instead = self._say("instead", names=names) if names else ""
                self.lines.insert(0, self._say("stop", verdict=word, instead=instead, **said))
            else:
                self._add("hydrogen", verdict=verdict.replace("-", " "), **said)
        bake: Any = judged.results["bake"]
        if bake["hours"] is not None:
            low, high = bake["temperature_c"]
            key = "bake-optional" if bake["required"] == "optional" else "bake"
            figures = {"low": f"{low:g}", "high": f"{high:g}", "hours": f"{bake['hours']:g}"}
            self._add(key, start=bake["start_within_h"], **figures)
            self.papers += self._say("papers-bake")
        elif self.process in _TESTED and verdict != "forbidden":
            self._add("no-bake")
        tests: Any = judged.results["tests"]
        if tests:
            self._add("tests", tests="; ".join(str(t) for t in tests))
        if self.process in ("dip-spin", "vapour-deposited") and (
            judged.results["susceptibility"] != "low" or judged.results["verdict"] != "allowed"
        ):
            self._add("clean")

    def _thread(self) -> None:
        figure = self.base.figure(self.finish_id, "thickness_um")
        thick = figure.low if figure is not None and figure.low is not None else 0.0
        least_um = self.family.get("oversize_from_um")
        if least_um is not None and thick >= least_um:
            self._add("dip-thread-inch" if self._inch() else "dip-thread")
            self.cautions += self.base.role("warn-oversize")
        elif self.coat and thick > THIN_UM:
            self._add("room-thick", thickness=f"{thick:g}", deviation=f"{4 * thick:g}")
            self.cautions += self.base.role("warn-oversize")
        elif self.coat and thick >= 3:
            self._add("room")
        if self._structural():
            self._add("structural-set-inch" if self._inch() else "structural-set")
            self.cautions += self.base.role("warn-structural")
        if "size" in self.given:
            size = read_size(self.base.table("thread-sizes"), self.given["size"])
            least = self._figure("smallest_size_mm")
            if least is not None and least.low is not None and size.diameter_mm < least.low:
                self._add("too-small", size=self.given["size"], least=f"{least.low:g}")
                self.cautions += self.base.role("warn-fit")

    def _papers(self) -> None:
        if self.coat:
            self._add("certificates", more=self.papers)
        else:
            self._add("papers-material", mark=str(self.finish.get("grade") or self._say("mark-of-standard")))


def holds_zinc(base: Base, finish_id: str) -> bool:
    """Whether a coat holds zinc."""
    masks = base.section("masks")
    return bool(masks["names"].get(base.role("zinc-coats")[0], 0) & (1 << masks["finishes"].index(finish_id)))


def designations(base: Base, finish_id: str, inch: bool = False) -> list[dict[str, object]]:
    """The designations of a finish in the documents that are current; of a legacy finish all of them.

    For an inch part the documents of its own system stand first.
    """
    finish = base.finish(finish_id)
    sources = base.kind("source")
    listed = list(finish.get("designations", ()))
    current = [d for d in listed if d.get("status", "current") == "current"]
    out: list[dict[str, object]] = []
    for d in current or listed:
        source = sources.get(d["standard"], {})
        out.append(
            {
                "designation": d["write"],
                "standard": d["standard"],
                "title": str(source.get("title", "")),
                "edition": str(source.get("edition", "")),
                "status": d.get("status", "current"),
                "note": d.get("note", ""),
            }
        )
    if inch:
        out.sort(key=lambda d: not str(d["standard"]).startswith(_INCH_BODIES))
    return out


_INCH_BODIES = ("astm", "aashto", "sae", "mil")


def _number(text: str, name: str, unit: str) -> float:
    try:
        value = float(text.strip().lower().removesuffix(unit).replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0 < value < 1e7:
        raise UsageError(f"--{name} '{text}' is not a number of {unit} above 0; write for example --{name} 480")
    return value


def _window(text: str) -> str:
    m = re.fullmatch(r"\s*(0?[.,]\d+)\s*(?:-|to|\u2013|,|\.\.)\s*(0?[.,]\d+)\s*", text)
    low, high = (float(m[n].replace(",", ".")) for n in (1, 2)) if m else (0.0, 0.0)
    if not 0.03 <= low < high <= 0.6:
        raise UsageError(f"--friction '{text}' is not a window between 0.03 and 0.6; write for example 0.09-0.14")
    return f"{low:g} to {high:g}"
