"""Reasons for and against a finish: the rules and checks that spoke of it, as sentences with what they rest on."""

from __future__ import annotations

from advisor.reasoning.case import Case
from advisor.reasoning.checks import checks_on
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import listed
from advisor.reasoning.ranking import Ranked
from advisor.reasoning.spoken import Effect
from advisor.records import NamedTuple


class Reason(NamedTuple):
    """A sentence with the nodes it rests on; `rule` is empty where no rule speaks."""

    text: str
    cites: tuple[str, ...]
    rule: str = ""


class Held(NamedTuple):
    """A finish family that is out or conditional, with the reasons; `finish` is its usual member."""

    finish: str
    family: str
    reasons: tuple[Reason, ...]


def of_effect(e: Effect) -> Reason:
    """The reason that an effect gives."""
    return Reason(e.text, e.because, e.rule)


def each_once(reasons: list[Reason]) -> tuple[Reason, ...]:
    """The reasons without repetition, in their order."""
    return tuple(dict.fromkeys(reasons))


def place_words(engine: Engine, case: Case) -> str:
    """The places of a case by name."""
    nodes = engine.base.exposures
    value = case.full.get("environment")
    return ", ".join(nodes[e].name if e in nodes else str(e) for e in (value if isinstance(value, list) else []))


def reasons_for(engine: Engine, judged: Judged, r: Ranked) -> tuple[Reason, ...]:
    """Why a finish is recommended: a short life in the place first, then what favours it and what checks say."""
    rules, base = engine.rules, engine.base
    bit = rules.bit[r.finish]
    out: list[Reason] = []
    if r.level == 0:
        out.append(Reason(base.phrase("say-weak", place=place_words(engine, judged.case)), ()))
    out += [
        of_effect(e) for e in effects_on(judged, bit) if e.verb == "favour" and float(e.value) > 0 and not e.pending
    ]
    out += [
        Reason(base.phrase(c.phrase, **c.values), c.cites, c.rule)
        for c in checks_on(judged.screened.checks, rules, bit)
    ]
    if not out:
        out.append(Reason(base.finish(r.finish).get("text") or base.families[r.family].text, ()))
    return each_once(out)


def effects_on(judged: Judged, bit: int) -> list[Effect]:
    """The effects that speak of a finish."""
    return [e for s in judged.screened.said for e in s.effects if e.mask is not None and e.mask & bit]


def reasons_against(engine: Engine, judged: Judged, finish: str) -> tuple[Reason, ...]:
    """Why a finish is out: every rule and check that removes it, and the place where no rule has named it."""
    rules, base, screened = engine.rules, engine.base, judged.screened
    bit = rules.bit[finish]
    out: list[Reason] = []
    if rules.mask_of(listed(judged.case.known.get("exclude"))) & bit:
        out.append(Reason(base.phrase("say-ruled-out"), (), "customer"))
    named_a_place = False
    for s in screened.said:
        if not s.against & bit:
            continue
        for e in s.effects:
            if e.mask is None or not e.mask & bit or e.pending:
                continue
            if e.verb == "exclude" or (e.verb == "viability" and e.value == "none"):
                out.append(of_effect(e))
                named_a_place = named_a_place or bool(base.rules[e.rule].places)
    for c in checks_on(screened.checks, rules, bit):
        if c.outcome == "out":
            out.append(Reason(base.phrase(c.phrase, **c.values), c.cites, c.rule))
            named_a_place = named_a_place or bool(base.rules[c.rule].places)
    out += _not_in_play(engine, judged, bit)
    if rules.legacy & bit:
        out.append(Reason(base.phrase("say-legacy"), (), "legacy"))
    if screened.by_place & bit and not named_a_place:
        # a rule that names the place has said it already
        out.append(Reason(base.phrase("say-not-viable", place=place_words(engine, judged.case)), (), "place"))
    return each_once(out)


def _not_in_play(engine: Engine, judged: Judged, bit: int) -> list[Reason]:
    """Why a finish that no rule takes away is not spoken of: not made as that, nothing calls for it, or outlived."""
    base, screened = engine.base, judged.screened
    play = screened.play
    if not play.made.mask & bit and (play.silent | play.unmade) & bit:
        said = [Reason(base.offers[x.offer].text, (x.offer,)) for x in play.made.refusals if x.mask & bit]
        return said or [Reason(base.phrase("say-not-made-so"), ())]
    if screened.out & bit or not screened.silent & bit:
        return []
    if play.silent & bit:
        return [Reason(base.phrase("say-nothing-speaks-for-it"), ())]
    return [Reason(base.phrase("say-weak", place=place_words(engine, judged.case)), (), "place")]


def conditions_on(engine: Engine, judged: Judged, finish: str) -> tuple[Reason, ...]:
    """Under which conditions a finish would be in."""
    rules, base, screened = engine.rules, engine.base, judged.screened
    bit = rules.bit[finish]
    out: list[Reason] = []
    for s in screened.said:
        if s.conditional & bit:
            out += [
                of_effect(e)
                for e in s.effects
                if e.mask is not None
                and e.mask & bit
                and (e.verb == "conditional" or (e.verb == "exclude" and e.pending))
            ]
    for c in checks_on(screened.checks, rules, bit):
        if c.outcome == "conditional":
            out.append(Reason(base.phrase(c.phrase, **c.values), c.cites, c.rule))
    if not out:
        out.append(Reason(base.phrase("say-because-place-unknown"), ()))
    return each_once(out)
