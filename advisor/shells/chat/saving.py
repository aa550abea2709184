"""save in a conversation: the written recommendation in a file, as a page unless another form is named."""

from __future__ import annotations

import time
from pathlib import Path

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import State

FORMS = {".txt": "saved-as-text", ".md": "saved-as-markdown", ".json": "saved-as-data"}
"""Endings with the roles that hold the words for them."""
PAGE = ".html"


def save(guide: Guide, state: State, line: str) -> str:
    """Write it; the sentence that says where it went, or why it did not. `line` is what was typed."""
    from advisor.shells.report import STAMP, matter_of_state, written  # much is needed for it, and seldom

    base = guide.base
    ending = form_of(guide, line)
    words = tuple(dict.fromkeys(state.words))
    text = written(guide.engine, matter_of_state(guide, state, words), ending, time.strftime(STAMP))
    try:
        path = free(Path.cwd() / f"recommendation-{time.strftime('%Y-%m-%d-%H%M%S')}{ending}")
        path.write_text(text, encoding="utf-8")
    except OSError as e:
        return base.phrase("say-not-saved", reason=e.strerror or str(e))
    return base.phrase("say-saved", file=str(path))


def form_of(guide: Guide, line: str) -> str:
    """The ending for the form that a line names; that of a page where it names none."""
    typed = line.lower().replace(".", " ").split()
    return next((e for e, role in FORMS.items() if set(guide.base.role_words(role)) & set(typed)), PAGE)


def free(path: Path) -> Path:
    """A path that is not taken yet: nothing is written over."""
    n = 2
    found = path
    while found.exists():
        found = path.with_stem(f"{path.stem}-{n}")
        n += 1
    return found
