"""The advice on an enquiry: what is recommended and why, what is out and why, cautions, referral, open questions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from advisor.reasoning.cautions import Caution, cautions
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import Assumed, Case, Enquiry
from advisor.reasoning.figures import ShownFigure, figures_of, torque_of
from advisor.reasoning.questions import Question, open_questions, shown_mask
from advisor.reasoning.ranking import Ranked, contributions

MOST_RECOMMENDED = 6


class Reason(NamedTuple):
    """A sentence with the nodes it rests on; `rule` is empty where no rule speaks."""

    text: str
    cites: tuple[str, ...]
    rule: str = ""


class Recommended(NamedTuple):
    """One recommended finish."""

    rank: int
    ranked: Ranked
    reasons: tuple[Reason, ...]
    figures: Mapping[str, ShownFigure]
    requires: tuple[Reason, ...]
    notes: tuple[Reason, ...]
    cautions: tuple[str, ...]
    holds_for_every_unknown: bool
    contributions: Mapping[str, float]


class Held(NamedTuple):
    """A finish family that is out or conditional, with the reasons; `finish` is its usual member."""

    finish: str
    family: str
    reasons: tuple[Reason, ...]


class Advice(NamedTuple):
    """All that is said on an enquiry."""

    judged: Judged
    recommended: tuple[Recommended, ...]
    conditional: tuple[Held, ...]
    excluded: tuple[Held, ...]
    cautions: tuple[Caution, ...]
    requires: tuple[Reason, ...]
    notes: tuple[Reason, ...]
    assumed: tuple[Assumed, ...]
    open_questions: tuple[Question, ...]
    referral: tuple[Reason, ...]
    referral_to: tuple[str, ...]
    refer: str
    cheapest: str
    longest: str

    @property
    def case(self) -> Case:
        """The case the advice is on."""
        return self.judged.case


def advise(engine: Engine, enquiry: Enquiry, judged: Judged | None = None, ask: bool = True) -> Advice:
    """The advice on an enquiry. `ask=False` leaves the open questions out (parts lists, comparisons)."""
    judged = judged or engine.judge(enquiry)
    case, screened = judged.case, judged.screened
    questions = open_questions(engine, judged) if ask else ()
    mask = shown_mask(engine, judged, MOST_RECOMMENDED)
    warned = cautions(engine.rules, case, screened, mask)
    swing = {family for q in questions for family in q.outcomes.values()} if questions else set()
    recommended = tuple(
        _recommended(engine, judged, n + 1, r, warned, not (swing - {r.family}) if n == 0 else False)
        for n, r in enumerate(judged.ranked[:MOST_RECOMMENDED])
    )
    referral = _referral(engine, judged)
    refer = screened.refer
    if not recommended and not refer and not questions:
        refer = "advise"
        referral = (Reason(engine.base.phrase("say-nothing-recommended"), ()),)
    return Advice(
        judged,
        recommended,
        _conditional(engine, judged),
        _excluded(engine, judged),
        warned,
        _general(judged, "require"),
        _general(judged, "note"),
        case.assumed,
        questions,
        referral,
        tuple(
            dict.fromkeys(
                e.to for e in screened.effects if e.verb == "refer" and e.to and not e.assumed and not e.pending
            )
        ),
        refer,
        _cheapest(engine, recommended),
        _longest(recommended),
    )


def _recommended(
    engine: Engine, judged: Judged, place: int, r: Ranked, warned: Iterable[Caution], holds: bool
) -> Recommended:
    bit = engine.rules.bit[r.finish]
    own = [e for e in judged.screened.effects if e.mask is not None and e.mask & bit and not e.pending]
    reasons = [Reason(e.text, e.because, e.rule) for e in own if e.verb == "favour" and float(e.value) > 0]
    if r.level == 0:
        places = engine.base.phrase("say-weak", place=place_words(engine, judged.case))
        reasons.insert(0, Reason(places, ()))
    reasons.extend(
        Reason(engine.base.phrase(c.phrase, **c.values), c.cites, c.rule)
        for c in judged.screened.checks
        if c.mask & bit
    )
    if not reasons:
        text = engine.base.kind("finish")[r.finish].get("text") or engine.base.kind("family")[r.family]["text"]
        reasons.append(Reason(text, ()))
    figures = figures_of(engine, judged.case, r.finish)
    torque = torque_of(engine, judged.case, r.finish) if place == 1 else None
    if torque is not None:
        figures["torque_nm"] = torque
    return Recommended(
        place,
        r,
        tuple(dict.fromkeys(reasons)),
        figures,
        tuple(Reason(str(e.value), e.because, e.rule) for e in own if e.verb == "require"),
        tuple(Reason(str(e.value), e.because, e.rule) for e in own if e.verb == "note"),
        tuple(c.id for c in warned if c.mask & bit),
        holds and not (judged.screened.out_by_assumption & bit),
        contributions(engine.rules, engine.scales, judged.case, judged.screened, r),
    )


def place_words(engine: Engine, case: Case) -> str:
    """The places of a case by name."""
    nodes = engine.base.kind("exposure")
    value = case.full.get("environment")
    listed = value if isinstance(value, list) else []
    return ", ".join(str(nodes[e]["name"]) if e in nodes else str(e) for e in listed)


def _general(judged: Judged, verb: str) -> tuple[Reason, ...]:
    return tuple(
        dict.fromkeys(
            Reason(str(e.value), e.because, e.rule)
            for e in judged.screened.effects
            if e.verb == verb and e.mask is None and not e.assumed and not e.pending
        )
    )


def reasons_against(engine: Engine, judged: Judged, finish: str) -> tuple[Reason, ...]:
    """Why a finish is out: every rule and check that removes it, and the place where no rule has named it."""
    rules = engine.rules
    bit = rules.bit[finish]
    case = judged.case
    out: list[Reason] = []
    if rules.mask_of(case.known.get("exclude") or []) & bit:
        out.append(Reason(engine.base.phrase("say-ruled-out"), (), "customer"))
    for e in judged.screened.effects:
        if (
            e.mask is not None
            and e.mask & bit
            and not e.pending
            and (e.verb == "exclude" or (e.verb == "viability" and e.value == "none"))
        ):
            out.append(Reason(e.text, e.because, e.rule))
    for c in judged.screened.checks:
        if c.mask & bit and c.outcome == "out":
            out.append(Reason(engine.base.phrase(c.phrase, **c.values), c.cites, c.rule))
    if rules.legacy & bit:
        out.append(Reason(engine.base.phrase("say-legacy"), (), "legacy"))
    named_in = (rules.by_id[r.rule].places for r in out if r.rule in rules.by_id)
    if judged.screened.by_place & bit and not any(named_in):
        # a rule that names the place has said it already
        out.append(Reason(engine.base.phrase("say-not-viable", place=place_words(engine, case)), (), "place"))
    return tuple(dict.fromkeys(out))


def conditions_on(engine: Engine, judged: Judged, finish: str) -> tuple[Reason, ...]:
    """Under which conditions a finish would be in."""
    bit = engine.rules.bit[finish]
    out: list[Reason] = []
    for e in judged.screened.effects:
        if e.mask is not None and e.mask & bit and (e.verb == "conditional" or (e.verb == "exclude" and e.pending)):
            out.append(Reason(e.text, e.because, e.rule))
    for c in judged.screened.checks:
        if c.mask & bit and c.outcome == "conditional":
            out.append(Reason(engine.base.phrase(c.phrase, **c.values), c.cites, c.rule))
    if not out:
        out.append(Reason(engine.base.phrase("say-because-place-unknown"), ()))
    return tuple(dict.fromkeys(out))


def _usual(engine: Engine, family: str, mask: int) -> str:
    usual = engine.base.kind("family")[family].get("usual")
    if usual and engine.rules.bit.get(str(usual), 0) & mask:
        return str(usual)
    return next(engine.rules.members(engine.rules.family_mask[family] & mask))


def _conditional(engine: Engine, judged: Judged) -> tuple[Held, ...]:
    if judged.screened.refer == "stop":
        return ()
    inside = {r.family for r in judged.ranked}
    out: list[Held] = []
    for family in engine.rules.families_in(judged.screened.conditional):
        if family not in inside:
            finish = _usual(engine, family, judged.screened.conditional)
            out.append(Held(finish, family, conditions_on(engine, judged, finish)))
    return tuple(out)


def _excluded(engine: Engine, judged: Judged) -> tuple[Held, ...]:
    """Families of which no finish is left."""
    rules = engine.rules
    out: list[Held] = []
    left = {r.family for r in judged.ranked}
    for family, mask in rules.family_mask.items():
        if (
            family in left
            or judged.screened.conditional & mask
            or not (mask & ~rules.legacy or mask & judged.screened.out)
        ):
            continue
        gone = mask & judged.screened.out
        if gone:
            finish = _usual(engine, family, gone)
            out.append(Held(finish, family, reasons_against(engine, judged, finish)))
    return tuple(out)


def _referral(engine: Engine, judged: Judged) -> tuple[Reason, ...]:
    return tuple(
        dict.fromkeys(
            Reason(e.text, e.because, e.rule)
            for e in judged.screened.effects
            if e.verb == "refer" and not e.assumed and not e.pending
        )
    )


def _cheapest(engine: Engine, recommended: tuple[Recommended, ...]) -> str:
    """The cheapest recommended finish that lasts, when it is not the first."""
    lasting = [r for r in recommended if r.ranked.level == 1 and "relative_cost" in r.figures] or list(recommended)
    priced = [r for r in lasting if "relative_cost" in r.figures]
    if not priced:
        return ""
    best = min(priced, key=lambda r: (r.figures["relative_cost"].low * r.figures["relative_cost"].high, r.rank))
    return best.ranked.finish if best.rank != 1 else ""


def _longest(recommended: tuple[Recommended, ...]) -> str:
    """The longest-lived recommended finish, when it is not the first."""
    if not recommended:
        return ""
    best = max(recommended, key=lambda r: (r.ranked.level, r.contributions.get("life", 0.0), -r.rank))
    return best.ranked.finish if best.rank != 1 else ""
