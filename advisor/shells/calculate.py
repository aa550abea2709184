"""The calculations on the command line: fit, torque, hydrogen, life, couple, quantity, convert, decode, specify."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations import registry
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.shells.given import Call
from advisor.shells.opening import open_told
from advisor.shells.screen import encoded, width, write
from advisor.views.calculation_text import calculation_text
from advisor.views.data import calculation_json


def run(call: Call) -> int:
    """advisor fit, torque, hydrogen, life, couple, quantity, convert, decode or specify, each with its own options"""
    base = open_told(call.settings)
    inputs = {name: value for name, value in call.given.items() if name != "json"}
    found = registry.run(base, call.command, in_ids(base, inputs))
    if call.has("json"):
        write(encoded(calculation_json(base, found)))
        return 0
    for line in calculation_text(base, found, width()):
        write(line)
    return 0


def in_ids(base: Base, inputs: Mapping[str, str | list[str]]) -> dict[str, str | list[str]]:
    """The inputs with the finish by its id where it was typed in people's words: galvanised, "hot dip", zinc.

    A word that is no id and that the vocabulary does not know either stays, and the calculation says what is nearest.
    """
    out = dict(inputs)
    for name in ("finish", "instead-of"):
        typed = out.get(name)
        if not isinstance(typed, str):
            continue
        try:
            base.resolve_finish(typed)
        except UsageError:
            out[name] = _meant(base, typed) or typed
    return out


def _meant(base: Base, typed: str) -> str:
    """The finish or family that words mean for certain; empty where they mean none or several."""
    from advisor.language.reading import read
    from advisor.language.vocabulary import Vocabulary

    exact = "-".join(typed.lower().split())
    graded = [i for i, f in base.kind("finish").items() if str(f.get("grade", "")).lower() == exact]
    if graded:
        # the plain one, not the waxed or blackened
        return min(graded, key=len)
    reading = read(typed.replace("-", " "), Vocabulary.of(base))
    told = reading.understood.get("finish_asked")
    asked = told.value if told is not None else None
    if told is None or not isinstance(asked, (list, tuple)) or not asked:
        return ""
    if "-" in typed and len(told.words.split()) < len(typed.split("-")):
        return ""  # written as an id, of another base: its further words are no small talk
    return str(asked[0])
