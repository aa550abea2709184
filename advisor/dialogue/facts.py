"""Puts a reading into an enquiry: later words win, exclusions beat wishes, a denied value is taken out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.graph.base import Base
from advisor.graph.wording import named as named
from advisor.graph.wording import worded as worded
from advisor.language.reading import Reading
from advisor.reasoning.enquiry import Enquiry, Said
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

WISHES = ("finish_asked", "exclude")
"""Slots that a question about a finish names without wishing or refusing it."""


class Change(NamedTuple):
    """What one utterance changed: slot, value before (None if silent) and value now."""

    slot: str
    before: Any
    now: Any
    words: str


def merge(
    base: Base, enquiry: Enquiry, reading: Reading, origin: str = "words", also: bool = False
) -> tuple[Enquiry, tuple[Change, ...]]:
    """The enquiry after a reading, and what changed.

    A list slot said again is replaced when the words correct it, otherwise joined; of values that rule each other out
    the later stays, unless it is told beside (`also`). A place read from an object never replaces a told one.
    """
    said = dict(enquiry.said)
    changes: list[Change] = []
    slots = base.kind("slot")
    for slot, item in reading.understood.items():
        value: Any = list(item.value) if isinstance(item.value, (list, tuple)) else item.value
        before = said.get(slot)
        came = "object" if slot in reading.from_object else origin
        if before is not None:
            if came == "object" and before.origin != "object":
                continue
            joins = slots.get(slot, {}).get("type") == "choices" and slot not in reading.corrections
            if joins and isinstance(before.value, list) and isinstance(value, list) and before.origin != "object":
                kept = before.value if also else _left_beside(base, slot, before.value, value)
                value = [*kept, *(v for v in value if v not in kept)]
        said[slot] = Said(value, item.words, item.certainty, came)
        if before is None or before.value != value:
            changes.append(Change(slot, before.value if before else None, value, item.words))
    _settle_wishes(said)
    circumstances = {**enquiry.circumstances, **{c.slug: c.words for c in reading.circumstances}}
    mentioned = tuple(dict.fromkeys((*enquiry.mentioned, *reading.mentioned)))
    return Enquiry(said, circumstances, mentioned), tuple(changes)


def _left_beside(base: Base, slot: str, before: Sequence[str], now: Sequence[str]) -> list[str]:
    """The values told before that a later one does not rule out."""
    groups = base.slots[slot].one_of if slot in base.slots else ()
    gone = {v for g in groups if set(g) & set(now) for v in g}
    return [v for v in before if v not in gone or v in now]


def _settle_wishes(said: dict[str, Said]) -> None:
    """What is ruled out is no wish."""
    wished, out = said.get("finish_asked"), said.get("exclude")
    if wished and out and isinstance(wished.value, list) and isinstance(out.value, list):
        left = [f for f in wished.value if f not in out.value]
        if left:
            said["finish_asked"] = wished._replace(value=left)
        else:
            del said["finish_asked"]


def set_values(base: Base, enquiry: Enquiry, values: Mapping[str, Any]) -> Enquiry:
    """The enquiry with slots set outright (--set, the set object of a stream)."""
    for slot, value in values.items():
        if slot == "circumstance":
            listed = value if isinstance(value, list) else [value]
            enquiry = enquiry._replace(circumstances={**enquiry.circumstances, **dict.fromkeys(listed, "")})
        else:
            enquiry = enquiry.with_slot(slot, Said(value, "", 1.0, "set"))
    return enquiry
