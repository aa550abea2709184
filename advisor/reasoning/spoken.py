"""What a rule says in one state of its conditions: one object, made once, with its effects summed up as masks.

A rule is in few states, so what it says is looked up by the bits of its own clauses. Two cases in which a rule says the
same hold the very same object; that nothing changed is seen without looking into it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping

from advisor.graph.base import Base
from advisor.graph.conditions import Tri
from advisor.graph.nodes import Rule
from advisor.reasoning.judging import Bits, Judging
from advisor.reasoning.remembered import Remembered
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Effect(NamedTuple):
    """One action of a rule that counts. `assumed`: it rests on an assumption; `pending`: on an unanswered question."""

    rule: str
    verb: str
    value: Any
    mask: int | None
    text: str
    severity: str
    to: str
    assumed: bool
    pending: bool
    because: tuple[str, ...]


class Warned(NamedTuple):
    """A caution that an effect calls for, of the finishes of a mask (None: whatever is shown)."""

    mask: int | None
    topic: str
    severity: str


class Override(NamedTuple):
    """A rule's word on how finishes last in some places (none named: everywhere)."""

    places: tuple[str, ...]
    value: str
    mask: int


BEARS, WEIGHS, OVERRIDES, ALARMS = 1, 2, 4, 8
"""What the word of a rule can touch: what is out, open or referred; the ranking; how a place is borne; warnings."""


class Spoken:
    """The effects of one rule, and what they come to: finishes out, conditional, favoured, warned of.

    `kinds`: which of these it touches, as a sum.
    """

    __slots__ = (
        "against",
        "alarms",
        "bears",
        "conditional",
        "effects",
        "favoured",
        "favours",
        "kinds",
        "out",
        "out_by_assumption",
        "overrides",
        "refer",
        "warns",
    )

    def __init__(self, effects: tuple[Effect, ...], rule: Rule, cautions: Mapping[str, Any], everything: int) -> None:
        self.effects = effects
        self.out = self.out_by_assumption = self.conditional = self.favoured = 0
        self.refer = ""
        favours: list[tuple[int, float]] = []
        overrides: list[Override] = []
        warns: list[Warned] = []
        for e in effects:
            if e.verb == "warn" and not e.assumed and str(e.value) in cautions:
                node = cautions[str(e.value)]
                warns.append(Warned(e.mask, node.topic, e.severity or node.severity))
            elif e.verb == "refer" and not (e.assumed or e.pending) and self.refer != "stop":
                self.refer = e.value
            elif e.verb == "viability" and not e.pending:
                overrides.append(Override(rule.places, e.value, everything if e.mask is None else e.mask))
            elif e.mask is None:
                continue
            elif e.verb == "favour" and not e.pending:
                favours.append((e.mask, float(e.value)))
                self.favoured |= e.mask
            elif e.verb == "exclude":
                self._exclude(e, e.mask)
            elif e.verb == "conditional":
                self.conditional |= e.mask
        self.against = self.out | self.out_by_assumption
        for e in effects:
            if e.verb == "viability" and e.value == "none" and not e.pending:
                self.against |= e.mask or 0
        self.favours = tuple(favours)
        self.overrides = tuple(overrides)
        self.warns = tuple(warns)
        self.alarms = tuple(w for w in warns if w.severity != "note")
        self.bears = bool(self.out or self.conditional or self.out_by_assumption or self.refer)
        self.kinds = (
            BEARS * self.bears | WEIGHS * bool(favours) | OVERRIDES * bool(overrides) | ALARMS * bool(self.alarms)
        )

    def _exclude(self, e: Effect, mask: int) -> None:
        if e.pending:
            self.conditional |= mask
        elif e.assumed:
            self.out_by_assumption |= mask
        else:
            self.out |= mask


class Truths(NamedTuple):
    """The clauses of all rules on what is known or assumed, and on what is known."""

    full: Bits
    known: Bits
    apart: int
    """The clauses in which the two differ."""

    @staticmethod
    def of(full: Bits, known: Bits) -> Truths:
        """The truths with the clauses in which they differ."""
        if full is known:
            return Truths(full, known, 0)
        return Truths(full, known, (full.false ^ known.false) | (full.open ^ known.open))


