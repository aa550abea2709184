"""Fixtures for all tests: the shipped base, its engine and words, opened once, with caches and journals kept apart."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest

os.environ.setdefault("ADVISOR_CACHE", tempfile.mkdtemp(prefix="advisor-test-cache-"))
os.environ.setdefault("ADVISOR_HISTORY", tempfile.mkdtemp(prefix="advisor-test-history-"))
os.environ["COLUMNS"] = "80"

from advisor.dialogue.conversation import Guide
from advisor.graph.base import Base
from advisor.graph.store import knowledge_folder
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.shells.opening import open_knowledge


@pytest.fixture(scope="session")
def base() -> Base:
    """The shipped knowledge, compiled."""
    return open_knowledge()


@pytest.fixture(scope="session")
def engine(base: Base) -> Engine:
    """The engine over the shipped knowledge."""
    return Engine(base)


@pytest.fixture(scope="session")
def vocabulary(base: Base) -> Vocabulary:
    """The words of the shipped knowledge."""
    return Vocabulary.of(base)


@pytest.fixture(scope="session")
def guide(engine: Engine, vocabulary: Vocabulary) -> Guide:
    """The conversation over the shipped knowledge."""
    return Guide(engine, vocabulary)


@pytest.fixture(scope="session")
def knowledge() -> Path:
    """The folder of the shipped knowledge."""
    return knowledge_folder()


@pytest.fixture
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Cache and journals of one test alone."""
    monkeypatch.setenv("ADVISOR_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("ADVISOR_HISTORY", str(tmp_path / "history"))
    return tmp_path
