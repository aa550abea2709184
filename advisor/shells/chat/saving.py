"""The written recommendation: everything with its sources and the hand-over note, in a file beside the user."""

from __future__ import annotations

import time
from collections.abc import Iterable
from pathlib import Path

from advisor import __version__
from advisor.graph.base import Base
from advisor.reasoning.advice import Advice
from advisor.reasoning.engine import Engine
from advisor.views.handover import handover_text
from advisor.views.in_full import in_full
from advisor.views.layout import wrap

WIDTH = 80


def saved_text(engine: Engine, advice: Advice, words: Iterable[str], at: str) -> list[str]:
    """When and from what it was made, the customer's words, the whole advice, the note for the engineer."""
    base = engine.base
    said = list(dict.fromkeys(words))
    head = base.phrase("say-saved-head", at=at, version=__version__, knowledge=base.version, digest=base.digest[:12])
    told = base.phrase("say-saved-words", words=" / ".join(said))
    note = handover_text(engine, advice, said, WIDTH)
    return [*wrap(head, WIDTH), *wrap(told, WIDTH), "", *in_full(engine, advice, WIDTH), "", "-" * 72, "", *note]


def save(engine: Engine, advice: Advice, words: Iterable[str]) -> str:
    """Write it; the sentence that says where it went, or why it did not."""
    base: Base = engine.base
    path = Path.cwd() / f"recommendation-{time.strftime('%Y-%m-%d-%H%M%S')}.txt"
    text = saved_text(engine, advice, words, time.strftime("%Y-%m-%d %H:%M"))
    try:
        path.write_text("\n".join(text) + "\n", encoding="utf-8")
    except OSError as e:
        return base.phrase("say-not-saved", reason=e.strerror or str(e))
    return base.phrase("say-saved", file=str(path))
