"""The prompt with history and completion, on terminals that can; the knowledge is opened behind it."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator
from typing import Protocol

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import Input
from prompt_toolkit.output import Output

from advisor.graph.base import Base

PROMPT = "> "
LEAST_TYPED = 3
MOST_OFFERED = 8
BEHIND_THE_PROMPT_S = 0.05


class Prepared(Protocol):
    """What the prompt needs of a session: the knowledge, whether it is ready, and how to make it ready."""

    @property
    def ready(self) -> bool:
        """Whether everything is prepared."""

    @property
    def base(self) -> Base:
        """The knowledge."""

    def prepare(self) -> None:
        """Prepare ahead of the first line."""


class PhraseCompleter(Completer):
    """Offers the answers to the question asked, and words of the vocabulary, once a few letters are typed."""

    def __init__(self, session: Prepared) -> None:
        self._session = session
        self._known: list[str] | None = None

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        """Completions of the word before the cursor; none while the knowledge is still loading."""
        if not self._session.ready:
            return
        line = document.text_before_cursor
        word = line.split(" ")[-1].lower()
        if len(word) < LEAST_TYPED and not complete_event.completion_requested:
            return
        offered = 0
        for known in self._words():
            if known.lower().startswith(word) and known.lower() != word:
                yield Completion(known, start_position=-len(word))
                offered += 1
                if offered >= MOST_OFFERED:
                    return

    def _words(self) -> list[str]:
        if self._known is None:
            says = {
                s for t in self._session.base.kind("term").values() if t.get("lang", "en") == "en" for s in t["say"]
            }
            self._known = sorted((s for s in says if len(s) > LEAST_TYPED), key=lambda s: (len(s), s))
        return self._known


class Unfit(Exception):
    """The terminal cannot carry the full prompt."""


def lines(session: Prepared, source: Input | None = None, sink: Output | None = None) -> Iterator[str]:
    """What is typed, line by line. Ctrl-C drops the line, end of input leaves; a pasted block comes whole."""
    try:
        prompt: PromptSession[str] = PromptSession(
            history=InMemoryHistory(),
            completer=PhraseCompleter(session),
            complete_while_typing=False,
            input=source,
            output=sink,
        )
    except Exception as e:
        # the library has an error of its own for each console it cannot drive, some only on one system
        raise Unfit(str(e)) from e
    # the rest is made ready once the prompt stands, so that it never waits for it
    later = threading.Timer(BEHIND_THE_PROMPT_S, session.prepare)
    later.daemon = True
    once = [later.start]
    while True:
        try:
            yield prompt.prompt(PROMPT, pre_run=once.pop() if once else None)
        except KeyboardInterrupt:
            continue
        except EOFError:
            return
