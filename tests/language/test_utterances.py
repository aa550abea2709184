"""The project's own utterances: slot F1 and silent errors; reading exact words loads nothing heavy."""

from __future__ import annotations

import subprocess
import sys

from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from tests.language.scoring import cases, score, told_in


def test_no_utterance_stands_twice_and_none_is_without_its_reading() -> None:
    keys = [(c["text"], c.get("answering")) for c in cases()]
    assert len(set(keys)) == len(keys)
    assert all({"expect", "unclear", "text"} & set(c) for c in cases())


def test_customers_words_are_understood(vocabulary: Vocabulary) -> None:
    result = score(lambda c: told_in(read(c["text"], vocabulary, c.get("answering")), c))
    assert result.f1 >= 0.97, (result.missed, result.over_read)
    assert result.silent_errors <= 0.005, result.wrong + result.forbidden


def test_exact_words_load_no_fuzzy_matcher() -> None:
    code = """
import sys
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from advisor.language.wordbook import build_vocabulary
term = {"id": "w", "say": ["outside"], "slot": "environment", "value": ["outdoor"]}
sections = {"term": {"w": term}, "strength": {"a": {"grade": "8.8"}}}
reading = read("M10 8.8 outside", Vocabulary.load(build_vocabulary(sections)))
assert len(reading.understood) == 3
heavy = {"rapidfuzz", "yaml", "networkx", "dataclasses", "asyncio", "logging"} & set(sys.modules)
sys.exit(str(heavy) if heavy else 0)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
