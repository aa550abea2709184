"""The conversation on a terminal or a pipe, and the history of kept ones."""

from __future__ import annotations

import os
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

from advisor.dialogue.conversation import FIRST_LINES, Guide
from advisor.dialogue.state import Advise, Save, State
from advisor.errors import AdvisorError, UsageError
from advisor.graph.compiled import Base
from advisor.language.words import Vocabulary
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Engine
from advisor.shells import journal_store
from advisor.shells.arguments import Helped, Parser
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.journal_store import Journal
from advisor.shells.opening import open_knowledge
from advisor.shells.screen import width, write
from advisor.views.replies import reply_lines
from advisor.views.text import advice_text

PROMPT = "> "
LONGEST_PASTE = 20_000


def chat(settings: Settings, argv: list[str]) -> int:
    """advisor [chat [--resume NAME]]"""
    p = Parser("chat", COMMANDS["chat"].does)
    p.add_argument("--resume", metavar="NAME", help="go on with a kept conversation (see advisor history)")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    piped = not (sys.stdin.isatty() and sys.stdout.isatty())
    session = Session(settings, interactive=not piped)
    if n.resume:
        session.resume(n.resume)
    if piped:
        return session.run(_pipe())
    if settings.plain or os.environ.get("TERM", "") in ("dumb", "") or os.environ.get("ADVISOR_PLAIN"):
        return session.run(_plain_lines())
    try:
        from advisor.shells.prompt import lines
    except ImportError:
        return session.run(_plain_lines())
    return session.run(lines(session))


def _pipe() -> Iterator[str]:
    """One utterance a line from a pipe or file."""
    for raw in sys.stdin.buffer:
        yield raw.decode("utf-8", errors="replace")


def _plain_lines() -> Iterator[str]:
    """Lines typed at a plain prompt: no completion, no colour, good for screen readers and simple terminals."""
    while True:
        try:
            yield input(PROMPT)
        except EOFError:
            return
        except KeyboardInterrupt:
            write("")


class Session:
    """One conversation with its journal. The knowledge is opened when it is first needed, behind the prompt."""

    def __init__(self, settings: Settings, interactive: bool) -> None:
        self._settings = settings
        self.interactive = interactive
        self._base: Base | None = None
        self._guide: Guide | None = None
        self._lock = threading.RLock()
        self.state = State()
        self._journal: Journal | None = None
        self._journal_told = False
        self._resumed: str = ""

    # opening ---------------------------------------------------------------------------------------------------

    @property
    def base(self) -> Base:
        """The knowledge; opened on first use (its sentences are there long before the engine is)."""
        with self._lock:
            if self._base is None:
                self._base = open_knowledge(self._settings.knowledge, self._settings.overlays)
                if self._base.notice:
                    print(f"advisor: {self._base.notice}", file=sys.stderr)
            return self._base

    @property
    def guide(self) -> Guide:
        """The conversation's rules; prepared on first use."""
        base = self.base
        with self._lock:
            if self._guide is None:
                self._guide = Guide(Engine(base), Vocabulary.load(base.section("words")))
            return self._guide

    @property
    def engine(self) -> Engine:
        """The engine below the conversation."""
        return self.guide.engine

    @property
    def ready(self) -> bool:
        """Whether everything is prepared."""
        return self._guide is not None

    def prepare(self) -> None:
        """Prepare ahead of the first line; a fault shows when it is needed."""
        try:
            _ = self.guide
        except AdvisorError:
            return

    def resume(self, name: str) -> None:
        """Go on with a kept conversation: its turns are run again without being shown."""
        kept, self._journal = journal_store.resume(name)
        turns = [e for e in kept.entries if e.event == "turn"]
        digest = ""
        for e in kept.entries:
            digest = str(e.data.get("digest", digest))
            if e.event == "turn":
                self.state, _ = self.guide.step(self.state, str(e.data["said"]))
                self.state = self.state._replace(done=False)
        say = self.base.phrase
        last = str(kept.entries[-1].data.get("at", "")) if kept.entries else ""
        self._tell(say("say-resumed", name=name, turns=len(turns), date=last))
        if kept.torn:
            self._tell(say("say-journal-torn"))
        if digest and digest != self.base.digest:
            self._tell(say("say-resumed-changed"))
        if self.state.enquiry.said:
            from advisor.views.text import understood_line

            self._tell(understood_line(self.base, {s: x.value for s, x in self.state.enquiry.said.items()}))
        if self.state.asked:
            for reply in self.guide.step(self.state, "")[1]:
                self._show(reply_lines(self.engine, reply, width()))
        self._resumed = name

    # turns -----------------------------------------------------------------------------------------------------

    def run(self, lines: Iterator[str]) -> int:
        """Talk until the lines end or the customer leaves."""
        try:
            if not self._resumed and self.interactive:
                for phrase in FIRST_LINES:
                    self._tell(self.base.phrase(phrase))
            for pasted in lines:
                for line in _parts(pasted):
                    self.turn(line)
                    if self.state.done:
                        break
                if self.state.done:
                    break
            if not self.interactive and self.state.asked and not self.state.done:
                # a pipe ends without answering: the advice as far as the facts allow, with what was assumed
                advice = advise(self.engine, self.state.enquiry)
                self._show(reply_lines(self.engine, Advise(advice), width()))
        finally:
            if self._journal is not None:
                self._journal.close()
        if self.interactive and self._journal is not None and not self._journal.failed:
            self._tell(self.base.phrase("say-goodbye", name=self._journal.name))
        return 0

    def turn(self, line: str) -> None:
        """One utterance: answered, kept on disk, then shown."""
        if len(line) > LONGEST_PASTE:
            line = line[:LONGEST_PASTE]
        state, replies = self.guide.step(self.state, line)
        shown: list[str] = []
        for n, reply in enumerate(replies):
            block = reply_lines(self.engine, reply, width())
            if n and block and len(block) > 2:
                shown.append("")
            shown += block
            if isinstance(reply, Save):
                shown += self._save(saved_text(self.engine, reply.advice, (*self.state.words, *state.words)))
        if line.strip():
            self._keep("turn", {"said": line, "shown": shown, "at": time.strftime("%Y-%m-%d %H:%M:%S")})
        self.state = state
        self._show(shown)

    def _keep(self, event: str, data: dict[str, Any]) -> None:
        if not self.interactive and self._journal is None:
            return
        if self._journal is None and not self._journal_told:
            try:
                self._journal = journal_store.begin(time.strftime("%Y-%m-%d-%H%M"))
                self._journal.add("open", {"at": time.strftime("%Y-%m-%d %H:%M:%S"), "digest": self.base.digest})
            except (OSError, AdvisorError) as e:
                self._no_journal(str(e))
        if self._journal is not None:
            self._journal.add(event, data)
            if self._journal.failed:
                self._no_journal(self._journal.failed)

    def _no_journal(self, reason: str) -> None:
        if not self._journal_told:
            self._journal_told = True
            self._tell(self.base.phrase("say-no-journal", reason=reason))

    def _save(self, text: list[str]) -> list[str]:
        """Write the recommendation to a file beside the user."""
        say = self.base.phrase
        stem = "recommendation-" + time.strftime("%Y-%m-%d-%H%M%S")
        path = Path.cwd() / f"{stem}.txt"
        try:
            path.write_text("\n".join(text) + "\n", encoding="utf-8")
        except OSError as e:
            return [say("say-not-saved", reason=e.strerror or str(e))]
        return [say("say-saved", file=path.name)]

    def _tell(self, text: str) -> None:
        from advisor.views.layout import wrap

        self._show(wrap(text, width()))

    def _show(self, lines: list[str]) -> None:
        for line in lines:
            write(line)
        if lines:
            write("")
        sys.stdout.flush()


