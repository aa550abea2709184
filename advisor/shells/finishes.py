"""finishes: what can be written after --finish, found by people's words."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from advisor.shells.given import Call
from advisor.shells.opening import open_told
from advisor.shells.screen import encoded, width, write
from advisor.views.layout import wrap

WISHES = ("finish_asked", "exclude")


def run(call: Call) -> int:
    """advisor finishes [WORDS…] [--json]"""
    base = open_told(call.settings)
    words = " ".join(call.many("text"))
    families = _families(base, words)
    rows = [(f.id, f.name) for f in base.finishes.values() if f.family in families and not f.legacy]
    if call.has("json"):
        listed = [{"finish": i, "family": base.finishes[i].family, "name": name} for i, name in rows]
        write(encoded({"schema": "advisor/finishes/1", "finishes": listed}))
        return 0
    for family in families:
        write(f"{base.families[family].name}  ({family})")
        for i, name in rows:
            if base.finishes[i].family == family:
                for line in wrap(f"{i}: {name}", width(), "      ", "  "):
                    write(line)
    if not rows:
        write(base.phrase("say-no-such-finish", words=words))
    return 0


def _families(base: Base, words: str) -> list[str]:
    """The families that some words name; all of them where there are no words."""
    if not words:
        return list(base.families)
    reading = read(words, Vocabulary.of(base))
    read_as = [v for s in WISHES if s in reading.understood for v in reading.understood[s].value]
    named = [*read_as, *reading.mentioned]
    text = words.lower()
    named += [f.id for f in base.families.values() if text in f.name.lower() or text in f.id]
    named += [f.family for f in base.finishes.values() if text in f.name.lower() or text == f.id]
    return [f for f in dict.fromkeys(named) if f in base.families]
