"""Checks the words: terms that name nothing, words with two meanings, words of different meaning one slip apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from advisor.audit.faults import Finding, listed
from advisor.audit.slot_values import wrong_value
from advisor.graph.base import Base
from advisor.graph.nodes_of_words import Term
from advisor.language.line import normalise
from advisor.language.meanings import Meaning
from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary
from advisor.records import NamedTuple

NAMING = ("names", "slot", "circumstance", "intent", "also", "number", "grammar", "value")
"""Fields by which a term stands for something."""
BOLTS_FOR = "M10 bolts for a {}"
NEAR_LENGTH = 6
"""Shorter words are never corrected by one letter, so a neighbour does no harm there."""


def check_terms_name_something(base: Base) -> Iterator[Finding]:
    """A term must stand for a node, a slot value, a circumstance or an intent, with a value that its slot takes."""
    slots = base.slots
    for i, t in base.terms.items():
        if not any(k in base.kind("term")[i] for k in NAMING):
            remedy = "add 'names', 'slot' with 'value', 'circumstance' or 'intent'"
            yield Finding(i, "KB211", "this term names nothing", remedy)
        if t.slot and t.value is not None:
            slot = slots[t.slot]
            wrong = wrong_value(slot, t.value if slot.takes_one else listed(t.value))
            if wrong:
                yield Finding(i, "KB211", wrong, "write a value that the slot takes")


def check_words_have_one_meaning(base: Base) -> Iterator[Finding]:
    """One word must not stand for two values of one slot, nor for two intents."""
    said: dict[tuple[str, str, str], tuple[str, str]] = {}
    for i, t in base.terms.items():
        if t.grammar or (t.circumstance and not t.slot):
            continue  # one word may stand in several lists of the grammar, or be noticed as several circumstances
        meaning = repr((t.names, t.slot, t.value, t.circumstance, t.intent, t.number))
        for word in t.say:
            key = (word.casefold(), t.slot or t.intent, t.answering)
            if key in said and said[key][1] != meaning:
                text = f"the word '{word}' already means something else in '{said[key][0]}'"
                yield Finding(i, "KB212", text, "keep one")
            said.setdefault(key, (i, meaning))


def check_terms_are_heard(base: Base) -> Iterator[Finding]:
    """A term whose every phrase is taken by another term changes no reading: it is dead weight.

    Words of the grammar of quantities and number words are parts of expressions and not looked at.
    """
    if "words" not in base.names_of_sections():
        return  # a base compiled without words, as for the small checks of a test
    vocabulary = Vocabulary.of(base)
    # a number word is a figure before it is a word
    figures = {phrase for t in base.terms.values() if t.number is not None for phrase in t.say}
    for i, t in base.terms.items():
        if t.grammar or t.number is not None:
            continue
        if not figures.issuperset(t.say) and not any(_hears(vocabulary, t, phrase) for phrase in t.say):
            text = "no phrase of this term changes a reading"
            yield Finding(i, "KB214", text, "another term says the same: remove it")


def _hears(vocabulary: Vocabulary, term: Term, phrase: str) -> bool:
    """Whether a phrase is matched by its own term, alone or in a reading."""
    answering = term.answering or None
    matched = {f.term for f in vocabulary.scan(normalise(phrase), answering)}
    return term.id in matched or any(s.term == term.id for s in read(phrase, vocabulary, answering).spans)


def check_applications_are_heard(base: Base) -> Iterator[Finding]:
    """Notes: things that fasteners hold whose words change nothing in "bolts for a …"."""
    if "words" not in base.names_of_sections():
        return
    vocabulary = Vocabulary.of(base)
    nothing = read(BOLTS_FOR.format(""), vocabulary)
    for i, a in base.applications.items():
        told = (read(BOLTS_FOR.format(phrase), vocabulary) for phrase in a.say)
        if a.say and all(_same(nothing, reading) for reading in told):
            text = "none of its words changes what is understood of 'bolts for a …'"
            yield Finding(i, "KB215", text, "say what follows from it, or remove it", fault=False)


def _same(a: Reading, b: Reading) -> bool:
    return (a.understood, a.unclear, a.circumstances) == (b.understood, b.unclear, b.circumstances)


# words alike --------------------------------------------------------------------------------------------------------


def check_near_words(base: Base) -> Iterator[Finding]:
    """Notes: words one slip apart (optimal string alignment distance 1) that mean different things.

    Pairs that are known and harmless stand as `word/word` in the role `near-words-meant`.
    """
    meant = base.roles.get("near-words-meant")
    allowed = {frozenset(p.casefold().split("/")) for p in meant.words} if meant else set()
    meaning: dict[str, tuple[str, str]] = {}
    for i, t in base.terms.items():
        if t.exact or not (t.names or (t.slot and t.value is not None)):
            continue
        sense = repr((t.names, t.slot, t.value, t.circumstance))
        for word in t.say:
            if len(word) >= NEAR_LENGTH and not any(c.isdigit() for c in word):
                meaning.setdefault(word.casefold(), (i, sense))
    for a, b in _near_pairs(sorted(meaning)):
        if meaning[a][1] != meaning[b][1] and frozenset((a, b)) not in allowed:
            text = f"'{a}' and '{b}' ({meaning[b][0]}) are one slip apart and mean different things"
            yield Finding(meaning[a][0], "KB213", text, "list the pair as meant, or choose another word", fault=False)


def _near_pairs(words: list[str]) -> Iterator[tuple[str, str]]:
    """Pairs at distance 1. One slip leaves one half of a word as it is: only words that share a half are measured."""
    from rapidfuzz.distance import OSA

    halves: dict[tuple[bool, str], list[str]] = {}
    for w in words:
        h = len(w) // 2 - 1
        halves.setdefault((True, w[:h]), []).append(w)
        halves.setdefault((False, w[-h:]), []).append(w)
    seen: set[tuple[str, str]] = set()
    for w in words:
        for other in _sharing_a_half(w, halves):
            pair = (w, other) if w < other else (other, w)
            if w != other and abs(len(w) - len(other)) <= 1 and pair not in seen:
                seen.add(pair)
                if OSA.distance(w, other, score_cutoff=1) <= 1:
                    yield pair


def _sharing_a_half(word: str, halves: Mapping[tuple[bool, str], list[str]]) -> Iterator[str]:
    h = len(word) // 2 - 1
    for n in (h - 1, h, h + 1):
        if n > 0:
            yield from halves.get((True, word[:n]), ())
            yield from halves.get((False, word[-n:]), ())


class Alike(NamedTuple):
    """Two phrases of one word, the edits between them, and what each means."""

    one: str
    other: str
    edits: int
    meanings: tuple[str, str]


def alike(vocabulary: Vocabulary) -> list[Alike]:
    """All single words that fill a slot and could be typed for one another, nearest first.

    >>> from advisor.language.wordbook import build_vocabulary
    >>> terms = {"w-a": {"id": "w-a", "say": ["coastal"], "slot": "environment", "value": ["coastal"]},
    ...          "w-b": {"id": "w-b", "say": ["costal"], "slot": "appearance", "value": "black"}}
    >>> [(p.one, p.other) for p in alike(Vocabulary.load(build_vocabulary({"term": terms})))]
    [('coastal', 'costal')]
    """
    out = []
    for word in sorted(vocabulary.phrases()):
        mine = _sense(vocabulary.meanings_of(word)) if " " not in word else ""
        if not mine:
            continue
        for edits, other in vocabulary.slips(word):
            theirs = _sense(vocabulary.meanings_of(other))
            if word < other and theirs and theirs != mine:
                out.append(Alike(word, other, edits, (mine, theirs)))
    return sorted(out, key=lambda p: (p.edits, p.one, p.other))


def _sense(meanings: Sequence[Meaning]) -> str:
    """The slot and value a word stands for outside a particular question; empty when it fills none."""
    senses = [f"{m.slot}={m.value}" for m in meanings if m.slot and not m.answering]
    return "; ".join(sorted(senses))


CHECKS = (
    check_terms_name_something,
    check_words_have_one_meaning,
    check_terms_are_heard,
    check_applications_are_heard,
    check_near_words,
)
