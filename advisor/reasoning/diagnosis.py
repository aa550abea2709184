"""What may stand behind something that went wrong: causes weighed by what was told, what to do now, ask and order."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import cached_property
from math import exp, log

from advisor.graph.conditions import Possible, evaluate, slots_of
from advisor.graph.nodes import Decision
from advisor.graph.nodes_of_use import Cause, Complaint, Evidence
from advisor.reasoning.case import Case
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, listed
from advisor.reasoning.trials import with_answer
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

PROBLEM = "problem"
SOFT_METALS = "soft-metals"
"""The role of the metals that no plating makes brittle."""
WEIGHTS: Mapping[str, float] = {"strong": 2.0, "some": 1.0}
LIKELY_FROM = 2.0
"""From one strong sign more for than against a cause is likely; with more against than for it is unlikely."""
LEAST_GAIN = 0.02
"""A question that sorts the causes less (in bits of surprise) is not worth asking."""
GENERAL = frozenset(("environment", "strength"))
"""Questions of the advice that sort causes too."""


class Weighed(NamedTuple):
    """A cause with what was told for and against it. `worth`: signs for less signs against, each by its weight."""

    cause: Cause
    likelihood: str
    worth: float
    signs_for: tuple[Evidence, ...]
    signs_against: tuple[Evidence, ...]


class Diagnosis:
    """All that is said on one case of trouble; every part is made when it is first looked at."""

    def __init__(self, engine: Engine, enquiry: Enquiry, skip: Collection[str] = ()) -> None:
        self._engine = engine
        self._skip = skip
        self.case = engine.complete(enquiry)
        self.facts = facts_of(self.case)

    @cached_property
    def complaints(self) -> tuple[Complaint, ...]:
        """What went wrong: as it was told, else whatever has that kind of problem."""
        return complaints_of(self._engine, self.case.enquiry)

    @property
    def complaint(self) -> Complaint | None:
        """The gravest of them."""
        return self.complaints[0] if self.complaints else None

    @cached_property
    def causes(self) -> tuple[Weighed, ...]:
        """The causes, the likeliest first; a fracture that may be a delayed one keeps hydrogen open."""
        weighed = [self._weighed(c) for c in self._candidates]
        return tuple(sorted(weighed, key=lambda w: -(w.worth + (w.cause.likely or 0.0))))

    @property
    def stop(self) -> bool:
        """Whether everything stops until somebody qualified has explained it."""
        return any(c.stop for c in self.complaints)

    @cached_property
    def offers_nothing(self) -> bool:
        """Whether nothing is offered in its place: a late break that nobody has explained, of steel that can be hard.

        A solid metal that takes up no hydrogen in plating broke for another reason; there the next metal is named.
        """
        if not any(c.stop and c.first_of_all for c in self.complaints):
            return False
        rules = self._engine.rules
        now = rules.mask_of(listed(self.case.known.get("finish_now")))
        return not now or bool(now & ~rules.mask_of(self._engine.base.role(SOFT_METALS)))

    @property
    def now(self) -> tuple[str, ...]:
        """What to do now with people and goods."""
        return tuple(dict.fromkeys(text for c in self.complaints[:1] for text in c.now))

    @cached_property
    def next(self) -> tuple[str, ...]:
        """What to order or change next time, for the causes that lead."""
        return tuple(dict.fromkeys(text for w in self.leading for text in w.cause.next))

    @property
    def leading(self) -> tuple[Weighed, ...]:
        """The two likeliest causes."""
        return self.causes[:2]

    @property
    def ask(self) -> tuple[str, ...]:
        """What to ask the customer or the supplier."""
        return tuple(dict.fromkeys(text for c in self.complaints[:1] for text in c.ask))

    @cached_property
    def question(self) -> Decision | None:
        """The question whose answers sort the causes most; what went wrong where that was not told."""
        decisions = self._engine.base.decisions
        if not self.complaints:
            return next((d for d in decisions.values() if d.slot == PROBLEM and d.id not in self._skip), None)
        gains = {d.id: self._gain(d) for d in self._open()}
        best = max(gains, key=lambda i: (gains[i], -decisions[i].order), default="")
        return decisions[best] if best and gains[best] >= LEAST_GAIN else None

    @property
    def deciding(self) -> str:
        """Who decides."""
        return self.leading[0].cause.who_decides if self.leading else ""

    @cached_property
    def _candidates(self) -> tuple[Cause, ...]:
        causes = self._engine.base.causes
        return tuple(causes[i] for i in dict.fromkeys(i for c in self.complaints[:1] for i in c.causes))

    def _weighed(self, cause: Cause) -> Weighed:
        told = self.case.told
        pro = tuple(e for e in cause.speaks_for if evaluate(e.when, self.facts, told))
        con = tuple(e for e in cause.speaks_against if evaluate(e.when, self.facts, told))
        worth = sum(WEIGHTS[e.weight] for e in pro) - sum(WEIGHTS[e.weight] for e in con)
        likelihood = "unlikely" if worth < 0 else "likely" if worth >= LIKELY_FROM else "possible"
        return Weighed(cause, likelihood, worth, pro, con)

    def _open(self) -> Iterator[Decision]:
        """The questions not answered yet that some sign hangs on."""
        wanted = {s for c in self._candidates for e in (*c.speaks_for, *c.speaks_against) for s in slots_of(e.when)}
        wanted |= {"strength"} if "band" in wanted else set()
        said = self.case.enquiry.said
        for d in self._engine.base.decisions.values():
            if d.id in self._skip or d.slot not in wanted or not self._sorts(d):
                continue
            if d.slot == "circumstance":
                present = self.case.enquiry.circumstances
                if not any(v in present for o in d.options for v in listed(o.value)):
                    yield d
            elif said.get(d.slot) is None:
                yield d

    def _sorts(self, d: Decision) -> bool:
        """Whether a question is one for this trouble: made for it, or after the place or the strength."""
        if d.slot in GENERAL:
            return True
        asked_of = d.slot != PROBLEM and d.relevant is not None and PROBLEM in slots_of(d.relevant)
        return asked_of and evaluate(d.relevant, self.facts, self.case.told) is not False

    def _gain(self, d: Decision) -> float:
        """How much surer an answer makes of the causes, on average over the answers."""
        values = [o.value for o in d.options if o.value not in (UNKNOWN, [])]
        if not values:
            return 0.0
        after = [self._unsureness(self._facts_with(d.slot, v)) for v in values]
        return self._unsureness(self.facts) - sum(after) / len(after)

    def _facts_with(self, slot: str, value: Any) -> Mapping[str, Any]:
        if slot in ("strength", "part", "hardness_hrc"):
            return facts_of(self._engine.complete(with_answer(self.case.enquiry, slot, value, "")))
        if slot == "circumstance":
            return {**self.facts, slot: [*listed(self.facts.get(slot)), *listed(value)]}
        return {**self.facts, slot: value}

    def _unsureness(self, facts: Mapping[str, Any]) -> float:
        """Entropy over the causes, each as likely as the exponential of its worth."""
        told = self.case.told
        shares = [exp(_worth(c, facts, told) + (c.likely or 0.0)) for c in self._candidates]
        whole = sum(shares)
        return -sum(s / whole * log(s / whole, 2) for s in shares)


def _worth(cause: Cause, facts: Mapping[str, Any], told: Mapping[str, Any]) -> float:
    pro = sum(WEIGHTS[e.weight] for e in cause.speaks_for if evaluate(e.when, facts, told))
    return pro - sum(WEIGHTS[e.weight] for e in cause.speaks_against if evaluate(e.when, facts, told))


def facts_of(case: Case) -> Mapping[str, Any]:
    """What is known of the part in trouble: a finish that was told is the one on it where nothing else was."""
    facts = dict(case.known)
    asked = [*listed(facts.get("finish_asked")), *listed(facts.get("ordered")), *case.enquiry.mentioned]
    seen = tuple(dict.fromkeys(listed(facts.get("finish_now")) or asked))
    if seen:
        # "zinc" alone may be plate, dip or flake: what holds for some of them only is not known
        facts["finish_now"] = Possible(seen)
    return facts


def complaints_of(engine: Engine, enquiry: Enquiry) -> tuple[Complaint, ...]:
    """What an enquiry tells that went wrong, the gravest first: by name where words told it, else by kind of problem.

    A fracture at once stays in the way of a delayed one only while nobody has told a delay.
    """
    complaints = engine.base.complaints
    circumstances = enquiry.circumstances
    named = [complaints[i] for i in circumstances if i in complaints]
    problems = listed(enquiry.said[PROBLEM].value) if PROBLEM in enquiry.said else []
    for problem in problems:
        if not any(c.problem == problem for c in named):
            named += [c for c in complaints.values() if c.problem == problem][:1]
    return tuple(sorted(named, key=lambda c: (not c.first_of_all, not c.stop)))


def troubled(enquiry: Enquiry) -> bool:
    """Whether something that went wrong was told."""
    said = enquiry.said.get(PROBLEM)
    return said is not None and bool(listed(said.value))


def diagnose(engine: Engine, enquiry: Enquiry, skip: Collection[str] = ()) -> Diagnosis:
    """The diagnosis of an enquiry; `skip`: questions that were asked already."""
    return Diagnosis(engine, enquiry, skip)
