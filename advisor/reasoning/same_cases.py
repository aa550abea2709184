"""An engine for long lists: cases in which everything that is judged stands alike are screened and ranked once."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.reasoning.case import Case
from advisor.reasoning.cautions import RaisedCaution, cautions
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import Enquiry
from advisor.reasoning.ranking import Ranked
from advisor.reasoning.reasons import each_once, effects_on, of_effect
from advisor.reasoning.remembered import Remembered
from advisor.reasoning.trials import MOST_SHOWN, shown_mask
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


SOLD_BY = frozenset(("part", "size", "strength", "diameter_mm", "thread_series"))
"""Slots that screening reads only to find what is sold as such a part (and the diameter for the room on its thread)."""


class LineOutcome(NamedTuple):
    """What a list says of a case: the first choice, what its order must say, cautions, who decides and why.

    `serves` are the finishes that would be acceptable, as a mask; those that last well, where there are any.
    """

    first: Ranked | None
    requires: tuple[str, ...]
    cautions: tuple[RaisedCaution, ...]
    refer: str
    because: tuple[str, ...]
    refer_to: tuple[str, ...]
    serves: int


class ListEngine(Engine):
    """An engine that keeps what it judged last; its outcomes are those of the engine it extends.

    Whatever screening and ranking read of a case beside the truth of the conditions are the slots marked `screened`
    (the same that `Engine.vary` relies on): cases that agree in both have the same outcome.
    """

    MOST_KEPT = 1000

    def __init__(self, base: Base) -> None:
        super().__init__(base)
        self._heeded = tuple(sorted(self.screened_slots - SOLD_BY))
        self._kept: Remembered[object, Judged] = Remembered(self.MOST_KEPT)
        self._latest: tuple[object, object] = (None, None)
        self._outcomes: Remembered[object, LineOutcome] = Remembered(self.MOST_KEPT)

    def judge(self, enquiry: Enquiry) -> Judged:
        """Screen and rank an enquiry, or take over what an equal case came to."""
        case = self.complete(enquiry)
        state = self.state_of(case)
        key = self._key(state, case)
        self._latest = state, key
        held = self._kept.get(key)
        if held is None:
            held = self._kept[key] = self._judged(
                case, state, self.screen(case, self.rules.voices.all_said(state)), None
            )
        return held._replace(case=case, state=state)

    def outcome(self, judged: Judged) -> LineOutcome:
        """The outcome of a case that this engine judged."""
        state, key = self._latest
        if state is not judged.state:
            key = self._key(judged.state, judged.case)
        held = self._outcomes.get(key)
        if held is None:
            held = self._outcomes[key] = self._outcome(judged)
        return held

    def _key(self, state: object, case: Case) -> object:
        """What the outcome hangs on. Of part, thread and strength that is what is sold as such; the very diameter
        counts only where hours of salt spray were told."""
        hours = "salt_spray_hours" in case.told
        slots = (*self._heeded, *SOLD_BY) if hours else self._heeded
        values = [_fixed(v.get(s)) for v in (case.full, case.known, case.told) for s in slots]
        return (state, self.rules.offers.made(case), *values)

    def _outcome(self, judged: Judged) -> LineOutcome:
        screened = judged.screened
        raised = cautions(self.rules, judged.case, screened, shown_mask(self, judged))
        first = judged.ranked[0] if judged.ranked else None
        bit = self.rules.bit[first.finish] if first else 0
        own = [e for e in effects_on(judged, bit) if e.verb == "require" and not e.pending]
        everywhere = [e for e in screened.effects if e.verb == "require" and e.mask is None]
        requires = [str(e.value) for e in (*own, *(e for e in everywhere if not e.assumed and not e.pending))]
        referring = [
            e
            for s in screened.said
            if s.refer
            for e in s.effects
            if e.verb == "refer" and not e.assumed and not e.pending
        ]
        nothing = not judged.ranked and not screened.refer
        because = [r.text for r in each_once([of_effect(e) for e in referring])]
        return LineOutcome(
            first,
            tuple(dict.fromkeys(requires)),
            tuple(c for c in raised if c.severity == "stop" or c.mask & bit or not first),
            "advise" if nothing else screened.refer,
            (self.base.phrase("say-nothing-recommended"),) if nothing else tuple(because),
            tuple(dict.fromkeys(e.to for e in referring if e.to)),
            self._serving(judged),
        )

    def _serving(self, judged: Judged) -> int:
        """The finishes that would do: of families that an answer shows, all that last well; else the best that barely
        do."""
        shown = judged.ranked[:MOST_SHOWN]
        lasting = [r for r in shown if r.level]
        if not lasting:
            return self.rules.mask_of([r.finish for r in shown])
        families = self.rules.mask_of([r.family for r in lasting])
        return families & judged.screened.inside(self.rules.everything) & ~judged.screened.weak


def _fixed(value: Any) -> Any:
    """A value that can be part of a key; a list (all of them hold) stays apart from a set of which one holds."""
    return (0, *value) if isinstance(value, list) else value
