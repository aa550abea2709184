"""history: lists, prints and exports kept conversations."""

from __future__ import annotations

import json
from pathlib import Path

from advisor.errors import AdvisorError, UsageError
from advisor.shells.arguments import Helped, Parser
from advisor.shells.chat import store as journal_store
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.screen import write

PROMPT = "> "


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


def _out(path: str | None, lines: list[str]) -> int:
    if path is None:
        for line in lines:
            write(line)
        return 0
    try:
        Path(path).write_text("\n".join(lines) + "\n", encoding="utf-8")
    except OSError as e:
        raise UsageError(f"'{path}' cannot be written ({e.strerror})") from None
    return 0
