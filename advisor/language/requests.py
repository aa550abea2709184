"""What is wanted of the adviser: advice, a look-up, a decoding, a calculation, a move in the conversation."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from advisor.language.found import Found
from advisor.language.grammar.conversion import conversion, figures_beside, thickness_um
from advisor.language.grammar.lexicon import Lexicon, Pattern
from advisor.language.line import Line
from advisor.language.vocabulary import Vocabulary
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Request(NamedTuple):
    """One request: its kind, the words that told it, what it is about, and for calculations what was told for them.

    `inputs` is keyed by slot, or by what only calculations know (`thickness_um`, `torque_coefficient`, `so2` …).
    """

    kind: str
    words: str
    about: str = ""
    inputs: Mapping[str, Any] = MappingProxyType({})


MOVES = (
    "why-not",
    "why-question",
    "why",
    "what-if",
    "acceptable-if",
    "compare",
    "back",
    "change",
    "help",
    "leave",
    "save",
    "restart",
    "more",
    "cite",
    "everything",
    "shorter",
    "order-text",
    "again",
)
TALK = ("yes", "no", "dont-know", "greeting", "thanks", "off-topic", "hostile")
_BARE_MOVES = frozenset(("back", "help", "leave", "save", "restart", "more", "everything", "shorter", "again"))
"""Moves whose words are too common to count beside facts ("back garden", "more than ten")."""
_ANSWERS = frozenset(("yes", "no", "dont-know"))
_EARLY, _FIRST = 24, 3
_FIGURE = Pattern(
    lambda _: (
        r"""how\ (?:thick|hot|hard)\ (?:is|are) | max(?:imum)?\ temp | temperature\ limit
      | what\ (?:thickness|hardness|temperature)\ (?:is|are|does|has)"""
    )
)
"""Questions after one figure; a size beside them does not make the line an enquiry."""
_ADVICE_BESIDE = {
    "fit": frozenset(("environment", "quantity", "duty")),
    "torque": frozenset(("environment", "quantity", "duty")),
    "quantity": frozenset(("environment", "duty")),
    "life": frozenset(("quantity", "duty", "strength")),
    "hydrogen": frozenset(("environment", "quantity", "duty", "size", "length_mm")),
    "couple": frozenset(("quantity", "duty", "size", "strength")),
}
"""Slots that make a line an enquiry, whatever calculation its words also name."""


def find(
    line: Line,
    found: Sequence[Found],
    told: Mapping[str, Any],
    mentioned: Sequence[str],
    vocabulary: Vocabulary,
    answering: str | None,
) -> tuple[Request, ...]:
    """The requests of a line in order of weight; empty when it simply tells facts.

    `told` are the slots understood: an enquiry with a size, a place or a part is advice, whatever it asks.
    """
    slots = told.keys()
    by_kind: dict[str, Found] = {}
    for f in found:
        if f.intent and f.intent not in by_kind:
            by_kind[f.intent] = f
    out: list[Request] = []
    bare = not any(f.slot or f.slug for f in found)
    beside = next((by_kind[k] for k in ("hostile", "off-topic") if k in by_kind), None)
    if beside is not None and not any(f.slot not in ("", "market") for f in found):
        return (Request(beside.intent, line.words(beside.start, beside.end), line.shown),)

    def say(kind: str, f: Found) -> None:
        about = line.words(f.end, len(line.text)).strip(" ?.!,:") or line.words(0, f.start).strip(" ?.!,:")
        out.append(Request(kind, line.words(f.start, f.end), about))

    converted = conversion(vocabulary.lexicon, line.text, vocabulary.units)
    if converted and not answering:
        out.append(Request("calculation", line.shown, "convert", converted))
    for kind in ("fit", "life", "torque", "hydrogen", "couple", "quantity"):
        cue = by_kind.get("calculation-" + kind) or (
            by_kind.get("calculation-fit-if-thick")
            if kind == "fit" and thickness_um(vocabulary.lexicon, line.text)
            else None
        )
        if not _ADVICE_BESIDE[kind].isdisjoint(slots):
            continue  # an enquiry that names torque, hydrogen or weight beside its facts wants advice
        if cue is not None and not answering and converted is None:
            inputs = _inputs(line.text, vocabulary.lexicon, found, told, mentioned)
            out.append(Request("calculation", line.words(cue.start, cue.end), kind, inputs))
    for kind in MOVES:
        move = by_kind.get(kind)
        if move is not None and (move.start <= _EARLY or answering) and (bare or kind not in _BARE_MOVES):
            say(kind, move)
    enquiry = len({"size", "quantity", "environment", "part", "strength", "duty", "mating"} & set(slots))
    asked_code = "lookup" in by_kind and "callout" in slots and enquiry == 0 and not _within_code(line, found)
    if "decode" in by_kind or asked_code or (_only_callout(line, found) and not answering):
        code = next((x for x in found if x.slot == "callout"), None)
        cue = by_kind.get("decode")
        if code is not None:
            out.append(Request("decode", line.words(code.start, code.end), line.words(code.start, code.end)))
        elif cue is not None:
            rest = line.words(cue.end, len(line.text)).strip(" ?.!,:")
            out.append(Request("decode", line.words(cue.start, cue.end), rest or line.shown))
    ask = by_kind.get("lookup")
    if ask is None and "question-first" in by_kind and by_kind["question-first"].start == 0:
        ask = by_kind["question-first"]
    need = by_kind.get("advice")
    answered = answering in slots if answering else converted is not None
    if ask is not None and not answered and (not answering or ask.start <= _FIRST):
        figure = vocabulary.lexicon.match(_FIGURE, line.text, ask.start) is not None and {
            "quantity",
            "environment",
            "duty",
        }.isdisjoint(slots)
        strong = ("size" in slots and not figure) or "quantity" in slots or need is not None
        if not strong and (ask.start <= 25 or enquiry < 2):
            say("lookup", ask)
    if need is not None:
        say("advice", need)
    for kind in TALK:
        move = by_kind.get(kind)
        if move is not None and (answering or kind not in _ANSWERS or bare):
            say(kind, move)
    return tuple(out)


def _within_code(line: Line, found: Sequence[Found]) -> bool:
    """Whether a fact inside a document is asked for ("hardness limit in ISO 4042"), not what the code means."""
    return any(f.slot == "callout" and line.text[: f.start].endswith((" in ", " of ")) for f in found)


def _inputs(
    text: str, lexicon: Lexicon, found: Sequence[Found], told: Mapping[str, Any], mentioned: Sequence[str]
) -> dict[str, Any]:
    """What the line tells for a calculation: its slots, the metals in the order named, the figures."""
    out = {slot: value for slot, value in told.items() if value not in ("unknown", [])}
    metals = tuple(dict.fromkeys(v for f in found if f.slot == "mating" for v in f.value))
    if metals:
        out["mating"] = metals
    if mentioned and "finish_asked" not in out:
        out["finish_asked"] = tuple(mentioned)
    return {**out, **figures_beside(lexicon, text)}


def _only_callout(line: Line, found: Sequence[Found]) -> bool:
    """Whether the line is nothing but a designation."""
    codes = [f for f in found if f.slot == "callout"]
    if not codes:
        return False
    covered = sum(f.length for f in codes)
    return covered >= 0.8 * len(line.text.strip())
