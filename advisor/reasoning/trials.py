"""One answer tried on a judged case: what comes first then, who decides, and what is warned of.

An answer changes one slot and what follows from it. The masks of all other slots are joined once a slot, not once an
answer; only rules whose clauses differ are asked again; and where they say what they said, and no figure that screening
reads itself has moved, the outcome is the old one without a look at any finish.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from advisor.reasoning.case import Case
from advisor.reasoning.cautions import stern
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import Enquiry, Said
from advisor.reasoning.judging import Pair, join
from advisor.reasoning.ranking import Standing
from advisor.reasoning.screening import Screened
from advisor.reasoning.spoken import Truths

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
    mask = inside = 0
    for n, (_, i) in enumerate(standing.order):
        inside |= rules.family_mask[rules.family[i]]
        if n < most:
            mask |= 1 << i
    return mask | rules.usual_in(screened.conditional & ~inside)


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
        self._rests: dict[frozenset[str], tuple[Pair, Pair]] = {}

    def answered(self, slot: str, value: Any) -> Signature:
        """The signature with a slot answered; `now` itself when the answer changes nothing that could matter."""
        engine, judged = self._engine, self._judged
        touched = engine.casework.touched_by(slot)
        case = self._case(slot, value)
        state = self._state(case, touched)
        said = self._rules.voices.said_after(judged.state, judged.said, self._whole, state)
        if said is judged.said and not self._reads(slot, touched, case):
            return self.now
        screened = engine.screen(case, said)
        return _signature(engine, case, screened, engine.standing(case, screened, judged.standing))

    def _case(self, slot: str, value: Any) -> Case:
        """The case with the answer; where nothing follows from a slot, it alone is put in its place."""
        engine, case = self._engine, self._judged.case
        if slot in engine.casework.spreading:
            return engine.complete(with_answer(case.enquiry, slot, value))
        more = {slot: value}
        return case._replace(told={**case.told, **more}, known={**case.known, **more}, full={**case.full, **more})

    def _state(self, case: Case, touched: frozenset[str]) -> Truths:
        """The clauses of all conditions with the slots anew that an answer can touch."""
        judging = self._rules.voices.judging
        rests = self._rests.get(touched)
        if rests is None:
            rests = self._rests[touched] = self._rest(self._pairs[0], touched), self._rest(self._pairs[1], touched)
        read = [s for s in touched if s in judging.index]
        full = [judging.pair(s, case.full, case.told) for s in read]
        known = [judging.pair(s, case.known, case.told) for s in read]
        bits = join(full, rests[0])
        return Truths(bits, bits if known == full and rests[0] == rests[1] else join(known, rests[1]))

    def _rest(self, pairs: Iterable[Pair], touched: frozenset[str]) -> Pair:
        """The masks of all slots but some."""
        false = opened = 0
        for slot, (f, o) in zip(self._rules.voices.judging.slots, pairs, strict=True):
            if slot not in touched:
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
