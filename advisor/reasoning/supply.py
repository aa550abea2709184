"""What a branch has or can get of a finish for a case: its own list, laid over the base."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.calculations.sayings import span
from advisor.graph.nodes_of_use import Supply
from advisor.reasoning.case import Case
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN

MOST_TOLD = 4


def supplies_for(engine: Engine, case: Case, mask: int) -> tuple[Supply, ...]:
    """The entries of the branch for any finish of a mask that may be meant; what was not told limits nothing."""
    held = engine.base.supplies
    if not held:
        return ()
    return tuple(s for s in held.values() if engine.rules.mask_of(s.finish) & mask and _fits(s, case))


def _fits(s: Supply, case: Case) -> bool:
    known = case.known
    diameter = known.get("diameter_mm")
    if isinstance(diameter, (int, float)) and not s.low_mm <= diameter <= s.high_mm:
        return False
    for slot, allowed in (("part", s.part), ("strength", s.strength)):
        told = known.get(slot)
        if allowed and isinstance(told, str) and told != UNKNOWN and told not in allowed:
            return False
    return True


def supply_words(engine: Engine, s: Supply) -> str:
    """An entry in words: what it is, how many there are, the price, the working days."""
    say = engine.base.phrase
    parts: list[str] = []
    if s.pieces is not None:
        parts.append(say("supply-pieces", count=f"{s.pieces:,}") if s.pieces else say("supply-none"))
    if s.price is not None:
        parts.append(say("supply-price", price=f"{s.price:.2f}", currency=s.currency, per=s.per))
    days = s.working_days
    if days is not None:
        low, high = days if isinstance(days, (list, tuple)) else (days, days)
        parts.append(say("supply-days", days=span((low, high))))
    return say("supply-entry", name=s.name, parts=", ".join(parts))


def supply_answer(engine: Engine, judged: Judged, families: Sequence[str]) -> tuple[str, tuple[str, ...]] | None:
    """What the branch's own list says of the finishes asked about, or of the first choices; with the entries it rests
    on."""
    rules = engine.rules
    told: dict[str, Supply] = {}
    for mask in [rules.mask_of(families)] if families else [rules.mask_of([r.family]) for r in judged.ranked]:
        # what the rules take away is not quoted, whatever lies on the shelf
        inside = mask & judged.screened.allowed(rules.everything)
        told.update((s.id, s) for s in supplies_for(engine, judged.case, inside))
        if len(told) >= MOST_TOLD:
            break
    if not told:
        return None
    listed = list(told.values())[:MOST_TOLD]
    layer = engine.base.layer_of(listed[0].id)
    entries = "; ".join(supply_words(engine, s) for s in listed)
    text = engine.base.phrase("supply-answer", layer=layer, entries=entries)
    return text, tuple(s.id for s in listed)
