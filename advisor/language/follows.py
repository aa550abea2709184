"""What follows from what a line names: things and documents. It fills only what the words left open."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.language.found import Found
from advisor.language.line import Line
from advisor.language.named import NOT_FILLED, NamedHere, named_in
from advisor.language.substances import substances_in
from advisor.language.things import named_things, what_follows
from advisor.language.vocabulary import Vocabulary
from advisor.language.weighing import Merged

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

HOT_C = 250
"""A told temperature from here on counts as the place `high-temperature` when no word said so."""
_CERTAINTY = 0.9
_TOUCHES = frozenset(("concrete", "treated-timber", "chemical-acid", "chemical-alkali", "food"))
"""Places that say what the part touches and leave the air around it open."""


def fill_what_follows(
    line: Line, found: Sequence[Found], merged: Merged, vocabulary: Vocabulary, answering: str | None
) -> None:
    """Adds to `merged` what follows from the documents and things named."""
    if not answering:
        documents = named_in(line, vocabulary.documents)
        for named in documents:
            _from_document(line, named, merged, vocabulary)
        _from_substances(line, merged, vocabulary)
        _from_things(line, found, merged, vocabulary)
    if answering != "temperature_c":
        _hot(merged)


def _from_document(line: Line, named: NamedHere, merged: Merged, vocabulary: Vocabulary) -> None:
    said, told = line.words(named.start, named.end), vocabulary.naming(named.id)
    merged.slots.setdefault("standard", (told["standard"], said, 1.0))
    for slot, value in told.items():
        if slot not in NOT_FILLED:
            _fill(merged, slot, value, said)


def _from_substances(line: Line, merged: Merged, vocabulary: Vocabulary) -> None:
    named = substances_in(line, vocabulary.substances, vocabulary.lexicon, vocabulary.naming)
    if named is None:
        return
    merged.slots["chemical"] = (list(named.ids), named.words, 1.0)
    if named.concentration_pct is not None:
        merged.slots.setdefault("concentration_pct", (named.concentration_pct, named.strength_words, 1.0))


def _from_things(line: Line, found: Sequence[Found], merged: Merged, vocabulary: Vocabulary) -> None:
    named = named_things(line, found, vocabulary.thing)
    if not named:
        return
    first = named[0]
    merged.slots["application"] = (first.thing.id, line.words(first.found.start, first.found.end), 1.0)
    merged.from_object.add("application")
    for slot, (value, f) in what_follows(named).items():
        _fill(merged, slot, value, line.words(f.start, f.end))


def _fill(merged: Merged, slot: str, value: Any, said: str) -> None:
    """Circumstances and dangers join what was told, and a place what is only touched; else only what is open."""
    if slot == "circumstance":
        for slug in value if isinstance(value, (list, tuple)) else [value]:
            merged.noticed.setdefault(slug, said)
    elif slot in merged.slots and (slot == "duty" or (slot == "environment" and _only_touches(merged))):
        _join(merged, slot, value, said)
    elif slot not in merged.slots or (slot == "environment" and _gives_way(merged, value)):
        merged.slots[slot] = (list(value) if isinstance(value, (list, tuple)) else value, said, _CERTAINTY)
        merged.from_object.add(slot)


def _only_touches(merged: Merged) -> bool:
    """ "Hot tub, treated decking": the timber is touched, and the pool is around it."""
    return _TOUCHES.issuperset(merged.slots["environment"][0] or ("",))


def _gives_way(merged: Merged, place: Sequence[str]) -> bool:
    """ "Solar farm, dry as a bone", "narrowboat, canal": the word gives way to a thing that stands outdoors."""
    return "environment" in merged.from_object and not any(v.startswith("indoor") for v in place)


def _join(merged: Merged, slot: str, value: Sequence[Any], said: str) -> None:
    told, words, certainty = merged.slots.get(slot, ([], said, 1.0))
    held = told if isinstance(told, list) else []
    merged.slots[slot] = ([*held, *(v for v in value if v not in held)], words, certainty)


def _hot(merged: Merged) -> None:
    """A stated heat is a place too."""
    heat, place = merged.slots.get("temperature_c"), merged.slots.get("environment")
    hot = heat is not None and isinstance(heat[0], (int, float)) and heat[0] >= HOT_C
    if heat is not None and hot and (place is None or "high-temperature" not in place[0]):
        merged.slots["environment"] = ([*(place[0] if place else []), "high-temperature"], heat[1], _CERTAINTY)
