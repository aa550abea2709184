"""The engine: a base prepared for reasoning, and the quick judgement of a case that questions and what-ifs vary."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.graph.base import Base
from advisor.graph.conditions import Tri
from advisor.reasoning.enquiry import Case, Enquiry, complete
from advisor.reasoning.ranking import Ranked, Scales, rank
from advisor.reasoning.rulebase import Rule, Rulebase
from advisor.reasoning.screening import Screened, combine, judge, may_speak, screen

DIRECT_SLOTS = frozenset(
    (
        "environment",
        "corrosivity",
        "temperature_c",
        "life_years",
        "salt_spray_hours",
        "rust",
        "diameter_mm",
        "exclude",
        "finish_asked",
        "ordered",
        "named",
        "priority",
        "appearance",
    )
)
"""Slots that screening and ranking read themselves, not by way of a rule."""


def _changed(a: Mapping[str, object], b: Mapping[str, object]) -> set[str]:
    return {s for s in {*a, *b} if a.get(s) != b.get(s)}


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
        old = judged.case
        changed = _changed(old.full, case.full) | _changed(old.known, case.known) | _changed(old.told, case.told)
        truths: dict[str, tuple[Tri, Tri]] = dict(judged.screened.truths)
        touched: list[Rule] = []
        same = not (changed & DIRECT_SLOTS)
        for n in {n for s in changed for n in self._readers.get(s, ())}:
            rule = self.rules.rules[n]
            truth = judge(rule, case)
            spoke = rule.id in judged.screened.by_rule
            # a rule that holds may say nothing because its actions' own conditions fail: an answer can make one come true
            if truth != truths[rule.id] or (rule.conditional and may_speak(rule, truth)):
                same = same and not spoke and not may_speak(rule, truth)
                truths[rule.id] = truth
                touched.append(rule)
        if same:
            # nothing that is shown can differ: the old outcome stands for the new case
            return Judged(case, judged.screened, judged.ranked)
        screened = combine(self.rules, case, truths, judged.screened, touched)
        return Judged(case, screened, tuple(self._rank(case, screened)))

    def _rank(self, case: Case, screened: Screened, moved: Mapping[str, float] | None = None) -> list[Ranked]:
        if screened.refer == "stop":
            return []
        return rank(self.rules, self.scales, case, screened, moved)

    def rank_with(self, judged: Judged, moved: Mapping[str, float]) -> list[Ranked]:
        """The ranking with some weights moved by a factor."""
        return self._rank(judged.case, judged.screened, moved)
