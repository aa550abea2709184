"""The engine: a base prepared for reasoning, and the quick judgement of a case that questions and what-ifs vary."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.graph.compiled import Base
from advisor.graph.conditions import Tri
from advisor.reasoning.enquiry import Case, Enquiry, complete
from advisor.reasoning.ranking import Ranked, Scales, rank
from advisor.reasoning.rulebase import Rulebase
from advisor.reasoning.screening import Screened, combine, judge, screen


class Judged(NamedTuple):
    """A case with its screening and ranking."""

    case: Case
    screened: Screened
    ranked: tuple[Ranked, ...]


class Engine:
    """Everything prepared once per base. Holds no state of any enquiry."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.rules = Rulebase(base)
        self.scales = Scales(self.rules)
        self._readers: dict[str, list[int]] = {}
        for n, r in enumerate(self.rules.rules):
            for slot in r.reads:
                self._readers.setdefault(slot, []).append(n)

    def judge(self, enquiry: Enquiry) -> Judged:
        """Screen and rank an enquiry."""
        case = complete(self.base, enquiry)
        screened = screen(self.rules, case)
        return Judged(case, screened, tuple(self._rank(case, screened)))

    def vary(self, judged: Judged, enquiry: Enquiry) -> Judged:
        """As judge, for an enquiry that differs in few slots: only the rules that read a changed slot are judged anew."""
        case = complete(self.base, enquiry)
        changed = {
            s
            for s in {*case.full, *judged.case.full, *case.known, *judged.case.known, *case.told, *judged.case.told}
            if case.full.get(s) != judged.case.full.get(s)
            or case.known.get(s) != judged.case.known.get(s)
            or case.told.get(s) != judged.case.told.get(s)
        }
        truths: dict[str, tuple[Tri, Tri]] = dict(judged.screened.truths)
        for n in {n for s in changed for n in self._readers.get(s, ())}:
            rule = self.rules.rules[n]
            truths[rule.id] = judge(rule, case)
        screened = combine(self.rules, case, truths)
        return Judged(case, screened, tuple(self._rank(case, screened)))

    def _rank(self, case: Case, screened: Screened, moved: Mapping[str, float] | None = None) -> list[Ranked]:
        if screened.refer == "stop":
            return []
        return rank(self.rules, self.scales, case, screened, moved)

    def rank_with(self, judged: Judged, moved: Mapping[str, float]) -> list[Ranked]:
        """The ranking with some weights moved by a factor."""
        return self._rank(judged.case, judged.screened, moved)
