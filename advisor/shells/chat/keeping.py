"""Keeps a conversation on disk turn by turn; where that fails the conversation goes on without, and says so once."""

from __future__ import annotations

import time
from collections.abc import Callable

from advisor.errors import AdvisorError
from advisor.shells.chat import kept as journal_store
from advisor.shells.chat.kept import Journal

STAMP = "%Y-%m-%d %H:%M:%S"


class Keeper:
    """The journal of one conversation, begun with its first turn."""

    def __init__(self, digest: str, wanted: bool, complain: Callable[[str], None]) -> None:
        self._digest = digest
        self._wanted = wanted
        self._complain = complain
        self._journal: Journal | None = None
        self._complained = False

    @property
    def name(self) -> str:
        """The name under which the conversation is kept; empty while it is not."""
        return self._journal.name if self._journal is not None and not self._journal.failed else ""

    def go_on_with(self, journal: Journal) -> None:
        """Keep on in an earlier journal."""
        self._journal = journal

    def turn(self, said: str, shown: list[str]) -> None:
        """Keep one turn, forced to disk before it is shown."""
        if self._journal is None and self._wanted and not self._complained:
            try:
                self._journal = journal_store.begin(time.strftime("%Y-%m-%d-%H%M"))
                self._journal.add("open", {"at": time.strftime(STAMP), "digest": self._digest})
            except (OSError, AdvisorError) as e:
                self._failed(str(e))
        if self._journal is not None:
            self._journal.add("turn", {"said": said, "shown": shown, "at": time.strftime(STAMP)})
            if self._journal.failed:
                self._failed(self._journal.failed)

    def _failed(self, reason: str) -> None:
        if not self._complained:
            self._complained = True
            self._complain(reason)

    def close(self) -> None:
        """Let the journal go."""
        if self._journal is not None:
            self._journal.close()
