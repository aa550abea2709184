"""`advisor hydrogen`: the embrittlement risk of a finish on a steel, with bake, tests and alternatives."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.hydrogen_part import RISKY, Part, read_part
from advisor.calculations.options import Calculation, Option
from advisor.calculations.sayings import Sayings
from advisor.calculations.strengths import Pair
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade.hydrogen_risk import CASE, Verdict, at_least, bake_for, judge, susceptibility

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

OPTIONS: tuple[Option, ...] = (
    Option("strength", "strength class or grade, e.g. 10.9, gr8, A490, 45H", slots=("strength",)),
    Option("hardness", "measured hardness: 38 (HRC), 385HV, 350HB or 1250MPa", slots=("hardness_hrc",)),
    Option("finish", "finish id or finish family", required=True, slots=("finish_asked",)),
    Option("site", "environment, e.g. coastal or immersion-sea", slots=("corrosivity", "environment")),
    Option("size", "thread size, where the hardness depends on it"),
    Option("cleaning", "pickle, inhibited or blast"),
    Option("cathodic-protection", "yes or no"),
)

EITHER = ((("strength",), ("hardness",)),)

_CHARGING = ("electroplated", "electroless")
_CLEANING = ("pickle", "inhibited", "blast")
_TESTED = ("electroplated", "electroless", "mechanical", "hot-dipped")


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """Judge a finish on a steel; raises UsageError for unknown classes, finishes, sites and unreadable hardness."""
    given = {k: v if isinstance(v, str) else ",".join(v) for k, v in inputs.items() if v}
    if "finish" not in given:
        raise UsageError("the finish is missing; give --finish with a finish id or family such as zinc-flake")
    part = read_part(base, given)
    finish_id = base.resolve_finish(given["finish"])
    finish = base.finish(finish_id)
    process = _process(base, finish)
    site = _site(base, given.get("site", ""))
    verdict = _verdict(base, part, process, site, given)
    charges = process in _CHARGING
    bake, bake_lines = _bake(base, part, process, verdict)
    tests = _tests(base, part, process, verdict)
    others = _alternatives(base, part, str(finish["family"]), site, given)
    grade = susceptibility(base.table("hydrogen-zones"), part.steel)
    stand = part.stand
    results: dict[str, object] = {
        "hardness_hrc": _shown(part.hrc),
        "hardness_hv": _shown(part.hv),
        "susceptibility": grade,
        "verdict": verdict.word,
        "because": verdict.controls,
        "bake": bake,
        "tests": [t for t, _ in tests],
        "alternatives": others,
        "finish": finish_id,
        "state": stand.state,
    }
    say = Sayings(base, "hydrogen")
    lines = [_hardness_line(say, part), say(f"susceptibility-{grade}")]
    controls = verdict.controls[:1].upper() + verdict.controls[1:] if verdict.word in ("avoid", "forbidden") else None
    key = "allowed-note" if verdict.word == "allowed" and verdict.controls else verdict.word
    lines.append(say(f"verdict-{key}", finish=finish["name"], controls=controls or verdict.controls))
    if stand.between_lines:
        lines.append(say("between-lines"))
    if part.steel.stainless == "no" and not part.steel.case_hardened:
        lines += _passed(base, say, part, str(finish["family"]), charges)
    if charges and verdict.word != "forbidden" and stand.state_risk in RISKY and not stand.last:
        lines.append(say("stress-relief"))
    lines += bake_lines
    lines.append(say("tests", tests="; ".join(t for _, t in tests)) if tests else say("tests-none"))
    wet_zinc = _wet_zinc(base, part, finish_id, site, given)
    if wet_zinc:
        lines.append(say("wet-zinc"))
    risky = stand.zone_risk in RISKY and part.steel.stainless != "austenitic"
    if verdict.word in ("avoid", "forbidden"):
        names = [str(base.kind("family")[f]["name"]) for f in others]
        if names:
            lines.append(say("instead", names=", ".join(names)))
        lines.append(say("lower-class"))
        lines.append(say("engineer"))
    if risky:
        lines.append(say("both-scales"))
    cautions = _cautions(base, part, verdict, risky, wet_zinc)
    cites = ["hydrogen-verdict", "hydrogen-lines", "hardness-conversion"]
    cites += ["hydrogen-structural"] if verdict.by_product_standard else []
    cites += ["hydrogen-stress-relief"] if say("stress-relief") in lines else []
    cites += ["hydrogen-bake"] if bake["hours"] is not None else []
    cites += ["hydrogen-tests"] if tests else []
    cites += [part.grade] if part.grade else []
    method = say("method")
    return Calculation("hydrogen", dict(given), results, method, tuple(lines), tuple(cites), cautions)


# the judgement -------------------------------------------------------------------------------------------------------


def _process(base: Base, finish: Mapping[str, Any]) -> str:
    family = base.kind("family")[str(finish["family"])]
    process = str(finish.get("process") or family["process"])
    if process == "base-material" or (process == "conversion" and family.get("charges_hydrogen") == "no"):
        return "none"
    return process


def _site(base: Base, text: str) -> Mapping[str, Any]:
    if not text:
        return {}
    key = text.strip().lower().replace(" ", "-").replace("_", "-")
    known = {i: e for i, e in base.kind("exposure").items() if e["group"] in ("environment", "category", "duty")}
    for name in (key, text.strip()):
        if name in known:
            return known[name]
    from rapidfuzz import process

    near = ", ".join(h[0] for h in process.extract(key, list(known), limit=4))
    raise UsageError(f"'{text}' is not a place the base knows; nearest: {near}")


def _in_the_sea(site: Mapping[str, Any], given: Mapping[str, str]) -> bool:
    return site.get("id") in ("immersion-sea", "subsea") or given.get("cathodic-protection", "no").lower() == "yes"


def _verdict(base: Base, part: Part, process: str, site: Mapping[str, Any], given: Mapping[str, str]) -> Verdict:
    cleaning = given.get("cleaning", "").lower()
    if cleaning and cleaning not in _CLEANING:
        raise UsageError(f"'{cleaning}' is not a cleaning; choose {', '.join(_CLEANING)}")
    verdict = judge(
        base.table("hydrogen-verdict"), base.table("hydrogen-structural"), part.grade, part.stand.state, process
    )
    if part.steel.stainless == "austenitic":
        return verdict
    say = Sayings(base, "hydrogen")
    risk = part.stand.zone_risk
    if cleaning == "pickle" and risk in RISKY and part.steel.product not in ("nut", "washer"):
        word = "allowed-with-controls" if risk == "moderate" else "avoid"
        verdict = at_least(verdict, word, say("pickle"), "iso-10587")
    if _in_the_sea(site, given):
        if not part.stand.softest:
            return at_least(verdict, "avoid", say("subsea"), "subsea-practice")
        if process not in ("none", "resin"):
            return at_least(verdict, "allowed-with-controls", say("subsea-controls"), "subsea-practice")
    return verdict


def _wet_zinc(base: Base, part: Part, finish: str, site: Mapping[str, Any], given: Mapping[str, str]) -> bool:
    masks = base.section("masks")
    bit = 1 << masks["finishes"].index(finish)
    zinc = bool(masks["names"].get("zinc", 0) & bit)
    hard = part.steel.case_hardened or part.stand.zone_risk in RISKY
    # every place that is not plainly indoors counts as wet
    wet = (bool(site.get("id")) and site["id"] not in base.role("plain-indoors")) or _in_the_sea(site, given)
    return zinc and hard and wet and part.steel.stainless != "austenitic"


def _bake(base: Base, part: Part, process: str, verdict: Verdict) -> tuple[dict[str, object], list[str]]:
    say = Sayings(base, "hydrogen")
    none: dict[str, object] = {"required": "none", "temperature_c": None, "hours": None, "start_within_h": None}
    where, risk = part.stand.state, part.stand.state_risk
    if process not in _CHARGING or risk in ("low", "none"):
        return none, [say("bake-refused" if verdict.word == "forbidden" else "bake-none")]
    if verdict.word == "forbidden":
        return {**none, "required": "refused"}, [say("bake-refused"), say("bake-cannot")]
    if where in ("set-screw", "clamped"):
        return {**none, "required": "exempt"}, [say("bake-exempt")]
    if where == CASE:
        return {**none, "required": "useless"}, [say("bake-useless")]
    row = bake_for(base.table("hydrogen-bake"), part.tensile_mpa) if part.tensile_mpa else None
    if row is None:
        return none, [say("bake-none")]
    required = "optional" if risk == "moderate" else "demanded"
    figures = {"low": f"{row.low_c:g}", "high": f"{row.high_c:g}", "hours": f"{row.hours:g}"}
    result: dict[str, object] = {
        "required": required,
        "temperature_c": [row.low_c, row.high_c],
        "hours": row.hours,
        "start_within_h": 4,
        "document": "astm-b850-1998",
        "tensile_mpa": part.tensile_mpa,
    }
    kind = "between" if part.stand.between_lines else required
    sentence = say(f"bake-{kind}", tensile=f"{part.tensile_mpa:.0f}", **figures)
    return result, [sentence, say("bake-how"), say("bake-cannot")]


def _tests(base: Base, part: Part, process: str, verdict: Verdict) -> list[tuple[str, str]]:
    where, risk = part.stand.state, part.stand.state_risk
    wanted: list[str] = []
    if where in ("spring", CASE) and process != "none":
        wanted = ["flat-48h"] if where == "spring" else ["bend"]
    if (risk in RISKY or where in (CASE, "spring", "hard-stainless")) and process in _TESTED:
        wanted = ["f1940", "iso-15330", *wanted] if process != "hot-dipped" else ["hardness", *wanted]
        wanted += ["f606-wedge"] if risk in RISKY else []
    if (risk == "high" or where in (CASE, "spring")) and process != "none":
        wanted += ["hardness", "recheck"]
    if risk == "high" and process in _CHARGING:
        wanted += ["f519"]
    if verdict.word == "forbidden":
        return []
    known = {str(r["test"]): (str(r["called"]), str(r["says"])) for r in base.table("hydrogen-tests").records()}
    return [known[t] for t in dict.fromkeys(wanted)]


def _alternatives(base: Base, part: Part, family: str, site: Mapping[str, Any], given: Mapping[str, str]) -> list[str]:
    """Coat families that charge no hydrogen and are allowed on this steel, the best at the place first."""
    found: list[tuple[int, int, str]] = []
    listed = part.grade in base.table("hydrogen-structural").column("grade") and part.structural
    for i, f in base.kind("family").items():
        process = _process(base, {"family": i})
        # the short acid step of mechanical zinc brings next to nothing
        harmless = f.get("charges_hydrogen") == "no" or process == "mechanical"
        if i == family or not harmless or f["material"] != "carbon-steel" or f.get("legacy"):
            continue
        verdict = _verdict(base, part, process, site, given)
        if listed and not verdict.by_product_standard and process != "none":
            continue
        fit = f.get("viability", {}).get(site.get("id", ""), "good")
        if verdict.word in ("avoid", "forbidden") or fit == "none":
            continue
        coat = 0 if f["process"] not in ("none", "conversion") else 1
        found.append((0 if fit == "good" else 1, coat, i))
    preferred = {"dip-spin": 0, "mechanical": 1}
    found.sort(key=lambda x: (x[0], x[1], preferred.get(str(base.kind("family")[x[2]]["process"]), 2)))
    return [i for *_, i in found]


# words ---------------------------------------------------------------------------------------------------------------


def _shown(pair: Pair) -> list[float | None] | None:
    return None if pair == (None, None) else [pair[0], pair[1]]


def _range(say: Sayings, scale: str, pair: Pair) -> str:
    low, high = pair
    if high is None:
        return say(f"no-{scale}")
    if low is None or low == high:
        return say(f"one-{scale}", low=f"{high:g}")
    return say(scale, low=f"{low:g}", high=f"{high:g}")


def _hardness_line(say: Sayings, part: Part) -> str:
    if part.hrc[1] is None and part.hv[1] is None:
        return say("no-hardness", name=part.name)
    return say("steel", name=part.name, hrc=_range(say, "hrc", part.hrc), hv=_range(say, "hv", part.hv))


def _passed(base: Base, say: Sayings, part: Part, family: str, plated: bool) -> list[str]:
    """The lines of the documents on this coat that the stated hardness passes, each in its own scale."""
    stated = {"HRC": part.steel.hardness.hrc, "HV": part.steel.hardness.hv, "MPa": part.steel.hardness.tensile_mpa}
    out: list[str] = []
    for row in base.table("hydrogen-lines").records():
        low, high, test = row["low"], row["high"], str(row["test"])
        value = part.hrc[0] if test == "minimum-at-or-above" else stated.get(str(row["scale"]))
        if value is None or not (row["shown"] == family or (plated and row["shown"] == "plated")):
            continue
        inside = (
            (test in ("at-or-above", "minimum-at-or-above") and value >= _n(low))
            or (test == "above" and value > _n(low))
            or (test == "from-to" and _n(low) <= value <= _n(high))
        )
        if inside:
            limit = say(f"line-test-{test}", low=_g(low), high=_g(high), scale=row["scale"])
            out.append(say("line-passed", document=row["called"], limit=limit, says=row["says"]))
    return out


def _n(cell: object) -> float:
    return float(cell) if isinstance(cell, (int, float)) else float("nan")


def _g(cell: object) -> str:
    return f"{cell:g}" if isinstance(cell, (int, float)) else ""


def _cautions(base: Base, part: Part, verdict: Verdict, risky: bool, wet_zinc: bool) -> tuple[str, ...]:
    unsafe = verdict.word in ("avoid", "forbidden") or part.steel.case_hardened
    wanted = (
        ("warn-hydrogen", risky or unsafe),
        ("warn-wet-hydrogen", wet_zinc or "subsea" in verdict.document),
        ("warn-structural", part.structural),
    )
    return tuple(c for role, shown in wanted if shown for c in base.role(role))
