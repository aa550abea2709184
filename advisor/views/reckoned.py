"""The result of a calculation in one line, to say aloud; the working stands below it."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.graph.wording import named

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

NM_PER_LBF_FT = 1.355818
UM_PER_MIL = 25.4


def in_one_line(base: Base, c: Calculation) -> str:
    """The result in one line; empty for a calculation whose own first line says it."""
    worked = {"torque": _torque, "fit": _fit, "quantity": _quantity, "life": _life, "couple": _couple}.get(c.command)
    return " ".join([worked(base, c), *c.aside]).strip() if worked else ""


def _what(base: Base, c: Calculation, *names: str) -> str:
    """The thing by the inputs that tell it, classes and finishes by their names."""
    out = []
    for name in names:
        told = c.inputs.get(name)
        told = told[0] if isinstance(told, list) and told else told
        if told is None:
            continue
        key = str(told)
        if name == "length":
            out.append(base.phrase("reckoned-length", length=key))
            continue
        node = base.kind("strength").get(key.lower()) if name == "strength" else None
        if name == "part":
            node = base.kind("exposure").get(key)
        if name == "finish":
            node = base.kind("family").get(key) or base.finish(base.resolve_finish(key))
        out.append(str((node or {}).get("grade" if name == "strength" else "name") or key))
    return " ".join(out)


def _torque(base: Base, c: Calculation) -> str:
    window, force, k = c.results.get("torque_nm"), c.results.get("preload_kn"), c.results.get("k")
    if not isinstance(window, list) or not isinstance(force, list) or not isinstance(k, list):
        return ""
    low, high = float(window[0]), float(window[-1])
    told: dict[str, Any] = {
        "what": _what(base, c, "size", "strength", "finish"),
        "set": f"{low:.0f}" if low >= LEAST_WHOLE else f"{low:.1f}",
        "set_lbf": f"{low / NM_PER_LBF_FT:.0f}" if low >= LEAST_WHOLE else f"{low / NM_PER_LBF_FT:.1f}",
        "low": f"{low:.0f}",
        "typical": f"{float(window[len(window) // 2]):.0f}",
        "high": f"{high:.0f}",
        "mu": f"K {float(k[0]):.2f}" if k[0] == k[-1] else f"K {float(k[0]):.2f} to {float(k[-1]):.2f}",
        "force_low": f"{float(force[0]):.3g}",
        "force_high": f"{float(force[-1]):.3g}",
    }
    if "torque" not in c.inputs:
        return base.phrase("reckoned-torque-k" if k[0] == k[-1] else "reckoned-torque", **told)
    use = c.results.get("utilisation")
    low_use, high_use = (f"{float(x) * 100:.0f}" for x in use) if isinstance(use, list) else ("–", "–")
    said = base.phrase("reckoned-torque-given", **told, use_low=low_use, use_high=high_use)
    return f"{said} {base.phrase('reckoned-torque-given-' + str(c.results['verdict']))}"


def _fit(base: Base, c: Calculation) -> str:
    r = c.results
    greatest, thickness = float(str(r["greatest_thickness_um"])), float(str(r["thickness_um"]))
    nominal = r.get("nominal_thickness_um")
    told = {
        "what": _what(base, c, "size", "class"),
        "greatest": f"{greatest:.3g}",
        "greatest_mil": f"{greatest / UM_PER_MIL:.2g}",
        "nominal": f"{nominal:g}" if isinstance(nominal, (int, float)) else f"{greatest:.2g}",
        "thickness": f"{thickness:g}",
        "remedy": str(r.get("remedy", "")).rstrip("."),
    }
    return base.phrase("reckoned-fit-room" if not thickness else f"reckoned-fit-{r['verdict']}", **told)


def _quantity(base: Base, c: Calculation) -> str:
    r = c.results
    mass, coat = r.get("mass_g_each"), r.get("coating_g_each")
    if not isinstance(mass, (int, float)) or not isinstance(coat, (int, float)):
        return ""
    count = float(str(c.inputs.get("count") or 1))
    surface = float(str(r["surface_mm2_each"])) / MM2_PER_DM2
    return base.phrase(
        "reckoned-quantity",
        count=f"{count:.0f}",
        what=_what(base, c, "part", "size", "length", "finish"),
        mass=f"{mass * count / 1000:.3g}",
        thickness=f"{float(str(r['thickness_um'])):g}",
        coat_all=_grams(coat * count),
        coat=f"{coat:.2g}",
        surface=f"{surface:.2g}",
    )


def _grams(grams: float) -> str:
    """A mass in the unit it deserves.

    >>> _grams(96.34), _grams(3850.0)
    ('96.3 g', '3.85 kg')
    """
    return f"{grams / GRAMS_PER_KG:.3g} kg" if grams >= GRAMS_PER_KG else f"{grams:.3g} g"


def _life(base: Base, c: Calculation) -> str:
    years, rate = c.results.get("years_to_first_rust"), c.results.get("rate_zinc_um_a")
    if not isinstance(rate, list):
        return ""
    told = {
        "site": str(c.results.get("category") or ""),
        "rate_low": f"{float(rate[0]):g}",
        "rate_high": f"{float(rate[-1]):g}",
    }
    if not isinstance(years, list):
        return base.phrase("reckoned-life-site", **told)
    zinc = c.inputs.get("zinc")
    zinc = zinc[0] if isinstance(zinc, list) else zinc
    what = f"{zinc} µm" if zinc else _what(base, c, "finish")
    return base.phrase("reckoned-life", what=what, low=f"{float(years[0]):.2g}", high=f"{float(years[-1]):.2g}", **told)


def _couple(base: Base, c: Calculation) -> str:
    r = c.results
    verdict, remedy = str(r.get("verdict", "")), str(r.get("remedy") or "")
    if verdict == "compatible":
        return base.phrase("reckoned-couple-compatible", remedy=remedy).strip()
    anode = named(base, str(r.get("anode"))).replace("-", " ")
    return base.phrase("reckoned-couple", verdict=verdict.capitalize(), anode=anode, remedy=remedy).strip()


LEAST_WHOLE, MM2_PER_DM2, GRAMS_PER_KG = 20.0, 10_000.0, 1000.0
