"""From one utterance to slots with certainty, doubts, circumstances and requests. It reads; it decides nothing."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.language import requests as asking
from advisor.language.bare import bare_answer
from advisor.language.enquiries import part
from advisor.language.follows import fill_what_follows
from advisor.language.found import Found
from advisor.language.line import Line, normalise
from advisor.language.out_of_play import out_of_play
from advisor.language.questions_put import questions_put
from advisor.language.recognition import recognise
from advisor.language.requests import Request
from advisor.language.said_of import COMPARED, NOW, OTHER
from advisor.language.scene import Steered, steer
from advisor.language.troubles import requests_of, take_trouble
from advisor.language.vocabulary import SURE, Vocabulary
from advisor.language.weighing import Merged, merge
from advisor.language.words_of_line import ROLES, LineWords
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


_TWO_ENQUIRIES = 24
"""Characters that two numbered enquiries need at least."""


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
    """How one utterance is understood. `question`: the sentence that asks, where others stand beside it.

    `to_come`: further enquiries of the same message, as typed, of which nothing was read.
    `troubles`: the classes of words about trouble that stand in it.
    """

    understood: Mapping[str, Slotted]
    unclear: tuple[Unclear, ...] = ()
    circumstances: tuple[Noticed, ...] = ()
    intents: tuple[Request, ...] = ()
    corrections: frozenset[str] = frozenset()
    unused: tuple[str, ...] = ()
    spans: tuple[Span, ...] = ()
    from_object: frozenset[str] = frozenset()
    mentioned: tuple[str, ...] = ()
    asks: tuple[str, ...] = ()
    question: str = ""
    to_come: tuple[str, ...] = ()
    troubles: frozenset[str] = frozenset()

    @property
    def kinds(self) -> frozenset[str]:
        """The kinds of requests in the line."""
        return frozenset(i.kind for i in self.intents)


def read(text: str, vocabulary: Vocabulary, answering: str | None = None) -> Reading:
    """Reads one utterance; `answering` is the slot of the question just asked: a bare answer is read against it.

    >>> from advisor.language.wordbook import build_vocabulary
    >>> rain = {"id": "w-rain", "say": ["rain"], "slot": "environment", "value": ["outdoor"]}
    >>> slots, strengths = {"environment": {"type": "choices"}}, {"8.8": {"grade": "8.8"}}
    >>> v = Vocabulary.load(build_vocabulary({"term": {"w-rain": rain}, "slot": slots, "strength": strengths}))
    >>> r = read("M10 8.8 in the rain", v)
    >>> {slot: s.value for slot, s in r.understood.items()}
    {'size': 'M10', 'strength': '8.8', 'environment': ['outdoor']}
    """
    if not answering and ("\n" in text or ("2" in text and len(text) >= _TWO_ENQUIRIES)):
        parted = part(text, vocabulary.lexicon, vocabulary.threads)
        return _read(parted.first, vocabulary, None)._replace(to_come=parted.to_come)
    return _read(text, vocabulary, answering)


def _read(text: str, vocabulary: Vocabulary, answering: str | None) -> Reading:
    line = normalise(text, vocabulary.numbers)
    if line.too_long:
        return Reading({}, intents=(Request("too-long", line.shown),), unused=(line.shown,))
    found = recognise(line, vocabulary, answering)
    words = LineWords(line, found, vocabulary.knows)
    idle = out_of_play(words, vocabulary.meanings_of, answering)
    if idle:
        found = [f for f in found if id(f) not in idle]
        words = LineWords(line, found, vocabulary.knows)
    trouble = vocabulary.troubles.told_by(line)
    steered = steer(words, lambda slot: vocabulary.slot(slot).deniable, bool(trouble.complaint))
    merged = merge(line, steered, words.marks, vocabulary, answering)
    fill_what_follows(line, found, merged, vocabulary, answering)
    if answering:
        bare_answer(line, found, merged, vocabulary, answering)
    if trouble.complaint:
        take_trouble(trouble, merged)
    reading = _reading(line, found, steered, merged, vocabulary, answering)
    reading = reading._replace(troubles=trouble.classes)
    wanted = tuple(Request(kind, trouble.words or line.shown) for kind in requests_of(trouble, merged))
    if not wanted:
        return reading
    unused = _unused(line, [*found, *(Found(a, b) for a, b in trouble.used)])
    return reading._replace(intents=wanted, unclear=(), unused=unused)


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
        if certainty < (SURE if vocabulary.slot(slot).safety else 0.6) and value != "unknown" and value != []:
            candidates = tuple(value) if isinstance(value, list) else (value,)
            unclear.append(Unclear(slot, words, candidates))
        else:
            understood[slot] = Slotted(value, words, round(certainty, 2))
    mentioned = tuple(dict.fromkeys(merged.mentioned))
    told = {slot: s.value for slot, s in understood.items()}
    intents = asking.find(line, found, told, mentioned, vocabulary, answering)
    circumstances = {
        f.found.slug: line.words(f.found.start, f.found.end) for f in steered if f.found.slug and not f.negated
    }
    for slug, words in merged.noticed.items():
        circumstances.setdefault(slug, words)
    put = questions_put(line, vocabulary)
    return Reading(
        understood,
        _joined(unclear),
        tuple(Noticed(s, w) for s, w in circumstances.items()),
        intents,
        frozenset(merged.corrected),
        _unused(line, found, put.words),
        tuple(_span(line, s) for s in steered if s.found.intent != "filler"),
        frozenset(merged.from_object & understood.keys()),
        mentioned,
        put.asks,
        put.question,
    )


def _joined(unclear: Sequence[Unclear]) -> tuple[Unclear, ...]:
    """Doubts about the same words of a slot as one, with all candidates."""
    held: dict[tuple[str, str], list[Any]] = {}
    for u in unclear:
        candidates = held.setdefault((u.slot, u.words), [])
        candidates.extend(c for c in u.candidates if c not in candidates)
    return tuple(Unclear(slot, words, tuple(c)) for (slot, words), c in held.items())


def _unused(line: Line, found: Sequence[Found], asked: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """The words that nothing was read from, as typed; those that ask something were."""
    covered = [(f.start, f.end) for f in found]
    out = (
        line.words(t.start, t.end)
        for t in line.tokens
        if len(t.key) > 1
        and t.key not in asked
        and re.match(r"[a-z0-9]", t.key)
        and not any(a < t.end and t.start < b for a, b in covered)
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
            ("there now", s.said_of == NOW),
            ("of another part", s.said_of == OTHER),
            ("compared", s.said_of == COMPARED),
        )
        if on
    ]
    if f.intent in ROLES:
        marks = []
    return Span(line.words(f.start, f.end), " ".join([*marks, became]), f.certainty, f.term)
