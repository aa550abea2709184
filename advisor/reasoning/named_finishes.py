"""What screening and ranking make of the finishes that a question names: will one do, which of several, and why."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.calculations.sayings import span
from advisor.reasoning.case import ASKS
from advisor.reasoning.cautions import cautions
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, Said, listed
from advisor.reasoning.explain import WhyNot, why_not
from advisor.reasoning.figures import ShownFigure, figures_of
from advisor.reasoning.reasons import Reason, effects_on, of_effect, reasons_for
from advisor.records import NamedTuple

VERDICTS = {"in": "yes", "out": "no", "conditional": "depends"}
TELLS_NOTHING = frozenset((ASKS, "circumstance", "named", "finish_asked", "finish_now", "callout", "ordered"))
"""Slots that tell nothing of the place or the part on which a verdict could rest."""
OF_THE_PLACE = frozenset(
    ("environment", "corrosivity", "mating", "chemical", "application", "temperature_c", "life_years", "duty")
)
"""Slots that tell where it lives and what it touches: without one of them a short life is only assumed."""
WEIGHING = frozenset(("viability", "favour", "warn"))
"""Effects of rules that speak for or against a finish in its place."""
PLACE, LIFE, HOURS = "environment", "life_years", "salt_spray_hours"
LEAST_BESIDE, MOST_BESIDE = 2, 3


class FinishVerdict(NamedTuple):
    """What to say of the finishes asked about: yes, no, depends or choice, the text, the nodes it rests on.

    `offer`: what is offered instead or stands first.
    """

    verdict: str
    text: str
    cites: tuple[str, ...] = ()
    offer: str = ""


def verdict_on(engine: Engine, judged: Judged, families: Sequence[str]) -> FinishVerdict | None:
    """May it be, will it do; None where nothing was told that a verdict could rest on.

    A word for several finishes ("stainless") means the first of them; where another of them does better it is told.
    """
    if not judged.case.told.keys() - TELLS_NOTHING:
        return None
    found = _verdict(engine, judged, families[0])
    if found is None or found.verdict == "yes" or not judged.case.told.keys() & OF_THE_PLACE:
        return found
    for family in families[1:]:
        other = _verdict(engine, judged, family)
        if other is not None and other.verdict == "yes":
            better = engine.base.phrase("answered-better", finish=engine.base.families[family].name)
            return FinishVerdict("depends", found.text, found.cites, better)
    return found


def _verdict(engine: Engine, judged: Judged, family: str) -> FinishVerdict | None:
    """The verdict on one finish, with what is offered in its place."""
    w = why_not(engine, judged, family)
    name, words = engine.base.families[family].name, engine.base.phrase
    reason = w.reasons[0] if w.reasons else _held_back(engine, judged)
    if w.state != "in":
        if reason is None:
            return None
        text = words(f"answered-{w.state}", finish=name, reason=reason.text)
        return FinishVerdict(VERDICTS[w.state], text, reason.cites, _offer(engine, judged, family))
    if reason is not None:
        return FinishVerdict("depends", words("answered-conditional", finish=name, reason=reason.text), reason.cites)
    measured = _by_figures(engine, judged, w)
    if measured is not None:
        return measured
    if not judged.ranked[w.rank - 1].level and judged.case.told.keys() & OF_THE_PLACE:
        bit = engine.rules.bit[w.finish]
        cites = tuple(c for e in effects_on(judged, bit) if e.verb in WEIGHING for c in e.because)
        return FinishVerdict("depends", words("answered-weak", finish=name), cites, _offer(engine, judged, family))
    first = judged.ranked[0].family
    behind = words("answered-first", first=engine.base.families[first].name) if w.rank > 1 else ""
    return FinishVerdict("yes", words("answered-in", finish=name), (), behind)


def figure_asked(
    engine: Engine, judged: Judged, families: Sequence[str], quantities: Sequence[str]
) -> FinishVerdict | None:
    """One figure of each of the finishes named: how hot, how thick, how many hours; None where none has it."""
    shown: list[str] = []
    cites: list[str] = []
    for family in families[:MOST_BESIDE]:
        figures = figures_of(engine, judged.case, engine.base.resolve_finish(family))
        quantity = next((q for q in quantities if q in figures), "")
        if quantity:
            figure = figures[quantity]
            text = engine.base.phrase(
                f"answered-{quantity.replace('_', '-')}", span=span((figure.low, figure.high)), high=f"{figure.high:g}"
            )
            shown.append(f"{engine.base.families[family].name}: {text}")
            cites += figure.cites
    return FinishVerdict("figure", "; ".join(shown) + ".", tuple(dict.fromkeys(cites))) if shown else None


def differ(engine: Engine, judged: Judged, families: Sequence[str]) -> FinishVerdict | None:
    """What each of several finishes is, side by side: what it is, how thick, what it costs."""
    sides: list[str] = []
    cites: list[str] = []
    for family in families[:MOST_BESIDE]:
        figures = figures_of(engine, judged.case, engine.base.resolve_finish(family))
        parts = [
            engine.base.phrase(phrase, span=span((figures[q].low, figures[q].high)), high=f"{figures[q].high:g}")
            for q, phrase in (("thickness_um", "answered-thickness-um"), ("relative_cost", "answered-costs"))
            if q in figures
        ]
        what = str(engine.base.node(family).get("text", "")).split(". ")[0].rstrip(".")
        name = engine.base.families[family].name
        sides.append(engine.base.phrase("answered-side", finish=name, what=what, parts=", ".join(parts)))
        cites += [family, *(c for q in ("thickness_um", "relative_cost") if q in figures for c in figures[q].cites)]
    return FinishVerdict("choice", " ".join(sides), tuple(dict.fromkeys(cites))) if len(sides) > 1 else None


def _offer(engine: Engine, judged: Judged, family: str) -> str:
    """What is offered instead of a finish, where something is."""
    first = next((r.family for r in judged.ranked if r.family != family and r.level), "")
    return engine.base.phrase("answered-offer", finish=engine.base.families[first].name) if first else ""


def _by_figures(engine: Engine, judged: Judged, w: WhyNot) -> FinishVerdict | None:
    """Whether it reaches the years or hours that are asked, by its own figures."""
    told, words = judged.case.told, engine.base.phrase
    figures = figures_of(engine, judged.case, w.finish)
    red = told.get("rust") != "white"
    asked = ((LIFE, "life_years", "years"), (HOURS, "salt_spray_red_h" if red else "salt_spray_white_h", "hours"))
    for slot, quantity, kind in asked:
        wanted, figure = told.get(slot), figures.get(quantity)
        if not isinstance(wanted, (int, float)) or figure is None:
            continue
        verdict = "yes" if figure.low >= wanted else "no" if figure.high < wanted else "depends"
        text = words(
            f"answered-{kind}-{verdict}",
            finish=str(engine.base.finish(w.finish)["name"]),
            span=span((figure.low, figure.high)),
            wanted=f"{wanted:g}",
        )
        return FinishVerdict(verdict, text, figure.cites, "" if verdict == "yes" else _offer(engine, judged, w.family))
    return None


def which_of(engine: Engine, judged: Judged, choices: Sequence[Sequence[str]]) -> FinishVerdict | None:
    """Which of several finishes: the first of them with the fact that decides, or by the place where none was told.

    Nothing where one is left because the customer ruled the others out.
    """
    excluded = listed(judged.case.known.get("exclude"))
    families = tuple(
        min((why_not(engine, judged, f) for f in choice), key=_standing).family
        for choice in choices[:MOST_BESIDE]
        if not set(choice) & set(excluded)
    )
    if len(families) < LEAST_BESIDE:
        return None
    if judged.case.told.get(PLACE) in (None, UNKNOWN):
        found = _by_place(engine, judged, families)
        if found is not None:
            return found
    best, *others = sorted((why_not(engine, judged, f) for f in families), key=_standing)
    words, name = engine.base.phrase, engine.base.families[best.family].name
    if best.state == "out":
        reasons = [w.reasons[0] for w in (best, *others) if w.reasons]
        if not reasons:
            return None
        text = words("answered-neither", reason=reasons[0].text)
        return FinishVerdict("no", text, reasons[0].cites, _offer(engine, judged, best.family))
    against = next((w for w in others if w.state == "out" and w.reasons), None)
    if against is not None:
        other = engine.base.families[against.family].name
        text = words("answered-rather", first=name, other=other, reason=against.reasons[0].text)
        return FinishVerdict("choice", text, against.reasons[0].cites)
    return _beside_each_other(engine, judged, (best, *others))


def _beside_each_other(engine: Engine, judged: Judged, sides: Sequence[WhyNot]) -> FinishVerdict:
    """The first of several that all will do, with what favours it, and their lives and prices."""
    best, words = sides[0], engine.base.phrase
    shown: list[str] = []
    cites: list[str] = []
    for w in sides:
        figures = figures_of(engine, judged.case, w.finish)
        shown.append(_side(engine, w, figures))
        cites += [c for q in ("life_years", "relative_cost") if q in figures for c in figures[q].cites]
    first = judged.ranked[best.rank - 1] if best.rank else None
    why = reasons_for(engine, judged, first)[:1] if first is not None and first.level else ()
    because = " ".join(r.text for r in why)
    cites += [c for r in why for c in r.cites]
    name = engine.base.families[best.family].name
    text = words("answered-which", first=name, because=because, sides="; ".join(shown))
    return FinishVerdict("choice", text.replace("  ", " "), tuple(dict.fromkeys(cites)))


def _by_place(engine: Engine, judged: Judged, families: Sequence[str]) -> FinishVerdict | None:
    """Which of them in each of the usual places; None where it is the same in all."""
    bests: dict[str, list[str]] = {}
    for place in engine.base.role("by-place"):
        other = engine.vary(judged, _at(judged.case.enquiry, place))
        best = min((why_not(engine, other, f) for f in families), key=_standing)
        if best.state != "out":
            bests.setdefault(best.family, []).append(engine.base.exposures[place].name)
    if len(bests) < LEAST_BESIDE:
        return None
    listed_ = "; ".join(f"{', '.join(places)}: {engine.base.families[f].name}" for f, places in bests.items())
    return FinishVerdict("depends", engine.base.phrase("answered-by-place", listed=listed_))


def _at(enquiry: Enquiry, place: str) -> Enquiry:
    return enquiry.with_slot(PLACE, Said([place], "", 1.0, "set"))


def _standing(w: WhyNot) -> tuple[bool, bool, int]:
    return w.state != "in", w.state != "conditional", w.rank


def _side(engine: Engine, w: WhyNot, figures: dict[str, ShownFigure]) -> str:
    """One finish with its life in the place and its price."""
    parts = [
        engine.base.phrase(phrase, span=span((figures[q].low, figures[q].high)))
        for q, phrase in (("life_years", "answered-lasts"), ("relative_cost", "answered-costs"))
        if q in figures
    ]
    return " ".join([engine.base.families[w.family].name, ", ".join(parts)]).strip()


def _held_back(engine: Engine, judged: Judged) -> Reason | None:
    """What stands before a plain yes: somebody qualified has to decide, or a STOP belongs to what was told."""
    referring = [e for e in judged.screened.effects if e.verb == "refer" and not e.assumed and not e.pending]
    if referring:
        return of_effect(referring[0])
    stops = [c for c in cautions(engine.rules, judged.case, judged.screened, 0) if c.severity == "stop"]
    return Reason(engine.base.cautions[stops[0].id].text, (stops[0].id,)) if stops else None
