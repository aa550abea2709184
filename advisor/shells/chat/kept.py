"""Where conversations are kept: one journal file each, appended and forced to disk before a reply is shown."""

from __future__ import annotations

import contextlib
import os
import re
import sys
from pathlib import Path

from advisor.dialogue.journal import Entry, decode, encode
from advisor.errors import AdvisorError, UsageError
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,60}\Z")
_STAMPED = re.compile(r"\d{4}-\d\d-\d\d-\d{4}(-\d+)?\Z")


def store_folder() -> Path:
    """ADVISOR_HISTORY, or the user's data folder."""
    named = os.environ.get("ADVISOR_HISTORY")
    if named:
        return Path(named)
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", str(Path.home()))) / "advisor" / "conversations"
    return (
        Path(os.environ.get("XDG_DATA_HOME") or os.path.join(os.path.expanduser("~"), ".local", "share"))
        / "advisor"
        / "conversations"
    )


class Kept(NamedTuple):
    """A kept conversation read back."""

    name: str
    entries: tuple[Entry, ...]
    torn: bool


class Journal:
    """An open journal. `failed` holds the reason once it cannot be written; the conversation then goes on without."""

    def __init__(self, name: str, handle: int, number: int, check: str) -> None:
        self.name = name
        self.failed = ""
        self._handle = handle
        self._number = number
        self._check = check

    def add(self, event: str, data: dict[str, Any]) -> None:
        """Append one line and force it to disk."""
        if self.failed:
            return
        line, check = encode(self._number, event, data, self._check)
        try:
            written = os.write(self._handle, line)
            if written != len(line):
                raise OSError(28, "the disk is full")
            os.fsync(self._handle)
        except OSError as e:
            self.failed = e.strerror or str(e)
            return
        self._number += 1
        self._check = check

    def close(self) -> None:
        """Let the file go."""
        try:
            os.close(self._handle)
        except OSError:
            return


def begin(stamp: str) -> Journal:
    """A new journal named after the time it begins (`stamp`, such as 2026-11-25-0930); a number is added if taken.

    Raises OSError when the folder cannot be written.
    """
    folder = store_folder()
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    for n in range(1, 1000):
        name = stamp if n == 1 else f"{stamp}-{n}"
        try:
            handle = os.open(folder / f"{name}.journal", os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND, 0o600)
        except FileExistsError:
            continue
        _lock(handle)
        return Journal(name, handle, 0, "")
    raise OSError(17, "too many conversations of this minute")


def _lock(handle: int) -> None:
    """Hold the file for this process; another session on the same journal is refused."""
    if sys.platform == "win32":
        return
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise UsageError("this conversation is open in another window; close it there or start a new one") from None


def names() -> list[str]:
    """The kept conversations, latest first."""
    folder = store_folder()
    if not folder.is_dir():
        return []
    found: list[tuple[float, str]] = []
    for path in folder.glob("*.journal"):
        # a file may go, or lead nowhere, between the listing and the look at it
        with contextlib.suppress(OSError):
            found.append((path.stat().st_mtime, path.name.removesuffix(".journal")))
    return [name for _, name in sorted(found, reverse=True)]


def is_name(word: str) -> bool:
    """Whether a word is meant as the name of a conversation: one is kept under it, or it looks like such a name."""
    return bool(_STAMPED.match(word)) or (bool(_NAME.match(word)) and (store_folder() / f"{word}.journal").is_file())


def _path(name: str) -> Path:
    if not _NAME.match(name):
        raise UsageError(f"'{name[:60]}' is no name of a kept conversation; see advisor history")
    path = store_folder() / f"{name}.journal"
    if not path.is_file():
        kept = names()
        known = ", ".join(kept[:5]) if kept else "none"
        raise UsageError(f"there is no kept conversation '{name}'; kept: {known}")
    return path


def load(name: str) -> Kept:
    """A kept conversation; JournalError names a damaged line."""
    try:
        content = _path(name).read_bytes()
    except OSError as e:
        raise AdvisorError(f"the conversation '{name}' cannot be read ({e.strerror})") from None
    found = decode(content)
    return Kept(name, found.entries, found.torn)


def resume(name: str) -> tuple[Kept, Journal]:
    """A kept conversation opened to go on: a torn last line is cut off first."""
    path = _path(name)
    try:
        handle = os.open(path, os.O_RDWR | os.O_APPEND)
    except OSError as e:
        raise AdvisorError(f"the conversation '{name}' cannot be written ({e.strerror})") from None
    try:
        _lock(handle)
        found = decode(path.read_bytes())
        if found.torn:
            os.truncate(path, found.good_bytes)
    except (AdvisorError, OSError):
        os.close(handle)
        raise
    last = found.entries[-1].check if found.entries else ""
    return Kept(name, found.entries, found.torn), Journal(name, handle, len(found.entries), last)
