"""read: how a text is understood, for whoever curates the words."""

from __future__ import annotations

import json
import sys
from typing import Any

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary
from advisor.shells.arguments import Helped, Parser
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.opening import open_knowledge
from advisor.shells.screen import write
from advisor.shells.values import one_text, stream
from advisor.views.data import understanding
from advisor.views.layout import clean


def read_command(settings: Settings, argv: list[str]) -> int:
    """advisor read TEXT… [--answering SLOT] [--json]"""
    p = Parser("read", COMMANDS["read"].does, 'example: advisor read "no sorry, 12.9" --answering strength')
    p.add_argument("text", nargs="*", help="the words to read; - reads one a line from standard input")
    p.add_argument("--answering", metavar="SLOT", help="the slot whose question the words answer")
    p.add_argument("--json", action="store_true", help="answer as JSON")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    base = open_knowledge(settings.knowledge, settings.overlays)
    if base.notice:
        print(f"advisor: {base.notice}", file=sys.stderr)
    vocabulary = Vocabulary.load(base.section("words"))
    if n.text == ["-"]:

        def one(words: str, values: dict[str, Any], answering: str | None) -> str:
            reading = read(words, vocabulary, answering)
            if n.json:
                return json.dumps(reading_json(base, reading), ensure_ascii=False)
            return "\n".join(reading_text(base, reading))

        return stream(base, one, lambda: reading_json(base, Reading({})), n.json)
    words = one_text(n.text)
    if n.answering and n.answering not in base.kind("slot"):
        raise UsageError(f"'{n.answering}' is no slot; slots are {', '.join(base.kind('slot'))}")
    reading = read(words, vocabulary, n.answering)
    if n.json:
        write(json.dumps(reading_json(base, reading), ensure_ascii=False))
    else:
        for line in reading_text(base, reading):
            write(line)
    return 0


def reading_json(base: Base, reading: Reading) -> dict[str, Any]:
    """How a text was understood, as JSON."""
    return {
        "schema": "advisor/reading/1",
        **understanding(reading),
        "asks": [{"kind": i.kind, "words": i.words, "about": i.about} for i in reading.intents],
        "corrections": sorted(reading.corrections),
        "spans": [s._asdict() for s in reading.spans],
        "closing": base.phrase("say-closing"),
    }


def reading_text(base: Base, reading: Reading) -> list[str]:
    """How a text was understood, for whoever curates the words."""
    out = []
    for slot, i in reading.understood.items():
        out.append(f"{slot}: {i.value}  <- '{i.words}' ({i.certainty:.2f})")
    out += [f"unclear {u.slot}: '{u.words}' could be {', '.join(map(str, u.candidates))}" for u in reading.unclear]
    out += [f"noticed: {c.slug}  <- '{c.words}'" for c in reading.circumstances]
    out += [f"asks: {i.kind} {i.about}".rstrip() for i in reading.intents]
    if reading.unused:
        out.append("not used: " + ", ".join(reading.unused))
    return [clean(x) for x in out] or [base.phrase("say-understood-nothing")]
