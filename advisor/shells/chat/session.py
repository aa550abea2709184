"""One conversation on a terminal or pipe: turns, journal, saving. Opened behind the prompt: it needs everything."""

from __future__ import annotations

from advisor.dialogue.conversation import Guide
from advisor.dialogue.going_on import current_advice
from advisor.dialogue.state import Advise, Replies, Save, State
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.shells.chat import kept as journal_store
from advisor.shells.chat.keeping import Keeper
from advisor.shells.chat.paging import STOP, show_paged
from advisor.shells.chat.painting import Paint, in_colour, painter
from advisor.shells.chat.saving import save
from advisor.shells.screen import show, width
from advisor.views.layout import wrap
from advisor.views.replies import reply_lines, understood_line
from advisor.views.turns import turn_lines

LONGEST_PASTE = 20_000


class Session:
    """One conversation with its journal: takes what is typed, keeps it on disk, shows the replies."""

    def __init__(self, base: Base, interactive: bool, keeps: bool | None = None, plain: bool = False) -> None:
        self.base = base
        self.interactive = interactive
        self.guide = Guide(Engine(base), Vocabulary.of(base))
        self.engine = self.guide.engine
        self.state = State()
        self._paint = _painter(base) if interactive and in_colour(plain) else None
        self._pages = interactive and not plain
        self.keeper = Keeper(base.digest, interactive if keeps is None else keeps, self._no_journal)

    def resume(self, name: str) -> None:
        """Go on with a kept conversation: its turns are run again, then it shows where it stood."""
        kept = self.replay(name)
        turns = sum(e.event == "turn" for e in kept.entries)
        digest = next((str(e.data["digest"]) for e in kept.entries if "digest" in e.data), "")
        say = self.base.phrase
        last = str(kept.entries[-1].data.get("at", "")) if kept.entries else ""
        self._tell(say("say-resumed", name=name, turns=turns, date=last))
        if kept.torn:
            self._tell(say("say-journal-torn"))
        if digest and digest != self.base.digest:
            self._tell(say("say-resumed-changed"))
        if self.state.enquiry.said:
            self._tell(understood_line(self.base, self.state.enquiry))
        if self.state.asked:
            for reply in self.guide.step(self.state, "")[1]:
                show(reply_lines(self.engine, reply, width()), self._paint)
        elif self.state.advice is not None:
            show(reply_lines(self.engine, Advise(current_advice(self.guide.desk, self.state)), width()), self._paint)

    def replay(self, name: str) -> journal_store.Kept:
        """Bring back a kept conversation without showing anything."""
        kept, journal = journal_store.resume(name)
        self.keeper.go_on_with(journal)
        for e in kept.entries:
            if e.event == "turn":
                self.state, _ = self.guide.step(self.state, str(e.data["said"]))
                self.state = self.state._replace(done=False)
        return kept

    def take(self, pasted: str) -> bool:
        """What was typed or pasted; False once the customer has left. A pasted block is one utterance: nothing of it is
        lost, nothing answered too early."""
        said = one_line(pasted)
        while True:
            _, _, shown = self.turn(said)
            said = one_line(self._show(shown))
            if self.state.done or not said:
                return not self.state.done

    def _show(self, lines: list[str]) -> str:
        """Show lines, by pages where a screen does not hold them; what was typed instead of going on."""
        if self._pages:
            return show_paged(lines, self._paint, self._wait)
        show(lines, self._paint)
        return ""

    def _wait(self, left: int) -> str:
        try:
            return input(self.base.phrase("say-page", left=left) + " ")
        except (EOFError, KeyboardInterrupt):
            show([""])
            return STOP[0]

    def turn(self, line: str) -> tuple[State, Replies, list[str]]:
        """One utterance answered and kept on disk: the state before, the replies, and their lines."""
        before = self.state
        state, replies = self.guide.step(before, line[:LONGEST_PASTE])
        shown = turn_lines(self.engine, replies, width())
        if any(isinstance(r, Save) for r in replies):
            shown += wrap(save(self.guide, state, line), width())
        if line.strip():
            self.keeper.turn(line, shown)
        self.state = state
        return before, replies, shown

    def end(self) -> None:
        """The lines have ended: the advice as it stands when a pipe ends on a question, the journal closed, goodbye."""
        if not self.interactive and self.state.asked and not self.state.done:
            show(reply_lines(self.engine, Advise(current_advice(self.guide.desk, self.state)), width()))
        name = self.keeper.name
        self.keeper.close()
        if name and self.interactive:
            self._tell(self.base.phrase("say-goodbye", name=name))

    def _no_journal(self, reason: str) -> None:
        self._tell(self.base.phrase("say-no-journal", reason=reason))

    def _tell(self, text: str) -> None:
        show(wrap(text, width()))


def _painter(base: Base) -> Paint:
    labels = ("say", "order", "figures", "why", "instead", "taken", "open")
    return painter(
        [base.phrase("look-stop")], [base.phrase("look-mind")], [base.phrase(f"look-{name}") for name in labels]
    )


def one_line(pasted: str) -> str:
    """A pasted block as one utterance.

    >>> one_line("M10 bolts\\r\\n\\n by the sea ")
    'M10 bolts, by the sea'
    """
    return ", ".join(x.strip() for x in pasted.replace("\r", "\n").split("\n") if x.strip())
