"""`advisor couple`: two metals in contact, judged by the voltage rule and by practice, side by side."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.options import Calculation, Option
from advisor.calculations.sayings import Sayings
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple
from advisor.trade import galvanic
from advisor.trade.galvanic import Couple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

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
    pair = _metal(base, words[0]), _metal(base, words[1])
    site = _site(base, str(inputs.get("site") or "").strip())
    ratio = _ratio(inputs)
    by_index = all(m.index_v is not None for m in pair)
    values = [m.index_v if by_index else _potential(m) for m in pair]
    judge = galvanic.judge_by_index if by_index else galvanic.judge_by_potential
    couple = judge((values[0] or 0.0, values[1] or 0.0), site.allowed_v, site.wet, ratio)
    found = _Found(base, Sayings(base, "couple"), pair, couple, site, by_index)
    practice = _practice(base, pair[0].group, pair[1].group, site.column)
    reverse = _practice(base, pair[1].group, pair[0].group, site.column) if pair[0].group != pair[1].group else None
    remedy = _remedy(base, couple, practice)
    results: dict[str, object] = {
        "potential_difference_v": couple.difference_v,
        "allowed_v": couple.allowed_v,
        "verdict": couple.verdict,
        "anode": None if couple.anode is None else words[couple.anode],
        "remedy": remedy,
        "site": site.word,
        "scale": found.scale,
        "anodic_index_v": [m.index_v for m in pair],
        "sea_water_v": [m.potential_v for m in pair],
        "practice": _told(practice),
        "practice_reversed": _told(reverse),
        "rules_disagree": practice is not None and practice.verdict != couple.verdict,
    }
    lines, cites = _lines(found)
    for more, cited in (
        _sea_water(found, results),
        _dry(found),
        _area(found, ratio, results),
        _practised(found, practice, reverse),
    ):
        lines += more
        cites += cited
    lines.append(found.say("remedy", remedy=remedy))
    cites += base.role("couple-judge")
    shown = {"metals": list(words), "site": site.word, **({} if ratio is None else {"area-ratio": ratio})}
    refused = couple.verdict != "compatible" or (practice is not None and practice.verdict != "compatible")
    method = found.say("method-index" if by_index else "method-potential")
    cautions = base.role("warn-couple") if refused else ()
    return Calculation("couple", shown, results, method, tuple(lines), tuple(dict.fromkeys(cites)), cautions)


class _Found(NamedTuple):
    """What every part of the answer reads."""

    base: Base
    say: Sayings
    pair: tuple[_Metal, _Metal]
    couple: Couple
    site: _Site
    by_index: bool

    @property
    def scale(self) -> str:
        """The scale of the verdict in words."""
        return self.say("scale-index" if self.by_index else "scale-potential")


_Part = tuple[list[str], list[str]]
"""Lines and what they cite."""


def _told(practice: _Practice | None) -> dict[str, str] | None:
    return None if practice is None else {k: v for k, v in practice._asdict().items() if k != "cite"}


def _lines(found: _Found) -> _Part:
    """The verdict by the voltage rule."""
    say, couple, site = found.say, found.couple, found.site
    first, second = (m.word for m in found.pair)
    place = say("assumed", site=site.word) if site.assumed else site.word
    side = say("above" if couple.difference_v > couple.allowed_v else "not-above")
    figures = {"difference": f"{couple.difference_v:.2f}", "allowed": f"{couple.allowed_v:.2f}"}
    lines = [
        say("verdict", first=first, second=second, place=place, verdict=couple.verdict),
        say("difference", scale=found.scale, side=side, **figures),
    ]
    if couple.anode is None:
        lines.append(say("no-anode"))
    else:
        lines.append(say("anode-index" if found.by_index else "anode", anode=found.pair[couple.anode].word))
    cites = ["anodic-allowed", *(m.index_cite if found.by_index else m.potential_cite for m in found.pair)]
    return lines, cites


def _sea_water(found: _Found, results: dict[str, object]) -> _Part:
    """Where it is wet: the potentials in sea water, and which metal they put at risk where the index says the other."""
    first, second = found.pair
    if not (found.by_index and found.site.wet) or first.potential_v is None or second.potential_v is None:
        return [], []
    lines = [found.say("sea-water", first=f"{first.potential_v:+.2f}", second=f"{second.potential_v:+.2f}")]
    lower = 0 if first.potential_v < second.potential_v else 1
    if first.potential_v != second.potential_v and found.couple.anode not in (None, lower):
        results["anode_in_sea_water"] = found.pair[lower].word
        lines.append(found.say("sea-water-other", anode=found.pair[lower].word))
    return lines, [first.potential_cite, second.potential_cite]


def _dry(found: _Found) -> _Part:
    fact = found.base.role("couple-dry")[0]
    return ([], []) if found.site.wet else ([str(found.base.node(fact)["text"])], [fact])


def _area(found: _Found, ratio: float | None, results: dict[str, object]) -> _Part:
    """How much faster the smaller metal is eaten."""
    if ratio is None:
        return [], []
    factor = galvanic.area_factor(ratio)
    results["area_factor"] = factor
    line = found.say("area", ratio=f"{ratio:g}", factor=f"{factor:.3g}")
    return [line], list(found.base.role("couple-areas"))


def _practised(found: _Found, practice: _Practice | None, reverse: _Practice | None) -> _Part:
    """What practice says in both directions."""
    first, second = (m.word for m in found.pair)
    lines: list[str] = []
    cites: list[str] = []
    if practice is not None:
        agrees = practice.verdict == found.couple.verdict
        word = found.say("agrees") if agrees else found.say("disagrees", verdict=practice.verdict)
        lines.append(found.say("practice", word=word, first=first, second=second, text=practice.text))
        cites += ["galvanic-practice", practice.cite]
    if reverse is not None and (practice is None or reverse.verdict != practice.verdict):
        said = {"first": second, "second": first, "verdict": reverse.verdict, "text": reverse.text}
        lines.append(found.say("practice-reversed", **said))
        cites += ["galvanic-practice", reverse.cite]
    return lines, cites


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
        return base.phrase("say-couple-none-needed")
    if practice is not None:
        return practice.remedy
    return str(base.node(base.role("warn-couple")[0])["do"])