class Voices:
    """All rules with what each has said so far, by the state of its clauses."""

    MOST_STATES = 64

    def __init__(self, base: Base, everything: int) -> None:
        section = base.section("judging")
        self._base = base
        self._everything = everything
        self.judging = Judging(section)
        self.ids: tuple[str, ...] = tuple(section["rules"])
        self.first: list[int] = section["first"]
        self._bold: int = section["bold"]
        self._wary: int = section["wary"]
        self._begins: list[int] = section["begins"]
        # of some two thousand rules an enquiry hears fifty: what belongs to one is made when it is first looked at
        self._spans: dict[int, int] = {}
        self._by_state: dict[int, Remembered[tuple[int, ...], Spoken]] = {}
        self._spoken: dict[int, Remembered[tuple[tuple[int, bool, bool], ...], Spoken]] = {}
        decisions: list[str] = section["decisions"]
        self._sense = {d: self.first[-1] + n for n, d in enumerate(decisions)}

    def makes_sense(self, state: Truths, decision: str) -> bool:
        """Whether a question's own condition is not false."""
        condition = self._sense.get(decision)
        return condition is None or self.judging.truth(state.full, condition) is not False

    def live(self, state: Truths) -> int:
        """The clauses by which rules hold, or may hold where the unknown counts."""
        full = state.full
        return (self._bold & ~(full.false | full.open)) | (self._wary & ~full.false)

    def owners(self, mask: int) -> Iterator[int]:
        """The rules that own some of the clauses in a mask, in their order, each once."""
        begins = self._begins
        at = 0
        while mask:
            n = bisect_right(begins, at + (mask & -mask).bit_length() - 1) - 1
            yield n
            # all further clauses of the rule lie right above; what is left is cut down to a shorter number
            mask >>= begins[n + 1] - at
            at = begins[n + 1]

    def span(self, n: int) -> int:
        """All clauses of a rule."""
        found = self._spans.get(n)
        if found is None:
            found = self._spans[n] = self.judging.span(self.first[n], self.first[n + 1])
        return found

    def all_said(self, state: Truths) -> dict[int, Spoken]:
        """What every rule that has something to say says, in the order of the rules."""
        return {n: s for n in self.owners(self.live(state)) if (s := self.says(n, state)).effects}

    def whole(self, live: int) -> int:
        """All clauses of the rules that own some."""
        return sum([self.span(n) for n in self.owners(live)])

    def changes(
        self, before: Truths, said: Mapping[int, Spoken], whole: int, after: Truths
    ) -> dict[int, Spoken | None]:
        """The rules that say something else, or nothing (None), in a state that differs from another little.

        Only rules whose clauses differ are asked anew. `whole` are all clauses of the rules that were live before.
        """
        live = self.live(after)
        differ = 0
        for old, new in ((before.full, after.full), (before.known, after.known)):
            if old is not new:
                differ |= (old.false ^ new.false) | (old.open ^ new.open)
        # a rule that neither held nor holds says nothing, whatever else became of its clauses
        differ &= whole | live
        changed: dict[int, Spoken | None] = {}
        for n in self.owners(differ):
            now = self.says(n, after) if self.span(n) & live else None
            if now is not None and not now.effects:
                now = None
            if said.get(n) is not now:
                changed[n] = now
        return changed

    def says(self, n: int, state: Truths) -> Spoken:
        """What the rule of a number says in a state."""
        span, start = self.span(n), self._begins[n]
        full, known = state.full, state.known
        key: tuple[int, ...] = (full.false & span) >> start, (full.open & span) >> start
        if state.apart & span:
            key += (known.false & span) >> start, (known.open & span) >> start
        states = self._by_state.get(n)
        if states is None:
            states = self._by_state[n] = Remembered(self.MOST_STATES)
            self._spoken[n] = Remembered(self.MOST_STATES)
        found = states.get(key)
        if found is None:
            rule = self._base.rules[self.ids[n]]
            counting = tuple(self._counting(n, rule, state))
            found = self._spoken[n].get(counting)
            if found is None:
                effects = tuple(_effect(rule, *c) for c in counting)
                found = self._spoken[n][counting] = Spoken(effects, rule, self._base.cautions, self._everything)
            states[key] = found
        return found

    def _counting(self, n: int, rule: Rule, state: Truths) -> Iterator[tuple[int, bool, bool]]:
        """The actions of a rule that count in a state: number, whether by assumption, whether pending."""
        at = self.first[n]
        truth = self.judging.truth
        full, known = truth(state.full, at), truth(state.known, at)
        pending = full is None and rule.if_unknown == "ask"
        if full is False or (full is None and rule.if_unknown == "ignore"):
            return
        fires_known = known is True or (known is None and full is None and rule.if_unknown == "apply")
        for number, a in enumerate(rule.then):
            if a.verb == "derive":
                continue
            only_if: Tri = True
            unless: Tri = False
            if a.only_if is not None:
                at += 1
                only_if = truth(state.full, at)
            if a.unless is not None:
                at += 1
                unless = truth(state.full, at)
            # an exception that is not known to hold does not lift a rule
            if only_if is False or unless is True or (only_if is None and rule.if_unknown == "ignore"):
                continue
            yield (
                number,
                not fires_known and not pending,
                pending or (only_if is None and rule.if_unknown == "ask"),
            )


def _effect(rule: Rule, number: int, assumed: bool, pending: bool) -> Effect:
    a = rule.then[number]
    return Effect(
        rule.id, a.verb, a.value, a.mask, a.text or rule.text, a.severity, a.to, assumed, pending, rule.because
    )