def saved_text(engine: Engine, advice: Advice, words: Iterable[str]) -> list[str]:
    """The written recommendation: everything with its sources, then the hand-over note."""
    from advisor.views.handover import handover_text

    said = list(dict.fromkeys(words))
    return [*advice_text(engine, advice, 80, 3), "", "-" * 72, "", *handover_text(engine, advice, said, 80)]


def _parts(pasted: str) -> Iterator[str]:
    """A pasted block is one utterance: nothing of it is lost, nothing answered too early."""
    lines = [x.strip() for x in pasted.replace("\r", "\n").split("\n") if x.strip()]
    yield ", ".join(lines) if len(lines) > 1 else (lines[0] if lines else "")


def history(settings: Settings, argv: list[str]) -> int:
    """advisor history [NAME] [--out FILE]"""
    p = Parser("history", COMMANDS["history"].does, "example: advisor history 2026-11-25-0930 --out talk.txt")
    p.add_argument("name", nargs="?", help="a kept conversation; none: list them")
    p.add_argument("--out", metavar="FILE", help="write it to a file instead of the screen")
    p.add_argument("--json", action="store_true", help="answer as JSON")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    import json

    if not n.name:
        listed = []
        for name in journal_store.names():
            try:
                kept = journal_store.load(name)
                first = next((str(e.data["said"]) for e in kept.entries if e.event == "turn"), "")
                listed.append(
                    {"name": name, "turns": sum(e.event == "turn" for e in kept.entries), "first": first, "fault": ""}
                )
            except AdvisorError as e:
                listed.append({"name": name, "turns": 0, "first": "", "fault": str(e)})
        if n.json:
            write(json.dumps({"schema": "advisor/history/1", "conversations": listed}, ensure_ascii=False))
        elif not listed:
            write("No conversation is kept yet.")
        else:
            for row in listed:
                write(f"{row['name']}  {row['turns']} turns  {row['fault'] or str(row['first'])[:50]}")
        return 0
    kept = journal_store.load(n.name)
    if n.json:
        turns = [
            {"said": e.data["said"], "shown": e.data["shown"], "at": e.data.get("at", "")}
            for e in kept.entries
            if e.event == "turn"
        ]
        lines = [
            json.dumps(
                {"schema": "advisor/history/1", "name": n.name, "torn": kept.torn, "turns": turns}, ensure_ascii=False
            )
        ]
    else:
        lines = []
        for entry in kept.entries:
            if entry.event == "turn":
                lines += [f"{PROMPT}{entry.data['said']}", "", *(str(x) for x in entry.data["shown"]), ""]
    return _out(n.out, lines)


def _out(path: str | None, lines: list[str], writer: Callable[[str], None] = write) -> int:
    if path is None:
        for line in lines:
            writer(line)
        return 0
    try:
        Path(path).write_text("\n".join(lines) + "\n", encoding="utf-8")
    except OSError as e:
        raise UsageError(f"'{path}' cannot be written ({e.strerror})") from None
    return 0
