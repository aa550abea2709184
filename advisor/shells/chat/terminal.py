"""The conversation on a terminal or a pipe. The prompt shows first; everything else is made ready behind it."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator

from advisor.errors import AdvisorError
from advisor.graph.base import Base
from advisor.shells.given import Call, Settings
from advisor.shells.opening import open_told
from advisor.shells.screen import show, width, write
from advisor.views.layout import wrap

TYPE_CHECKING = False
if TYPE_CHECKING:
    from advisor.shells.chat.session import Session

PROMPT = "> "
FIRST_LINES = ("say-first-line", "say-first-help")


def run(call: Call) -> int:
    """advisor [chat [--resume NAME] [--json]]"""
    if call.has("json"):
        from advisor.shells.chat.program import converse

        return converse(open_told(call.settings), sys.stdin.buffer, call.one("resume"))
    piped = not (sys.stdin.isatty() and sys.stdout.isatty())
    opening = Opening(call.settings, interactive=not piped)
    resume = call.one("resume")
    if resume:
        opening.session.resume(resume)
    elif not piped:
        for phrase in FIRST_LINES:
            show(wrap(opening.base.phrase(phrase), width()))
    for typed in _pipe() if piped else _typed(call.settings, opening):
        if not opening.session.take(typed):
            break
    if opening.ready or piped:
        opening.session.end()
    return 0


class Opening:
    """What the prompt stands on while the rest is made ready: the base, and the session once somebody needs it."""

    def __init__(self, settings: Settings, interactive: bool) -> None:
        self._settings = settings
        self._interactive = interactive
        self._base: Base | None = None
        self._session: Session | None = None
        self._lock = threading.RLock()

    @property
    def base(self) -> Base:
        """The knowledge (its sentences are there long before the engine is)."""
        with self._lock:
            if self._base is None:
                self._base = open_told(self._settings)
            return self._base

    @property
    def session(self) -> Session:
        """The session, made on first use."""
        base = self.base
        with self._lock:
            if self._session is None:
                from advisor.shells.chat.session import Session

                self._session = Session(base, self._interactive, plain=_linear(self._settings))
            return self._session

    @property
    def ready(self) -> bool:
        """Whether the session is made."""
        return self._session is not None

    def prepare(self) -> None:
        """Make ready ahead of the first line; a fault shows when it is needed."""
        try:
            _ = self.session
        except AdvisorError:
            return


def _pipe() -> Iterator[str]:
    """One utterance a line from a pipe or file."""
    for raw in sys.stdin.buffer:
        yield raw.decode("utf-8", errors="replace")


def _linear(settings: Settings) -> bool:
    """Whether plain lines are wanted: no completion, no pages, no colour."""
    return settings.plain or os.environ.get("TERM", "") in ("dumb", "") or bool(os.environ.get("ADVISOR_PLAIN"))


def _typed(settings: Settings, opening: Opening) -> Iterator[str]:
    """What is typed: at the full prompt, or at a plain one where the terminal or the user wants it so."""
    if _linear(settings):
        yield from _plain_lines(opening)
        return
    try:
        from advisor.shells.chat.prompt import Unfit, lines
    except ImportError:
        yield from _plain_lines(opening)
        return
    try:
        yield from lines(opening)
    except Unfit:
        # some Windows consoles and terminals under other programs cannot carry the full prompt
        yield from _plain_lines(opening)


def _plain_lines(opening: Opening) -> Iterator[str]:
    """Lines typed at a plain prompt: no completion, no colour, good for screen readers and simple terminals."""
    threading.Thread(target=opening.prepare, daemon=True).start()
    while True:
        try:
            # bytes of another encoding come as half characters that no file can hold
            yield input(PROMPT).encode("utf-8", "replace").decode("utf-8")
        except EOFError:
            return
        except KeyboardInterrupt:
            write("")
