"""read: how a text is understood, for whoever curates the words."""

from __future__ import annotations

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary
from advisor.shells.given import Call
from advisor.shells.opening import open_told
from advisor.shells.screen import encoded, write
from advisor.shells.stream import stream
from advisor.shells.values import one_text
from advisor.views.data import understanding
from advisor.views.layout import clean

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def run(call: Call) -> int:
    """advisor read TEXT… [--answering SLOT] [--json]"""
    base = open_told(call.settings)
    vocabulary = Vocabulary.of(base)
    as_json = call.has("json")

    def shown(reading: Reading) -> str:
        if as_json:
            return encoded(reading_json(base, reading))
        return "\n".join(reading_text(base, reading))

    if call.many("text") == ["-"]:

        def one(words: str, values: dict[str, Any], answering: str | None) -> str:
            return shown(read(words, vocabulary, answering))

        return stream(base, one, lambda: reading_json(base, Reading({})), as_json)
    words = one_text(call.many("text"))
    slot = call.one("answering") or None
    if slot and slot not in base.kind("slot"):
        raise UsageError(f"'{slot}' is no slot; slots are {', '.join(base.kind('slot'))}")
    write(shown(read(words, vocabulary, slot)))
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
