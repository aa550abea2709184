"""Expressions kept in the base are the ones that the words would make now, and the shipped base keeps all of them."""

from __future__ import annotations

import re

from advisor.expressions import VERBOSE, freeze, thaw
from advisor.graph.base import Base
from advisor.language.expressions_kept import expression_sections
from advisor.language.vocabulary import Vocabulary
from advisor.shells.opening import open_knowledge


def test_the_base_keeps_what_the_words_make(base: Base) -> None:
    made = expression_sections({"words": base.section("words")})["expressions"]
    kept = base.section("expressions")
    assert len(made) > 40
    assert {name: kept[name] for name in kept} == dict(made)


def test_a_sentence_needs_no_expression_compiled_but_those_of_constants(base: Base) -> None:
    from advisor.language.reading import read

    words = Vocabulary.of(open_knowledge())
    read("M10 8.8 bolts, 96 h salt spray, 15 years, 80 mm long, 200 pcs, up to 120 °C, grade 8.8, 20 microns", words)
    for pattern, held in words.lexicon._compiled.items():
        assert base.section("expressions")[pattern.name][0] == held.pattern


def test_a_kept_expression_matches_like_a_fresh_one() -> None:
    source = r"(?P<n>[0-9]+ (?:\.[0-9]+)?) \ ?(?P<u>h|hours) # a comment"
    kept, fresh = thaw(freeze(source, VERBOSE), ""), re.compile(source, re.VERBOSE)
    assert kept.flags == fresh.flags
    assert kept.groupindex == fresh.groupindex
    for text in ("96 h", "9.5hours", "none"):
        a, b = kept.search(text), fresh.search(text)
        assert (a and a.groupdict()) == (b and b.groupdict())
    assert thaw(None, source, VERBOSE).pattern == source
