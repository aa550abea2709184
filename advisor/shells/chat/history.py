"""history: lists, prints and exports kept conversations."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.shells.chat import kept as journal_store
from advisor.shells.files import save
from advisor.shells.given import Call, Settings
from advisor.shells.opening import open_told
from advisor.shells.screen import encoded, write

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

PROMPT = "> "
SCHEMA = "advisor/history/1"


def run(call: Call) -> int:
    """advisor history [NAME] [--out FILE] [--json]"""
    name, as_json = call.one("name"), call.has("json")
    lines = _one(name, as_json) if name else _all(call.settings, as_json)
    if call.one("out"):
        save(Path(call.one("out")), "\n".join(lines) + "\n")
        return 0
    for line in lines:
        write(line)
    return 0


def _all(settings: Settings, as_json: bool) -> list[str]:
    listed = [_row(name) for name in journal_store.names()]
    if as_json:
        return [encoded({"schema": SCHEMA, "conversations": listed})]
    if not listed:
        return [open_told(settings).phrase("say-none-kept")]
    return [f"{row['name']}  {row['turns']} turns  {row['fault'] or str(row['first'])[:50]}" for row in listed]


def _row(name: str) -> Mapping[str, Any]:
    """One conversation in the list; a damaged one is listed with its fault."""
    try:
        said = [str(e.data["said"]) for e in journal_store.load(name).entries if e.event == "turn"]
    except AdvisorError as e:
        return {"name": name, "turns": 0, "first": "", "fault": str(e)}
    return {"name": name, "turns": len(said), "first": said[0] if said else "", "fault": ""}


def _one(name: str, as_json: bool) -> list[str]:
    kept = journal_store.load(name)
    turns = [e.data for e in kept.entries if e.event == "turn"]
    if as_json:
        shown = [{"said": t["said"], "shown": t["shown"], "at": t.get("at", "")} for t in turns]
        return [encoded({"schema": SCHEMA, "name": name, "torn": kept.torn, "turns": shown})]
    return [line for t in turns for line in (f"{PROMPT}{t['said']}", "", *map(str, t["shown"]), "")]
