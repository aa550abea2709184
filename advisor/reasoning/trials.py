"""One answer tried on a judged case: what comes first then, who decides, and what is warned of.

An answer changes one slot and what follows from it. The masks of all other slots are joined once a slot, not once an
answer; only rules whose clauses differ are asked again; and where they say what they said, and no figure that screening
reads itself has moved, the outcome is the old one without a look at any finish.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.reasoning.case import Case
from advisor.reasoning.cautions import stern
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, Said
from advisor.reasoning.judging import Pair, join
from advisor.reasoning.ranking import Standing
from advisor.reasoning.screening import Screened
from advisor.reasoning.spoken import Truths

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Signature = tuple[str, str, frozenset[tuple[str, str]]]
"""What of the advice a question must be able to change: first place, referral, cautions that are more than notes."""

MOST_SHOWN = 6
"""So many finishes an answer shows."""


def with_answer(enquiry: Enquiry, slot: str, value: Any, words: str = "") -> Enquiry:
    """The enquiry with one answer given."""
    if slot == "circumstance":
        more = dict.fromkeys(value if isinstance(value, list) else [value], words)
        return enquiry._replace(circumstances={**enquiry.circumstances, **more})
    return enquiry.with_slot(slot, Said(value, words, 1.0, "answer"))


def signature(engine: Engine, judged: Judged) -> Signature:
    """The signature of a judged case."""
    return _signature(engine, judged.case, judged.screened, judged.standing)


def shown_mask(engine: Engine, judged: Judged, most: int = MOST_SHOWN) -> int:
    """The finishes that an answer shows: the first ranked and the conditional ones."""
    return _shown_mask(engine, judged.screened, judged.standing, most)


def _shown_mask(engine: Engine, screened: Screened, standing: Standing | None, most: int = MOST_SHOWN) -> int:
    if standing is None:
        return 0
    rules = engine.rules
    mask = 0
    for _, i in standing.order[:most]:
        mask |= 1 << i
    open_still = screened.conditional
    if open_still:
        for n in rules.families_at(open_still):
            if standing.bests[n] is not None:
                open_still &= ~rules.families[n].mask
        mask |= rules.usual_in(open_still)
    return mask


def _signature(engine: Engine, case: Case, screened: Screened, standing: Standing | None) -> Signature:
    first = engine.rules.family[standing.order[0][1]] if standing is not None and standing.order else ""
    return first, screened.refer, stern(engine.rules, case, screened, _shown_mask(engine, screened, standing))


class Trials:
    """The answers tried on one judged case."""

    def __init__(self, engine: Engine, judged: Judged) -> None:
        self._engine = engine
        self._judged = judged
        self._rules = engine.rules
        self.now = signature(engine, judged)
        voices, judging = self._rules.voices, self._rules.voices.judging
        self._whole = voices.whole(voices.live(judged.state))
        self._pairs = tuple(judging.pairs(v, judged.case.told) for v in (judged.case.full, judged.case.known))
        self._around = tuple(_around(pairs) for pairs in self._pairs)
        self._shown = shown_mask(engine, judged)
        self._rests: dict[frozenset[str], tuple[Pair, Pair]] = {}
        self._tried: dict[object, Signature] = {}

    def answered(self, slot: str, value: Any) -> Signature:
        """The signature with a slot answered; `now` itself when the answer changes nothing that could matter."""
        key = (slot, list, *value) if isinstance(value, list) else (slot, value)
        found = self._tried.get(key)
        if found is None:
            found = self._tried[key] = self._answered(slot, value)
        return found

    def _answered(self, slot: str, value: Any) -> Signature:
        engine, judged = self._engine, self._judged
        touched = engine.casework.touched_by(slot)
        case = self._case(slot, value)
        state = self._state(case, touched)
        changes = self._rules.voices.changes(judged.state, judged.said, self._whole, state)
        before = judged.screened
        chorus = before.chorus.changed(changes) if changes else before.chorus
        if not self._reads(slot, touched, case):
            if not changes:
                return self.now
            if chorus.only_warns_otherwise(before.chorus):
                # the finishes stand as they stood
                due = stern(self._rules, case, before._replace(chorus=chorus), self._shown)
                return self.now[0], self.now[1], due
        screened = engine.screen_after(before, case, chorus, touched)
        return _signature(engine, case, screened, engine.standing(case, screened, judged.standing))

    def _case(self, slot: str, value: Any) -> Case:
        """The case with the answer; made whole anew only where derivations or places may move."""
        casework, case = self._engine.casework, self._judged.case
        if slot in casework.stirring:
            return casework.complete(with_answer(case.enquiry, slot, value))
        return casework.answered(case, slot, value)

    def _state(self, case: Case, touched: frozenset[str]) -> Truths:
        """The clauses of all conditions with the slots anew that an answer can touch."""
        judging = self._rules.voices.judging
        if len(touched) == 1:
            (slot,) = touched
            n = judging.index.get(slot)
            if n is None:
                return self._judged.state
            value = case.told[slot]
            alone = (judging.masks[n].pair(value, value is not None and value != UNKNOWN),)
            rest, rest_known = self._around[0][n], self._around[1][n]
            bits = join(alone, rest)
            return Truths.of(bits, bits if rest_known == rest else join(alone, rest_known))
        rests = self._rests.get(touched)
        if rests is None:
            rests = self._rests[touched] = self._rest(0, touched), self._rest(1, touched)
        read = [s for s in touched if s in judging.index]
        full = [judging.pair(s, case.full, case.told) for s in read]
        known = [judging.pair(s, case.known, case.told) for s in read]
        bits = join(full, rests[0])
        return Truths.of(bits, bits if known == full and rests[0] == rests[1] else join(known, rests[1]))

    def _rest(self, which: int, touched: frozenset[str]) -> Pair:
        """The masks of all slots but some."""
        judging = self._rules.voices.judging
        read = [judging.index[s] for s in touched if s in judging.index]
        if len(read) == 1:
            return self._around[which][read[0]]
        false = opened = 0
        for n, (f, o) in enumerate(self._pairs[which]):
            if n not in read:
                false |= f
                opened |= o
        return false, opened

    def _reads(self, slot: str, touched: frozenset[str], case: Case) -> bool:
        """Whether screening or ranking read a slot themselves that the answer moved."""
        screened, old = self._engine.screened_slots, self._judged.case
        if slot in screened:
            return True
        return any(
            old.full.get(s) != case.full.get(s) or old.known.get(s) != case.known.get(s) for s in touched & screened
        )


def _around(pairs: Sequence[Pair]) -> list[Pair]:
    """For each slot the masks of all others: those before it joined with those after it.

    >>> _around([(1, 0), (2, 0), (4, 8)])
    [(6, 8), (5, 8), (3, 0)]
    """
    after: list[Pair] = [(0, 0)]
    for f, o in reversed(pairs):
        after.append((after[-1][0] | f, after[-1][1] | o))
    out: list[Pair] = []
    false = opened = 0
    for n, (f, o) in enumerate(pairs):
        rest = after[len(pairs) - 1 - n]
        out.append((false | rest[0], opened | rest[1]))
        false |= f
        opened |= o
    return out
