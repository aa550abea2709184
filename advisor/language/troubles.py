"""What a line tells of something that went wrong: word classes that stand together, such as a break and a delay."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from advisor.language.line import STOPS, Line
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.language.weighing import Merged

FIGURE = "#"
"""Stands in a phrase for any number: "# hours later"."""
UNREAL = "unreal"
"""The class of words that make what follows a fear, a condition or a denial: "will it", "if they", "never"."""
UNREAL_REACH = 3
SUBJECT_REACH = 4
"""Words between the parts of "bolt>broke"."""
TROUBLE = "trouble-"
"""Begins the name of every such class of words."""


REFUSING = "wont"
"""The class of words that say that something does not happen: what they lead is the trouble itself, "won't go on"."""
HURT, SOUGHT, LIABILITY, VAGUE = "hurt", "wanted", "liability", "vague"
"""Classes that say what is wanted: help for the hurt, another finish, a verdict on who pays, help with anything."""


class Trouble(NamedTuple):
    """What a line tells of trouble: the complaint ("" = none), its kind of problem, what follows from it, its words.

    `first_of_all`: it comes before whatever else is asked. `classes`: all word classes found in
    the line, `used`: where their phrases stand.
    """

    complaint: str = ""
    problem: str = ""
    circumstances: tuple[str, ...] = ()
    words: str = ""
    first_of_all: bool = False
    classes: frozenset[str] = frozenset()
    used: tuple[tuple[int, int], ...] = ()


class Hit(NamedTuple):
    """A phrase of a class, by places of its first token and the one after its last."""

    start: int
    end: int


class TroubleWords:
    """The word classes and the patterns of complaints, as compiled."""

    def __init__(self, compiled: Mapping[str, Any]) -> None:
        self._phrases: Mapping[str, Sequence[tuple[Sequence[str], str]]] = compiled["phrases"]
        self._told: Sequence[tuple[str, Sequence[str]]] = compiled["told"]
        self._complaints: Mapping[str, tuple[str, Sequence[str], bool]] = compiled["complaints"]
        led = (part.partition(">") for _, pattern in self._told for part in pattern)
        self._refused = frozenset(after for before, _, after in led if before == REFUSING)

    def told_by(self, line: Line) -> Trouble:
        """The gravest complaint that a line tells, and the word classes found in it."""
        keys = [t.key for t in line.tokens]
        hits = self._hits(keys)
        places = {h for found in hits.values() for h in found}
        used = tuple((line.tokens[h.start].start, line.tokens[h.end - 1].end) for h in places)
        for complaint, pattern in self._told if hits else ():
            spans = _fulfilled(pattern, hits, keys)
            if spans is not None:
                first, last = min(s.start for s in spans), max(s.end for s in spans)
                words = line.words(line.tokens[first].start, line.tokens[last - 1].end)
                problem, follows, first_of_all = self._complaints[complaint]
                first_of_all = first_of_all or HURT in hits
                return Trouble(complaint, problem, tuple(follows), words, first_of_all, frozenset(hits), used)
        return Trouble(classes=frozenset(hits), used=used)

    def _hits(self, keys: Sequence[str]) -> dict[str, list[Hit]]:
        """Class -> where its phrases stand, without those that are feared, supposed or denied."""
        out: dict[str, list[Hit]] = {}
        for i, (name, length) in self._found(keys):
            out.setdefault(name, []).append(Hit(i, i + length))
        unreal = out.pop(UNREAL, [])
        if unreal:
            refusing = {h.start for h in out.get(REFUSING, ())}
            feared = [u for u in unreal if u.start not in refusing]
            for name in list(out):
                by = feared if name in self._refused else unreal
                out[name] = [h for h in out[name] if not any(_governs(u, h, keys) for u in by)]
                if not out[name]:
                    del out[name]
        return out

    def _found(self, keys: Sequence[str]) -> Iterator[tuple[int, tuple[str, int]]]:
        for i, key in enumerate(keys):
            for start in (key, FIGURE) if key[0].isdigit() else (key,):
                for rest, name in self._phrases.get(start, ()):
                    if _same(keys, i + 1, rest):
                        yield i, (name, 1 + len(rest))


def _same(keys: Sequence[str], i: int, rest: Sequence[str]) -> bool:
    here = keys[i : i + len(rest)]
    return len(here) == len(rest) and all(map(_alike, rest, here))


def _alike(word: str, key: str) -> bool:
    return word == key or (word == FIGURE and key[0].isdigit())


def _governs(unreal: Hit, hit: Hit, keys: Sequence[str]) -> bool:
    between = keys[unreal.end : hit.start]
    return unreal.end <= hit.start and len(between) < UNREAL_REACH and STOPS.isdisjoint(between)


def _fulfilled(pattern: Sequence[str], hits: Mapping[str, Sequence[Hit]], keys: Sequence[str]) -> list[Hit] | None:
    """Where the parts of a pattern stand; None where one is missing, or one that must not stand there does."""
    out: list[Hit] = []
    for part in pattern:
        if part.startswith("!"):
            if part[1:] in hits:
                return None
            continue
        before, _, after = part.rpartition(">")
        found = hits.get(after, ())
        if before:
            found = [h for h in found if any(_leads(b, h, keys) for b in hits.get(before, ()))]
        if not found:
            return None
        out.append(found[0])
    return out


def _leads(before: Hit, after: Hit, keys: Sequence[str]) -> bool:
    between = keys[before.end : after.start]
    return before.end <= after.start and len(between) <= SUBJECT_REACH and STOPS.isdisjoint(between)


def _parts(pattern: Sequence[str]) -> int:
    """How many things a pattern wants told."""
    return sum(not part.startswith("!") for part in pattern)


def take_trouble(trouble: Trouble, merged: Merged) -> None:
    """Put a complaint into what was read: its problem, what follows from it; the finish told is that of the trouble."""
    slots = merged.slots
    slots["problem"] = ([trouble.problem], trouble.words, 1.0)
    for slug in (trouble.complaint, *trouble.circumstances):
        merged.noticed.setdefault(slug, "")  # its words were said back with the problem
    _not_wished(merged)
    if sought(trouble, slots):
        return
    # "the nut won't go on the galvanized bolt" does not rule a finish out
    told = slots.pop("exclude", None)
    if told is not None:
        slots.setdefault("finish_now", told)


def _not_wished(merged: Merged) -> None:
    """In a complaint a finish is the one of the trouble, unless the words wish for it: "can I use stainless now"."""
    told = merged.slots.pop("finish_asked", None)
    if told is None:
        return
    families, words, certainty = told
    wished = [f for f in families if f in merged.wished]
    rest = [f for f in families if f not in merged.wished]
    if wished:
        merged.slots["finish_asked"] = (wished, words, certainty)
    if rest:
        held = merged.slots.get("finish_now")
        merged.slots["finish_now"] = (
            ([*held[0], *(f for f in rest if f not in held[0])], *held[1:]) if held else (rest, words, certainty)
        )


def sought(trouble: Trouble, slots: Mapping[str, Any]) -> bool:
    """Whether the line asks for another finish rather than for what went wrong."""
    if trouble.first_of_all or LIABILITY in trouble.classes:
        return False
    return SOUGHT in trouble.classes or ("finish_asked" in slots and "finish_now" in slots)


def requests_of(trouble: Trouble, merged: Merged) -> tuple[str, ...]:
    """The kinds of requests that a told trouble makes, before which all others give way."""
    out = []
    told = bool(trouble.complaint) or not trouble.classes.isdisjoint((VAGUE, HURT))
    if LIABILITY in trouble.classes and told:
        out.append("verdict")
    if HURT in trouble.classes:
        out.append("hurt")
    if trouble.complaint and not sought(trouble, merged.slots):
        out.append("diagnosis")
    elif not trouble.complaint and told and not sought(trouble, merged.slots):
        out.append("complaint")
    return tuple(out)


def compile_troubles(
    terms: Sequence[Mapping[str, Any]], complaints: Mapping[str, Mapping[str, Any]], keys: Callable[[str], list[str]]
) -> dict[str, Any]:
    """The table that TroubleWords reads: phrases by first word, patterns the gravest and most particular first.

    `keys` cuts a phrase into words as lines are cut.
    """
    phrases: dict[str, list[tuple[list[str], str]]] = {}

    def add(say: str, name: str) -> None:
        first, *rest = keys(say)
        phrases.setdefault(first, []).append((rest, name))

    for t in terms:
        grammar = str(t.get("grammar", ""))
        if grammar.startswith(TROUBLE):
            for say in t["say"]:
                add(say, grammar.removeprefix(TROUBLE))
    told: list[tuple[str, list[str]]] = []
    for name, node in complaints.items():
        for say in node.get("say", ()):
            add(say, name)
        told += [(name, [name]), *((name, list(p)) for p in node.get("told", ()))]
    order = {name: n for n, name in enumerate(complaints)}
    told.sort(key=lambda t: (not complaints[t[0]].get("stop"), -_parts(t[1]), order[t[0]]))
    return {
        "phrases": phrases,
        "told": told,
        "complaints": {
            name: (node["problem"], list(node.get("circumstance", ())), bool(node.get("first_of_all")))
            for name, node in complaints.items()
        },
    }
