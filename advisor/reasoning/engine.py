"""The engine: a base prepared for reasoning, and the quick judgement of a case that questions and what-ifs vary."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from advisor.graph.base import Base
from advisor.reasoning.case import Case, Casework
from advisor.reasoning.checks import Checks
from advisor.reasoning.chorus import Chorus
from advisor.reasoning.enquiry import Enquiry
from advisor.reasoning.in_play import Offers
from advisor.reasoning.judging import join
from advisor.reasoning.ranking import Ranked, Standing, ranked_of, stand
from advisor.reasoning.rulebase import Rulebase
from advisor.reasoning.scales import Scales
from advisor.reasoning.screening import Screened, combine
from advisor.reasoning.spoken import Spoken, Truths
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.reasoning.questions import OpenDecision


class Judged(NamedTuple):
    """A case with its screening and ranking, and the states behind them that a variation starts from."""

    case: Case
    state: Truths
    screened: Screened
    standing: Standing | None
    ranked: tuple[Ranked, ...]

    @property
    def said(self) -> Mapping[int, Spoken]:
        """What every rule says that speaks, by its number."""
        return self.screened.chorus.by_rule


class Engine:
    """Everything prepared once per base. Holds no state of any enquiry."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.rules = Rulebase(base)
        self.scales = Scales(self.rules)
        self.casework = Casework(base)
        self.checks = Checks(self.rules)
        self.asked: tuple[OpenDecision, ...] = ()  # filled by the first that asks (`reasoning.questions`)
        self.screened_slots = frozenset(i for i, s in base.kind("slot").items() if s.get("screened"))

    def complete(self, enquiry: Enquiry) -> Case:
        """The case that is made of an enquiry."""
        return self.casework.complete(enquiry)

    def judge(self, enquiry: Enquiry) -> Judged:
        """Screen and rank an enquiry."""
        case = self.complete(enquiry)
        state = self.state_of(case)
        return self._judged(case, state, self.screen(case, self.rules.voices.all_said(state)), None)

    def state_of(self, case: Case) -> Truths:
        """The clauses of all conditions for a case."""
        judging = self.rules.voices.judging
        full = judging.pairs(case.full, case.told)
        known = judging.pairs(case.known, case.told)
        bits = join(full)
        return Truths.of(bits, bits if known == full else join(known))

    def vary(self, judged: Judged, enquiry: Enquiry) -> Judged:
        """As judge, for an enquiry that differs in few slots: only what these slots can change is judged anew."""
        case = self.complete(enquiry)
        state = self.state_of(case)
        voices = self.rules.voices
        changes = voices.changes(judged.state, judged.said, voices.whole(voices.live(judged.state)), state)
        moved = _changed(judged.case, case)
        if not changes and not moved & self.screened_slots:
            # nothing that is shown can differ: the old outcome stands for the new case
            return judged._replace(case=case, state=state)
        before = judged.screened
        screened = self.screen_after(before, case, before.chorus.changed(changes), moved)
        return self._judged(case, state, screened, judged.standing)

    def _judged(self, case: Case, state: Truths, screened: Screened, before: Standing | None) -> Judged:
        standing = self.standing(case, screened, before)
        ranked = ranked_of(self.rules, standing) if standing is not None else ()
        return Judged(case, state, screened, standing, ranked)

    def screen(self, case: Case, said: Mapping[int, Spoken]) -> Screened:
        """The outcome for what the rules say of a case."""
        made, checks = self.rules.offers.made(case), self.checks.of(case)
        return combine(self.rules, self.casework.places, case, Chorus(said), checks, made)

    def screen_after(self, before: Screened, case: Case, chorus: Chorus, moved: Collection[str]) -> Screened:
        """The outcome when some rules say something else and some slots may have moved, the rest taken over."""
        rules = self.rules
        checks = before.checks if Checks.READS.isdisjoint(moved) else self.checks.of(case)
        made = before.play.made if Offers.READS.isdisjoint(moved) else rules.offers.made(case)
        return combine(rules, self.casework.places, case, chorus, checks, made)

    def standing(
        self, case: Case, screened: Screened, before: Standing | None = None, moved: tuple[str, float] | None = None
    ) -> Standing | None:
        """The ranking, with a weight moved by a factor where that is asked; None where everything stops."""
        if screened.refer == "stop":
            return None
        return stand(self.rules, self.scales, case, screened, before, moved)


def _changed(a: Case, b: Case) -> set[str]:
    out: set[str] = set()
    for old, new in ((a.full, b.full), (a.known, b.known), (a.told, b.told)):
        out.update(_differing(old, new))
    return out


def _differing(a: Mapping[str, Any], b: Mapping[str, Any]) -> set[str]:
    return {s for s in {*a, *b} if a.get(s) != b.get(s)}
