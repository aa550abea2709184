"""The journal of a conversation: one checked line a turn, chained: tearing and tampering show. No files here."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping

from advisor.errors import AdvisorError
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

FORMAT = "advisor/journal/1"


class JournalError(AdvisorError):
    """A journal that cannot be trusted: the message names the line."""


class Entry(NamedTuple):
    """One line: running number, what happened (`open`, `turn`), and its data."""

    number: int
    event: str
    data: Mapping[str, Any]
    check: str


class Replayed(NamedTuple):
    """The entries of a journal; `torn` when a last line was incomplete, `good_bytes` up to the last whole one."""

    entries: tuple[Entry, ...]
    torn: bool
    good_bytes: int


def encode(number: int, event: str, data: Mapping[str, Any], before: str) -> tuple[bytes, str]:
    """One line of the journal, and its check value for the next line.

    >>> line, check = encode(0, "open", {"at": "now"}, "")
    >>> decode(line).entries[0].event
    'open'
    """
    body = json.dumps(
        {"n": number, "event": event, "data": data}, ensure_ascii=True, sort_keys=True, separators=(",", ":")
    )
    check = _check(before, body)
    return f'{{"check":"{check}","body":{body}}}\n'.encode(), check


def _check(before: str, body: str) -> str:
    return hashlib.blake2b(f"{before}\n{body}".encode(), digest_size=12).hexdigest()


def decode(content: bytes) -> Replayed:
    """The entries of a journal. A last line without its end is torn and left out; another fault raises JournalError."""
    entries: list[Entry] = []
    before = ""
    position = 0
    *lines, torn = content.split(b"\n")
    for n, raw in enumerate(lines):
        entry = _line(raw, before)
        if entry is None or entry.number != n:
            raise JournalError(
                f"line {n + 1} of the kept conversation is damaged; the conversation cannot be resumed, start a new one"
            )
        entries.append(entry)
        before = entry.check
        position += len(raw) + 1
    return Replayed(tuple(entries), bool(torn), position)


def _line(raw: bytes, before: str) -> Entry | None:
    try:
        d = json.loads(raw)
        body = json.dumps(d["body"], ensure_ascii=True, sort_keys=True, separators=(",", ":"))
        if d["check"] != _check(before, body):
            return None
        return Entry(int(d["body"]["n"]), str(d["body"]["event"]), d["body"]["data"], str(d["check"]))
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
