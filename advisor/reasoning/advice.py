"""The advice on an enquiry: what is recommended and why, what is out and why, cautions, referral, open questions.

Every part is made when it is first looked at: a list of parts wants the first place and the cautions, a page of advice
the figures and citations too, and only a list of all questions pays for trying every answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from advisor.reasoning.case import Assumed, Case
from advisor.reasoning.cautions import RaisedCaution, cautions
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import Enquiry
from advisor.reasoning.figures import ShownFigure, figures_of, torque_of
from advisor.reasoning.questions import Question, next_question, open_questions, steady
from advisor.reasoning.ranking import Ranked, contributions
from advisor.reasoning.reasons import (
    Held,
    Reason,
    conditions_on,
    each_once,
    effects_on,
    of_effect,
    reasons_against,
    reasons_for,
)
from advisor.reasoning.robustness import toppling_weights
from advisor.reasoning.spoken import Effect
from advisor.reasoning.trials import MOST_SHOWN, Trials, shown_mask
from advisor.records import NamedTuple

__all__ = ["Advice", "Held", "Reason", "Recommended", "advise"]


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


class Advice:
    """All that is said on an enquiry; without questions where nobody is there to answer them."""

    def __init__(self, engine: Engine, judged: Judged, ask: bool = True, skip: frozenset[str] = frozenset()) -> None:
        self._engine = engine
        self._ask = ask
        self._skip = skip
        self.judged = judged

    def __eq__(self, other: object) -> bool:
        """The same advice: the same enquiry put to the same engine."""
        if not isinstance(other, Advice):
            return NotImplemented
        return self._engine is other._engine and self._ask == other._ask and self.case.enquiry == other.case.enquiry

    __hash__ = None  # type: ignore[assignment]

    @property
    def case(self) -> Case:
        """The case the advice is on."""
        return self.judged.case

    @property
    def assumed(self) -> tuple[Assumed, ...]:
        """What was assumed or derived."""
        return self.case.assumed

    @cached_property
    def _trials(self) -> Trials:
        """The answers tried so far: the next question, the list of questions and the first place share them."""
        return Trials(self._engine, self.judged)

    @cached_property
    def next_question(self) -> Question | None:
        """The one question to ask aloud, found without trying all answers to all others."""
        return next_question(self._engine, self.judged, self._skip, self._trials) if self._ask else None

    @cached_property
    def open_questions(self) -> tuple[Question, ...]:
        """All questions whose answers can still change the advice, as many as are worth listing."""
        listed = open_questions(self._engine, self.judged, trials=self._trials) if self._ask else ()
        return tuple(q for q in listed if q.decision not in self._skip)

    @cached_property
    def cautions(self) -> tuple[RaisedCaution, ...]:
        """The cautions that belong to what is shown."""
        mask = shown_mask(self._engine, self.judged)
        return cautions(self._engine.rules, self.case, self.judged.screened, mask)

    @cached_property
    def recommended(self) -> tuple[Recommended, ...]:
        """The finishes to use, the best first."""
        return tuple(self._recommended(n, r) for n, r in enumerate(self.judged.ranked[:MOST_SHOWN], 1))

    @cached_property
    def holds(self) -> bool:
        """Whether the first place stays for every answer to every open question; unsaid where none is asked."""
        if not self._ask or not self.judged.ranked:
            return self._ask
        q = self.next_question
        if q is not None and any(family != self.judged.ranked[0].family for family in q.outcomes.values()):
            return False
        return steady(self._engine, self.judged, self._trials)

    @cached_property
    def topples(self) -> tuple[str, ...]:
        """The criteria of the ranking with whose weight moved by a quarter another finish comes first."""
        return toppling_weights(self._engine, self.judged)

    @cached_property
    def conditional(self) -> tuple[Held, ...]:
        """Families that are in under a condition, none of them recommended."""
        rules, judged = self._engine.rules, self.judged
        if judged.standing is None:
            return ()
        inside = {r.family for r in judged.ranked}
        out: list[Held] = []
        for family in rules.families_in(judged.screened.conditional):
            if family not in inside:
                finish = self._usual(family, judged.screened.conditional)
                out.append(Held(finish, family, conditions_on(self._engine, judged, finish)))
        return tuple(out)

    @cached_property
    def excluded(self) -> tuple[Held, ...]:
        """Families of which no finish is left."""
        rules, judged = self._engine.rules, self.judged
        screened = judged.screened
        left = {r.family for r in judged.ranked}
        out: list[Held] = []
        for family, mask in rules.family_mask.items():
            gone = mask & screened.out & ~screened.silent
            if family not in left and gone and not screened.conditional & mask:
                finish = self._usual(family, gone)
                out.append(Held(finish, family, reasons_against(self._engine, judged, finish)))
        return tuple(out)

    @cached_property
    def requires(self) -> tuple[Reason, ...]:
        """What is required whatever the finish."""
        return self._general("require")

    @cached_property
    def notes(self) -> tuple[Reason, ...]:
        """What is worth knowing whatever the finish."""
        return self._general("note")

    @cached_property
    def _nothing(self) -> bool:
        """Whether nothing may be recommended, nobody was named to decide, and nothing is left to ask aloud."""
        if self.judged.ranked or self.judged.screened.refer:
            return False
        return self.next_question is None

    @property
    def refer(self) -> str:
        """Who decides: "" (nobody need be asked), advise, or stop."""
        return "advise" if self._nothing else self.judged.screened.refer

    @cached_property
    def referral(self) -> tuple[Reason, ...]:
        """Why somebody qualified must decide."""
        if self._nothing:
            return (Reason(self._engine.base.phrase("say-nothing-recommended"), ()),)
        return each_once([of_effect(e) for e in self._referring])

    @cached_property
    def referral_to(self) -> tuple[str, ...]:
        """Who that is."""
        return tuple(dict.fromkeys(e.to for e in self._referring if e.to))

    @property
    def cheapest(self) -> str:
        """The cheapest recommended finish that lasts, when it is not the first."""
        lasting = [r for r in self.recommended if r.ranked.level == 1 and "relative_cost" in r.figures]
        priced = lasting or [r for r in self.recommended if "relative_cost" in r.figures]
        if not priced:
            return ""
        best = min(priced, key=lambda r: (r.figures["relative_cost"].low * r.figures["relative_cost"].high, r.rank))
        return best.ranked.finish if best.rank != 1 else ""

    @property
    def longest(self) -> str:
        """The longest-lived recommended finish, when it is not the first."""
        if not self.recommended:
            return ""
        best = max(self.recommended, key=lambda r: (r.ranked.level, r.contributions.get("life", 0.0), -r.rank))
        return best.ranked.finish if best.rank != 1 else ""

    def _recommended(self, place: int, r: Ranked) -> Recommended:
        engine, judged = self._engine, self.judged
        bit = engine.rules.bit[r.finish]
        own = [e for e in effects_on(judged, bit) if not e.pending]
        figures = figures_of(engine, judged.case, r.finish)
        torque = torque_of(engine, judged.case, r.finish) if place == 1 else None
        if torque is not None:
            figures["torque_nm"] = torque
        return Recommended(
            place,
            r,
            reasons_for(engine, judged, r),
            figures,
            tuple(Reason(str(e.value), e.because, e.rule) for e in own if e.verb == "require"),
            tuple(Reason(str(e.value), e.because, e.rule) for e in own if e.verb == "note"),
            tuple(c.id for c in self.cautions if c.mask & bit),
            place == 1 and not judged.screened.out_by_assumption & bit and self.holds,
            contributions(engine.rules, engine.scales, judged.case, judged.screened, r),
        )

    @property
    def _referring(self) -> list[Effect]:
        """The effects that hand over to somebody, for sure."""
        said = (s for s in self.judged.screened.said if s.refer)
        return [e for s in said for e in s.effects if e.verb == "refer" and not e.assumed and not e.pending]

    def _general(self, verb: str) -> tuple[Reason, ...]:
        return each_once(
            [
                Reason(str(e.value), e.because, e.rule)
                for e in self.judged.screened.effects
                if e.verb == verb and e.mask is None and not e.assumed and not e.pending
            ]
        )

    def _usual(self, family: str, mask: int) -> str:
        """The member of a family to speak of: the usual one where it is in a mask, else the first there."""
        rules = self._engine.rules
        return next(rules.members(rules.usual_in(rules.family_mask[family] & mask)))


def advise(
    engine: Engine,
    enquiry: Enquiry,
    judged: Judged | None = None,
    ask: bool = True,
    skip: frozenset[str] = frozenset(),
) -> Advice:
    """The advice on an enquiry. `ask=False` leaves the questions out (parts lists, comparisons); `skip` are decisions
    that the talk has done with."""
    return Advice(engine, judged or engine.judge(enquiry), ask, skip)
