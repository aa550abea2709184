"""Everything that grammar and vocabulary find in a line, overlaps resolved: the longer stretch, then the figure."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.codes.shapes import find as code_stretches
from advisor.language.found import Found
from advisor.language.grammar.british_threads import outside
from advisor.language.grammar.categories import categories, part_numbers
from advisor.language.grammar.distances import far_from_the_sea
from advisor.language.grammar.hardness_told import hardness
from advisor.language.grammar.hours import salt_spray_hours
from advisor.language.grammar.lengths import lengths
from advisor.language.grammar.pieces import pieces, weights
from advisor.language.grammar.sizes_told import sizes
from advisor.language.grammar.temperatures import temperatures
from advisor.language.grammar.thread_classes import thread_classes
from advisor.language.grammar.torque_told import friction_and_torque
from advisor.language.grammar.years import life_in_years
from advisor.language.line import Line
from advisor.language.vocabulary import Vocabulary

CERTAINTY = {"document": 0.98, "form": 0.98, "letters": 0.95, "number": 0.9}
"""How sure a code is by how it was known: by its document, its form, or only by its neighbours."""


def recognise(line: Line, vocabulary: Vocabulary, answering: str | None) -> list[Found]:
    """The readings of a line in order of place."""
    codes = [f for f in _designations(line.text, vocabulary) if f.value not in vocabulary.grades.slugs]
    blocked = [(f.start, f.end) for f in codes]
    figures = [
        f for f in _figures(line, vocabulary, answering) if not any(f.start < b and a < f.end for a, b in blocked)
    ]
    if answering == "length_mm":
        figures = [f for f in figures if f.slot != "size" or str(f.value).startswith("M")]
    figures = _longest(figures)
    worded = vocabulary.scan(line, answering, blocked)
    figures = [f for f in figures if not _beaten(f, worded)]
    if any(w.start < f.end and f.start < w.end for w in worded for f in figures):
        worded = vocabulary.scan(line, answering, [*blocked, *((f.start, f.end) for f in figures)])
    return sorted([*codes, *figures, *worded], key=lambda f: (f.start, -f.end))


def _designations(text: str, vocabulary: Vocabulary) -> list[Found]:
    """Codes of coatings, by the documents that the knowledge knows."""
    if not vocabulary.shapes or not (any(c.isdigit() for c in text) or "zn" in text):
        return []
    return [
        Found(s.start, s.end, "callout", text[s.start : s.end], CERTAINTY[s.how])
        for s in code_stretches(vocabulary.shapes, text)
    ]


def _figures(line: Line, vocabulary: Vocabulary, answering: str | None) -> list[Found]:
    lexicon, text = vocabulary.lexicon, line.text
    if not any(c.isdigit() for c in text):
        return outside(lexicon, text)
    typed = line.shown if len(line.shown) == len(text) else text
    return [
        *salt_spray_hours(lexicon, text, answering),
        *vocabulary.grades.find(lexicon, text, answering),
        *lengths(lexicon, text, sizes(lexicon, text, vocabulary.threads)),
        *life_in_years(lexicon, text, answering),
        *temperatures(lexicon, text, answering),
        *hardness(lexicon, text, vocabulary.scales, vocabulary.factors),
        *friction_and_torque(lexicon, text, vocabulary.factors),
        *categories(lexicon, text),
        *weights(lexicon, text),
        *thread_classes(lexicon, text, typed),
        *pieces(lexicon, text),
        *part_numbers(lexicon, text),
        *far_from_the_sea(lexicon, text),
    ]


def _longest(found: Sequence[Found]) -> list[Found]:
    """Non-overlapping readings, the longest first; readings of one and the same stretch stay together."""
    kept: list[Found] = []
    for f in sorted(found, key=lambda f: -f.length):
        if all(f.end <= k.start or f.start >= k.end or (f.start == k.start and f.end == k.end) for k in kept):
            kept.append(f)
    return kept


def _beaten(figure: Found, worded: Sequence[Found]) -> bool:
    """Whether a longer phrase that was typed without a slip holds the figure."""
    return any(
        w.start <= figure.start and figure.end <= w.end and w.length > figure.length and not w.fuzzy for w in worded
    )
