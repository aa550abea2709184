"""One conversation on a terminal or pipe: turns, journal, saving. Opened behind the prompt: it needs everything."""

from __future__ import annotations

import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Advise, Save, State
from advisor.errors import AdvisorError
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Engine
from advisor.shells.chat import kept as journal_store
from advisor.shells.chat.kept import Journal
from advisor.shells.screen import show, width
from advisor.views.handover import handover_text
from advisor.views.in_full import in_full
from advisor.views.layout import wrap
from advisor.views.replies import reply_lines, understood_line

LONGEST_PASTE = 20_000


class Session:
    """One conversation with its journal: takes what is typed, keeps it on disk, shows the replies."""

    def __init__(self, base: Base, interactive: bool) -> None:
        self.base = base
        self.interactive = interactive
        self.guide = Guide(Engine(base), Vocabulary.of(base))
        self.engine = self.guide.engine
        self.state = State()
        self._journal: Journal | None = None
        self._journal_told = False

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
            self._tell(understood_line(self.base, self.state.enquiry))
        if self.state.asked:
            for reply in self.guide.step(self.state, "")[1]:
                self._show(reply_lines(self.engine, reply, width()))

    # turns -----------------------------------------------------------------------------------------------------

    def take(self, pasted: str) -> bool:
        """What was typed or pasted; False once the customer has left. A pasted block is one utterance: nothing of it is
        lost, nothing answered too early."""
        lines = [x.strip() for x in pasted.replace("\r", "\n").split("\n") if x.strip()]
        self.turn(", ".join(lines))
        return not self.state.done

    def end(self) -> None:
        """The lines have ended: the advice as it stands when a pipe ends on a question, the journal closed, goodbye."""
        if not self.interactive and self.state.asked and not self.state.done:
            advice = advise(self.engine, self.state.enquiry)
            self._show(reply_lines(self.engine, Advise(advice), width()))
        if self._journal is not None:
            self._journal.close()
            if self.interactive and not self._journal.failed:
                self._tell(self.base.phrase("say-goodbye", name=self._journal.name))

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
        self._show(wrap(text, width()))

    def _show(self, lines: list[str]) -> None:
        show(lines)


def saved_text(engine: Engine, advice: Advice, words: Iterable[str]) -> list[str]:
    """The written recommendation: everything with its sources, then the hand-over note."""
    said = list(dict.fromkeys(words))
    return [*in_full(engine, advice, 80), "", "-" * 72, "", *handover_text(engine, advice, said, 80)]
