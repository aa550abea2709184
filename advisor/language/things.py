"""The things that a line names (a sauna bench, a wheel, a boat lift) and what follows from them for the fastener."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from advisor.language.found import Found
from advisor.language.line import STOPS, Line
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


FOLLOWS = ("duty", "mating", "environment", "circumstance", "chemical")
"""What a thing says in lists."""
FOLLOWS_ONCE = ("part", "wetted", "cathodic_protection", "temperature_c", "temperature_min_c")
"""What a thing says with one value."""
JOINED = ("circumstance", "duty")
"""Of these every thing named adds its own (no danger is lost); of all others the most particular thing decides."""


class Thing(NamedTuple):
    """One application as reading needs it. `depth`: how many broader things stand above it."""

    id: str
    depth: int
    says: Mapping[str, Any]
    beside: Sequence[str] = ()
    not_beside: Sequence[str] = ()


class Named(NamedTuple):
    """A thing named in a line, and the reading that named it."""

    thing: Thing
    found: Found


def named_things(line: Line, found: Sequence[Found], thing_of: Callable[[str], Thing]) -> list[Named]:
    """The things of a line whose neighbours agree, the most particular first."""
    out = []
    for f in found:
        if f.application:
            thing = thing_of(f.application)
            if agrees(line, f.start, f.end, thing.beside, thing.not_beside):
                out.append(Named(thing, f))
    return sorted(out, key=lambda n: (-n.thing.depth, -n.found.length, n.found.start))


def what_follows(named: Sequence[Named]) -> dict[str, tuple[Any, Found]]:
    """Slot -> (value, the reading that named the thing) of all that follows from the things of a line."""
    out: dict[str, tuple[Any, Found]] = {}
    for thing, f in named:
        for slot in FOLLOWS:
            told = thing.says.get(slot)
            if not told:
                continue
            if slot not in out:
                out[slot] = (list(told), f)
            elif slot in JOINED:
                held = out[slot][0]
                held.extend(v for v in told if v not in held)
        for slot in FOLLOWS_ONCE:
            if thing.says.get(slot) is not None:
                out.setdefault(slot, (thing.says[slot], f))
    return out


def agrees(line: Line, start: int, end: int, beside: Sequence[str], not_beside: Sequence[str]) -> bool:
    """Whether the words around allow this sense: one of `beside` stands there, none of `not_beside` does."""
    if not beside and not not_beside:
        return True
    around = f" {_keys(line, 0, start)} | {_keys(line, end, len(line.text))} "
    if any(_stands(around, word) for word in not_beside):
        return False
    return not beside or any(_stands(around, word) for word in beside)


def _keys(line: Line, start: int, end: int) -> str:
    return " ".join(t.key for t in line.tokens if start <= t.start < end and t.key not in STOPS)


def _stands(around: str, word: str) -> bool:
    return f" {word} " in around or f" {word}s " in around or f" {word}es " in around
