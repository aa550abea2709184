"""What came out of each calculation in two or three lines, for a page that has to be short."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterator, Mapping

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.graph.wording import named

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def typed(c: Calculation) -> str:
    """The command that shows every step of a calculation.

    >>> typed(Calculation("life", {"site": "C3", "years": "20"}, {}, "", ()))
    'advisor life --site C3 --years 20'
    """
    given: list[str] = []
    for name, value in c.inputs.items():
        if isinstance(value, list):  # only what stands without a flag takes several
            given = [*(shlex.quote(str(v)) for v in value), *given]
        else:
            given.append(f"--{name.replace('_', '-')} {shlex.quote(str(value))}")
    return " ".join(["advisor", c.command, *given])


def torque_lines(base: Base, c: Calculation) -> Iterator[str]:
    """The torque to set with the clamp load it gives, and what a middling torque would do."""
    r: dict[str, Any] = dict(c.results)
    low, _, high = r["preload_kn"]
    values = {"area": f"{r['stress_area_mm2']:.4g}", "k_low": f"{r['k'][0]:.2f}", "k_high": f"{r['k'][-1]:.2f}"}
    yield base.phrase("report-torque-inputs", size=c.inputs["size"], strength=c.inputs["strength"], **values)
    loads = {"torque": _short(r.get("torque_to_set_nm", r["torque_nm"][0])), "low": f"{low:.3g}", "high": f"{high:.3g}"}
    if r["utilisation"]:
        use = {"use_low": _percent(r["utilisation"][0]), "use_high": _percent(r["utilisation"][-1])}
        yield base.phrase("report-torque-result", **loads, **use)
    typical = r.get("if_set_at_typical")
    if typical and typical["share_of_yield"] is not None:
        share = _percent(typical["share_of_yield"])
        yield base.phrase("report-torque-typical", torque=_short(typical["torque_nm"]), share=share)


def fit_lines(base: Base, c: Calculation) -> Iterator[str]:
    """The room, what the coat takes, and what to do."""
    r: dict[str, Any] = dict(c.results)
    yield base.phrase(
        "report-fit-result",
        thread=f"{c.inputs['size']} {r['class']}",
        room=f"{r['allowance_um']:g}",
        most=f"{r['greatest_thickness_um']:g}",
        thickness=f"{r['thickness_um']:g}",
        verdict=base.phrase(f"report-fit-{r['verdict']}"),
    )
    yield base.phrase("report-remedy", remedy=r["remedy"])


def hydrogen_lines(base: Base, c: Calculation) -> Iterator[str]:
    """Hardness, what it risks, what is said of the finish, and the bake that would be demanded."""
    r: dict[str, Any] = dict(c.results)
    name = base.finishes[str(r["finish"])].name
    hrc, hv = (_span(r[k]) for k in ("hardness_hrc", "hardness_hv"))
    risk = base.phrase(f"report-susceptible-{r['susceptibility']}")
    yield base.phrase("report-hydrogen-steel", hrc=hrc, hv=hv, risk=risk)
    verdict = base.phrase(f"report-hydrogen-{r['verdict']}")
    yield base.phrase("report-hydrogen-result", finish=name, verdict=verdict, because=r.get("because") or "")
    bake = r.get("bake")
    if isinstance(bake, dict) and bake.get("hours"):
        heat = _span(bake["temperature_c"])
        yield base.phrase(
            f"report-hydrogen-bake-{bake['required']}",
            heat=heat,
            hours=f"{bake['hours']:g}",
            start=bake["start_within_h"],
        )


def life_lines(base: Base, c: Calculation) -> Iterator[str]:
    """The yearly loss and the years that follow from it."""
    r: dict[str, Any] = dict(c.results)
    rate, years = _span(r["rate_zinc_um_a"]), _span([_short(y) for y in r["years_to_first_rust"]])
    yield base.phrase("report-life-result", category=r["category"], rate=rate, years=years)


def couple_lines(base: Base, c: Calculation) -> Iterator[str]:
    """How far the metals are apart, which is eaten, and what practice says."""
    r: dict[str, Any] = dict(c.results)
    metals = [named(base, m) for m in c.inputs["metals"]]  # type: ignore[attr-defined]
    values = {"apart": f"{r['potential_difference_v']:.2f}", "allowed": f"{r['allowed_v']:.2f}"}
    yield base.phrase("report-couple-result", fastener=metals[0], other=metals[1], **values)
    if r["anode"] is not None:
        yield base.phrase("report-couple-anode", anode=named(base, r["anode"]))
    yield base.phrase("report-remedy", remedy=r["remedy"])


LINES: Mapping[str, Callable[[Base, Calculation], Iterator[str]]] = {
    "torque": torque_lines,
    "fit": fit_lines,
    "hydrogen": hydrogen_lines,
    "life": life_lines,
    "couple": couple_lines,
}
"""What sums up each calculation."""


def _span(values: list[Any]) -> str:
    """Low to high; the one figure where they are the same or only one is stated.

    >>> _span([39.0, 44.0]), _span([None, 46])
    ('39 to 44', '46')
    """
    shown = [x if isinstance(x, str) else f"{x:g}" for x in values if x is not None]
    return " to ".join(dict.fromkeys(shown))


def _short(value: float) -> str:
    return f"{value:.1f}" if value < 10 else f"{value:.0f}"


def _percent(share: float) -> str:
    return f"{share * 100:.0f}"
