"""From one utterance to slots with certainty, doubts, circumstances and requests. It reads; it decides nothing."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from advisor.language import requests as asking
from advisor.language.bare import bare_answer
from advisor.language.found import Found
from advisor.language.grammar import amounts, grades, sizes
from advisor.language.grammar import codes as callouts
from advisor.language.line import MAX_CHARACTERS, Line, normalise
from advisor.language.requests import Request
from advisor.language.scene import ROLES, Scene, Steered
from advisor.language.vocabulary import SURE, Vocabulary
from advisor.language.weighing import Merged, merge

HOT_C = 250
"""A told temperature from here on counts as the place `high-temperature` when no word said so."""


class Slotted(NamedTuple):
    """A slot that was understood: value, the words that told it, certainty from 0 to 1."""

    value: Any
    words: str
    certainty: float


class Unclear(NamedTuple):
    """Words that may fill a slot but have to be asked back, with what they may mean."""

    slot: str
    words: str
    candidates: tuple[Any, ...]


class Noticed(NamedTuple):
    """A circumstance without a slot of its own, and the words that told it."""

    slug: str
    words: str


class Span(NamedTuple):
    """One stretch of the line as typed, and what it became (for whoever curates the words)."""

    words: str
    became: str
    certainty: float
    term: str


class Reading(NamedTuple):
    """How one utterance is understood."""

    understood: Mapping[str, Slotted]
    unclear: tuple[Unclear, ...] = ()
    circumstances: tuple[Noticed, ...] = ()
    intents: tuple[Request, ...] = ()
    corrections: frozenset[str] = frozenset()
    unused: tuple[str, ...] = ()
    spans: tuple[Span, ...] = ()
    from_object: frozenset[str] = frozenset()
    mentioned: tuple[str, ...] = ()

    @property
    def kinds(self) -> frozenset[str]:
        """The kinds of requests in the line."""
        return frozenset(i.kind for i in self.intents)


def read(text: str, vocabulary: Vocabulary, answering: str | None = None) -> Reading:
    """Reads one utterance; `answering` is the slot of the question just asked: a bare answer is read against it.

    >>> from advisor.language.vocabulary import Vocabulary, build_vocabulary
    >>> rain = {"id": "w-rain", "say": ["rain"], "slot": "environment", "value": ["outdoor"]}
    >>> v = Vocabulary.load(build_vocabulary([rain], {"environment": {"type": "choices"}}, ["8.8"]))
    >>> r = read("M10 8.8 in the rain", v)
    >>> {slot: s.value for slot, s in r.understood.items()}
    {'size': 'M10', 'strength': '8.8', 'environment': ['outdoor']}
    """
    line = normalise(text, vocabulary.numbers)
    if line.too_long:
        note = f"a line longer than {MAX_CHARACTERS} characters is not read; say it in fewer words"
        return Reading({}, intents=(Request("too-long", line.shown, note),), unused=(line.shown,))
    found = recognise(line, vocabulary, answering)
    scene = Scene(line, found)
    steered = scene.steer()
    merged = merge(line, steered, scene.roles, vocabulary, answering)
    if answering != "temperature_c":
        _hot(merged)
    if answering:
        bare_answer(line, found, merged, vocabulary, answering)
    return _reading(line, found, steered, merged, vocabulary, answering)


def recognise(line: Line, vocabulary: Vocabulary, answering: str | None) -> list[Found]:
    """Everything patterns and words find in the line, overlaps resolved: the longer stretch wins, then the pattern."""
    codes = [f for f in callouts.find(line.text) if f.value not in vocabulary.grades.slugs]
    blocked = [(f.start, f.end) for f in codes]
    shapes = [f for f in _shapes(line, vocabulary, answering) if not any(f.start < b and a < f.end for a, b in blocked)]
    if answering == "length_mm":
        shapes = [f for f in shapes if f.slot != "size" or str(f.value).startswith("M")]
    shapes = _longest(shapes)
    worded = vocabulary.scan(line, answering, blocked)
    beaten = [
        s
        for s in shapes
        if any(w.start <= s.start and s.end <= w.end and w.length > s.length and not w.fuzzy for w in worded)
    ]
    shapes = [s for s in shapes if s not in beaten]
    if any(w.start < s.end and s.start < w.end for w in worded for s in shapes):
        worded = vocabulary.scan(line, answering, [*blocked, *((s.start, s.end) for s in shapes)])
    return sorted([*codes, *shapes, *worded], key=lambda f: (f.start, -f.end))


def _shapes(line: Line, vocabulary: Vocabulary, answering: str | None) -> list[Found]:
    text = line.text
    if not any(c.isdigit() for c in text):
        return list(sizes.outside(text))
    typed = line.shown if len(line.shown) == len(text) else text
    return [
        *amounts.hours(text, answering),
        *vocabulary.grades.find(text, typed, answering),
        *sizes.find(text, vocabulary.series),
        *amounts.years(text, answering),
        *amounts.temperatures(text, answering),
        *amounts.hardness(text, vocabulary.hardness),
        *amounts.friction_and_torque(text),
        *amounts.categories(text),
        *amounts.masses(text),
        *grades.thread_classes(text, typed),
        *amounts.pieces(text, line.shown),
        *amounts.part_numbers(text),
    ]


def _longest(found: Sequence[Found]) -> list[Found]:
    """Non-overlapping readings, the longest first; readings of one and the same stretch stay together."""
    kept: list[Found] = []
    for f in sorted(found, key=lambda f: -f.length):
        if all(f.end <= k.start or f.start >= k.end or (f.start == k.start and f.end == k.end) for k in kept):
            kept.append(f)
    return kept


def _hot(merged: Merged) -> None:
    """A stated heat is a place too."""
    heat = merged.slots.get("temperature_c")
    place = merged.slots.get("environment")
    if (
        heat
        and isinstance(heat[0], (int, float))
        and heat[0] >= HOT_C
        and (place is None or "high-temperature" not in place[0])
    ):
        merged.slots["environment"] = ([*(place[0] if place else []), "high-temperature"], heat[1], 0.9)


def _reading(
    line: Line,
    found: Sequence[Found],
    steered: Sequence[Steered],
    merged: Merged,
    vocabulary: Vocabulary,
    answering: str | None,
) -> Reading:
    understood: dict[str, Slotted] = {}
    unclear = [Unclear(*u) for u in merged.unclear]
    for slot, (value, words, certainty) in merged.slots.items():
        if certainty < (SURE if slot in vocabulary.safety else 0.6) and value != "unknown" and value != []:
            candidates = tuple(value) if isinstance(value, list) else (value,)
            unclear.append(Unclear(slot, words, candidates))
        else:
            understood[slot] = Slotted(value, words, round(certainty, 2))
    mentioned = tuple(dict.fromkeys(merged.mentioned))
    told = {slot: s.value for slot, s in understood.items()}
    intents = asking.find(line, found, told, mentioned, answering)
    circumstances = {
        f.found.slug: line.words(f.found.start, f.found.end) for f in steered if f.found.slug and not f.negated
    }
    for slug, words in merged.noticed.items():
        circumstances.setdefault(slug, words)
    return Reading(
        understood,
        _joined(unclear),
        tuple(Noticed(s, w) for s, w in circumstances.items()),
        intents,
        frozenset(merged.corrected),
        _unused(line, found),
        tuple(_span(line, s) for s in steered if s.found.intent != "filler"),
        frozenset(merged.from_object & understood.keys()),
        mentioned,
    )


def _joined(unclear: Sequence[Unclear]) -> tuple[Unclear, ...]:
    """Doubts about the same words of a slot as one, with all candidates."""
    held: dict[tuple[str, str], list[Any]] = {}
    for u in unclear:
        candidates = held.setdefault((u.slot, u.words), [])
        candidates.extend(c for c in u.candidates if c not in candidates)
    return tuple(Unclear(slot, words, tuple(c)) for (slot, words), c in held.items())


def _unused(line: Line, found: Sequence[Found]) -> tuple[str, ...]:
    """The words that nothing was read from, as typed."""
    covered = [(f.start, f.end) for f in found]
    out = (
        line.words(t.start, t.end)
        for t in line.tokens
        if len(t.key) > 1 and re.match(r"[a-z0-9]", t.key) and not any(a < t.end and t.start < b for a, b in covered)
    )
    return tuple(dict.fromkeys(out))


def _span(line: Line, s: Steered) -> Span:
    f = s.found
    if f.slot:
        value = ", ".join(map(str, f.value)) if isinstance(f.value, (list, tuple)) else str(f.value)
        became = f"{f.slot} = {value}" if f.value is not None else f"{f.slot} (to be asked)"
    else:
        became = f.slug or f.intent
    marks = [
        w
        for w, on in (
            ("not", s.negated),
            ("instead of", s.after_instead),
            ("corrected", s.corrected),
            ("fitted now", s.fitted),
        )
        if on
    ]
    if f.intent in ROLES:
        marks = []
    return Span(line.words(f.start, f.end), " ".join([*marks, became]), f.certainty, f.term)
