"""`advisor couple`: two metals in contact, judged by the voltage rule and by practice, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from advisor.calculations.options import Calculation, Option
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple
from advisor.trade import galvanic
from advisor.trade.galvanic import Couple

OPTIONS = (
    Option(
        "metals",
        "the fastener's metal or finish, then the metal it touches",
        True,
        True,
        many=True,
        slots=("mating",),
        least=2,
    ),
    Option(
        "site", "a place such as indoor-dry, outdoor, coastal; default outdoor", slots=("corrosivity", "environment")
    ),
    Option("area-ratio", "area of the nobler metal divided by the area of the less noble one"),
)

DEFAULT_SITE = "outdoor"
_PREFIX = "touching-"


class _Metal(NamedTuple):
    """One side of the couple: the word typed, the group it counts as, its index and potential with their facts."""

    word: str
    group: str
    node: Mapping[str, Any]
    index_v: float | None
    index_cite: str
    potential_v: float | None
    potential_cite: str


class _Practice(NamedTuple):
    verdict: str
    text: str
    remedy: str
    cite: str


class _Site(NamedTuple):
    """A place: what difference it allows, whether it is outdoors or wet, which column of practice counts."""

    word: str
    allowed_v: float
    wet: bool
    column: str
    assumed: bool


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """The verdict on a couple, as contracted; UsageError for an unknown metal or place, or a bad area ratio."""
    words = _words(inputs)
    first, second = (_metal(base, w) for w in words)
    site = _site(base, str(inputs.get("site") or "").strip())
    ratio = _ratio(inputs)
    by_index = first.index_v is not None and second.index_v is not None
    values = [m.index_v if by_index else _potential(m) for m in (first, second)]
    judge = galvanic.judge_by_index if by_index else galvanic.judge_by_potential
    couple = judge((values[0] or 0.0, values[1] or 0.0), site.allowed_v, site.wet, ratio)
    practice = _practice(base, first.group, second.group, site.column)
    reverse = _practice(base, second.group, first.group, site.column) if first.group != second.group else None
    anode = None if couple.anode is None else words[couple.anode]
    results: dict[str, object] = {
        "potential_difference_v": couple.difference_v,
        "allowed_v": couple.allowed_v,
        "verdict": couple.verdict,
        "anode": anode,
        "remedy": _remedy(base, couple, practice),
        "site": site.word,
        "scale": "anodic index" if by_index else "potential in sea water",
        "anodic_index_v": [first.index_v, second.index_v],
        "sea_water_v": [first.potential_v, second.potential_v],
        "practice": None if practice is None else {k: v for k, v in practice._asdict().items() if k != "cite"},
        "practice_reversed": None if reverse is None else {k: v for k, v in reverse._asdict().items() if k != "cite"},
        "rules_disagree": practice is not None and practice.verdict != couple.verdict,
    }
    lines = _lines(words, couple, site, by_index, anode)
    cites = ["anodic-allowed", *(m.index_cite if by_index else m.potential_cite for m in (first, second))]
    if by_index and first.potential_v is not None and second.potential_v is not None and site.wet:
        lines.append(
            f"In sea water they stand at {first.potential_v:+.2f} and {second.potential_v:+.2f} V "
            "(calomel electrode; lower is less noble)."
        )
        cites += [first.potential_cite, second.potential_cite]
    if not site.wet:
        lines.append(str(base.node("dry-indoor-any-couple")["text"]))
        cites.append("dry-indoor-any-couple")
    if ratio is not None:
        factor = galvanic.area_factor(ratio)
        results["area_factor"] = factor
        lines.append(
            f"Area: the nobler metal has {ratio:g} times the area of the other, which is eaten about {factor:.3g} "
            "times as fast as alone."
        )
        cites += ["couple-area-factor", "couple-area-rule"]
    cites += _practice_lines(words, couple, practice, reverse, lines)
    lines.append(f"Remedy: {results['remedy']}")
    cites.append("couple-judge-the-coat")
    shown = {"metals": list(words), "site": site.word, **({} if ratio is None else {"area-ratio": ratio})}
    refused = couple.verdict != "compatible" or (practice is not None and practice.verdict != "compatible")
    cautions = ("galvanic-couple",) if refused else ()
    method = _BY_INDEX if by_index else _BY_POTENTIAL
    return Calculation("couple", shown, results, method, tuple(lines), tuple(dict.fromkeys(cites)), cautions)


_BY_INDEX = (
    "Difference of anodic index against 0.50 V (dry rooms), 0.25 V (damp rooms) or 0.15 V (outdoors, salt, water): "
    "a design convention, not a standard; practice after the area rule of MIL-STD-1250A, 5.6."
)
_BY_POTENTIAL = (
    "Difference of potential in sea water (US naval table), as one side has no anodic index; limits as for the "
    "anodic index."
)


def _practice_lines(
    words: tuple[str, str], couple: Couple, practice: _Practice | None, reverse: _Practice | None, lines: list[str]
) -> list[str]:
    """Adds what practice says in both directions; returns what to cite."""
    cites: list[str] = []
    if practice is not None:
        word = "Practice agrees" if practice.verdict == couple.verdict else f"But practice says {practice.verdict}"
        lines.append(f"{word} for a small fastener of {words[0]} in a larger part of {words[1]}: {practice.text}")
        cites += ["galvanic-practice", practice.cite]
    if reverse is not None and (practice is None or reverse.verdict != practice.verdict):
        lines.append(
            f"The other way round, a small fastener of {words[1]} in a larger part of {words[0]}: {reverse.verdict}. "
            f"{reverse.text}"
        )
        cites += ["galvanic-practice", reverse.cite]
    return cites


def _words(inputs: Mapping[str, str | list[str]]) -> tuple[str, str]:
    given = inputs.get("metals") or []
    words = [given] if isinstance(given, str) else list(given)
    if len(words) != 2:
        raise UsageError(
            f"a couple needs two metals, {len(words)} given; for example: advisor couple stainless-steel aluminium"
        )
    return words[0], words[1]


def _metal(base: Base, word: str) -> _Metal:
    key = "-".join(word.strip().lower().replace("_", " ").split())
    exposures = base.kind("exposure")
    groups = {str(r["word"]): str(r["counts_as"]) for r in base.table("galvanic-words").records()}
    finish = base.kind("finish").get(key)
    group = None
    for name in (key, "" if finish is None else str(finish["family"])):
        group = group or (name if _PREFIX + name in exposures else groups.get(name))
    if group is None:
        raise UsageError(f"'{word}' is not a metal known here; nearest: {_nearest(base, key, groups)}")
    node = exposures[_PREFIX + group]
    cite = str(node.get("anodic_index_v", ""))
    index = float(base.node(cite)["value"]) if cite else None
    potentials = [f for f in node.get("facts", []) if base.kind_of(f) == "fact"]
    potential = float(base.node(potentials[0])["value"]) if potentials else None
    if index is None and potential is None:
        raise UsageError(f"'{word}' is no metal and makes no couple; name the metal it touches. {node['text']}")
    return _Metal(word, group, node, index, cite, potential, str(potentials[0]) if potentials else "")


def _nearest(base: Base, key: str, groups: Mapping[str, str]) -> str:
    # imported late: only a mistyped metal needs it
    from difflib import get_close_matches

    known = [i.removeprefix(_PREFIX) for i in base.kind("exposure") if i.startswith(_PREFIX)]
    return ", ".join(get_close_matches(key, [*known, *groups], 3, 0.4) or known)


def _potential(metal: _Metal) -> float:
    if metal.potential_v is None:
        raise UsageError(
            f"'{metal.word}' has no potential in the sea-water series, so this couple cannot be judged; "
            "name the metal under it, for example stainless-steel or titanium"
        )
    return metal.potential_v


def _site(base: Base, text: str) -> _Site:
    """The place (outdoor when none is given); corrosivity categories count too."""
    word = (text or DEFAULT_SITE).lower().replace(" ", "-").replace("_", "-")
    places = {str(r["place"]): r for r in base.table("anodic-allowed").records()}
    row = places.get(word)
    if row is None:
        raise UsageError(f"'{text}' is not a place known for couples; places: {', '.join(places)}")
    wet = row["outdoors_or_wet"] == "yes"
    return _Site(word, float(row["allowed_v"] or 0.0), wet, str(row["practice_column"]), not text)


def _ratio(inputs: Mapping[str, str | list[str]]) -> float | None:
    text = inputs.get("area-ratio", inputs.get("area_ratio"))
    if not isinstance(text, str) or not text.strip():
        return None
    left, _, right = text.replace(",", ".").partition(":")
    try:
        ratio = float(left) / float(right) if right else float(left)
    except (ValueError, ZeroDivisionError):
        raise UsageError(
            f"--area-ratio '{text}' is not a number; give the area of the nobler metal divided by that of the less "
            "noble one, for example 0.1"
        ) from None
    if not 0 < ratio < float("inf"):
        raise UsageError(f"--area-ratio '{text}' must be a number above 0, for example 0.1")
    return ratio


def _practice(base: Base, fastener: str, partner: str, column: str) -> _Practice | None:
    """What the trade does with a small fastener of the first metal in a larger part of the second."""
    for row in base.table("galvanic-practice").records():
        if row["fastener"] == fastener and row["partner"] == partner:
            return _Practice(str(row[column]), str(row["text"]), str(row["remedy"]), str(row["fact"]))
    return None


def _remedy(base: Base, couple: Couple, practice: _Practice | None) -> str:
    if practice is not None and "compatible" not in (practice.verdict, couple.verdict):
        return practice.remedy
    if couple.verdict == "compatible" and (practice is None or practice.verdict == "compatible"):
        return "none needed"
    if practice is not None:
        return practice.remedy
    return str(base.node("galvanic-couple")["do"])


def _lines(words: tuple[str, str], couple: Couple, site: _Site, by_index: bool, anode: str | None) -> list[str]:
    scale = "anodic index" if by_index else "potential in sea water"
    place = f"{site.word} (assumed)" if site.assumed else site.word
    side = "above" if couple.difference_v > couple.allowed_v else "not above"
    lines = [
        f"{words[0]} with {words[1]}, {place}: {couple.verdict} by the voltage rule.",
        f"Difference of {scale} {couple.difference_v:.2f} V, {side} the {couple.allowed_v:.2f} V allowed there.",
    ]
    if anode is None:
        lines.append("Neither metal is less noble than the other.")
    else:
        lines.append(f"The less noble one is {anode}: it suffers when the joint gets wet.")
    return lines
