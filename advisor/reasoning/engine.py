"""The engine: a base prepared for reasoning, and the quick judgement of a case that questions and what-ifs vary."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.reasoning.case import Case, Casework
from advisor.reasoning.checks import Checks
from advisor.reasoning.enquiry import Enquiry
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


class Judged(NamedTuple):
    """A case with its screening and ranking, and the states behind them that a variation starts from."""

    case: Case
    state: Truths
    said: dict[int, Spoken]
    screened: Screened
    standing: Standing | None
    ranked: tuple[Ranked, ...]


class Engine:
    """Everything prepared once per base. Holds no state of any enquiry."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.rules = Rulebase(base)
        self.scales = Scales(self.rules)
        self.casework = Casework(base)
        self.checks = Checks(self.rules)
        self.screened_slots = frozenset(i for i, s in base.kind("slot").items() if s.get("screened"))

    def complete(self, enquiry: Enquiry) -> Case:
        """The case that is made of an enquiry."""
        return self.casework.complete(enquiry)

    def judge(self, enquiry: Enquiry) -> Judged:
        """Screen and rank an enquiry."""
        case = self.complete(enquiry)
        state = self.state_of(case)
        return self._judged(case, state, self.rules.voices.all_said(state), None)

    def state_of(self, case: Case) -> Truths:
        """The clauses of all conditions for a case."""
        judging = self.rules.voices.judging
        full = judging.pairs(case.full, case.told)
        known = judging.pairs(case.known, case.told)
        bits = join(full)
        return Truths(bits, bits if known == full else join(known))

    def vary(self, judged: Judged, enquiry: Enquiry) -> Judged:
        """As judge, for an enquiry that differs in few slots: only what these slots can change is judged anew."""
        case = self.complete(enquiry)
        state = self.state_of(case)
        said = self.said_after(judged, state)
        if said is judged.said and not (_changed(judged.case, case) & self.screened_slots):
            # nothing that is shown can differ: the old outcome stands for the new case
            return judged._replace(case=case, state=state)
        return self._judged(case, state, said, judged.standing)

    def said_after(self, judged: Judged, state: Truths) -> dict[int, Spoken]:
        """What the rules say in another state; the very same dictionary when they say what they said."""
        voices = self.rules.voices
        whole = voices.whole(voices.live(judged.state))
        return voices.said_after(judged.state, judged.said, whole, state)

    def _judged(self, case: Case, state: Truths, said: dict[int, Spoken], before: Standing | None) -> Judged:
        screened = self.screen(case, said)
        standing = self.standing(case, screened, before)
        ranked = ranked_of(self.rules, standing) if standing is not None else ()
        return Judged(case, state, said, screened, standing, ranked)

    def screen(self, case: Case, said: Mapping[int, Spoken]) -> Screened:
        """The outcome for what the rules say of a case."""
        return combine(self.rules, self.casework.places, case, tuple(said.values()), self.checks.of(case))

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
