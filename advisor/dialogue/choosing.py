"""Answers to a list: which options are shown, and which of them an answer picks, by number or by their own words."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence

from advisor.dialogue.state import Desk, State
from advisor.graph.nodes import AnswerOption, Decision
from advisor.lookup.finding import tokens
from advisor.reasoning.enquiry import UNKNOWN
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

LEAST_OPTIONS = 2
SHORTEST_STEM = 4
PLAINLY_A_VALUE = 12
"""A bare number above this, beyond the list, answers a question for a number: nobody takes it for a place in a list."""


class Picked(NamedTuple):
    """What a bare answer to a list comes to: an option, or a refusal with the phrase that says why."""

    option: AnswerOption | None = None
    refused: str = ""


def shown_options(desk: Desk, state: State, d: Decision) -> tuple[AnswerOption, ...]:
    """The options that are possible here: those that what the fastener holds leaves open, else those that fit what was
    told, the usual ones first and no more than the question shows."""
    said = state.enquiry.said.get("application")
    things = said.value if said is not None and isinstance(said.value, list) else []
    left = [p for a in things if a in desk.base.applications for p in desk.base.applications[a].environment_ask]
    possible = tuple(o for o in d.options if isinstance(o.value, list) and set(o.value) & set(left))
    if len(possible) < LEAST_OPTIONS and any(o.only_with or o.not_with for o in d.options):
        known = desk.engine.complete(state.enquiry).known
        possible = tuple(o for o in d.options if _fits(o, known))
    return (possible if len(possible) >= LEAST_OPTIONS else d.options)[: d.shown]


def _fits(o: AnswerOption, known: Mapping[str, Any]) -> bool:
    """Whether an option is possible beside what is known.

    >>> dip = AnswerOption("a", "six lines", "gr8", only_with={"thread_system": ["inch"]})
    >>> _fits(dip, {"thread_system": "metric"}), _fits(dip, {"thread_system": "inch"})
    (False, True)
    """
    if o.only_with and not any(_meets(known.get(s), values) for s, values in o.only_with.items()):
        return False
    return not any(_meets(known.get(s), values) for s, values in o.not_with.items())


def _meets(value: Any, values: Sequence[str]) -> bool:
    return any(v in values for v in (value if isinstance(value, (list, tuple)) else (value,)))


def pick(desk: Desk, state: State, d: Decision, text: str) -> Picked | None:
    """The option that an answer picks by its place in the list; None where the answer is more than that."""
    options = shown_options(desk, state, d)
    slot = desk.base.slots[d.slot]
    bare = text.lower().strip().lstrip("(#").rstrip(".):;!")
    words = (bare.replace("&", " and ").replace(",", " and ") if slot.type == "choices" else bare).split()
    if " ".join(words) in desk.base.role_words("none-of-these"):
        nothing = next((o for o in options if o.value == []), None)
        return Picked(nothing) if nothing else Picked(refused="ask-none-of-these")
    if words == ["both"] and len(options) == 2:
        return Picked(_joined(options))
    places = _places(desk, words)
    if not places:
        return None
    if slot.type == "number" and len(places) == 1 and not 1 <= places[0] <= len(options):
        same = next((o for o in options if o.value == places[0]), None)
        if same is not None or places[0] > PLAINLY_A_VALUE:
            return Picked(same) if same else None
    if any(not 1 <= n <= len(options) for n in places):
        return Picked(refused="ask-out-of-list")
    chosen = [options[n - 1] for n in dict.fromkeys(places)]
    if len(chosen) == 1:
        return Picked(chosen[0])
    return Picked(_joined(chosen)) if slot.type == "choices" else Picked(refused="ask-one-only")


def _places(desk: Desk, words: Sequence[str]) -> list[int]:
    """The places in the list that words name: "2", "the second one", "1 and 3"; none where other words stand by."""
    ordinals = desk.base.role_words("ordinals")
    beside = desk.base.role_words("beside-places")
    out: list[int] = []
    for w in words:
        if w.isdecimal() and len(w) < 4:
            out.append(int(w))
        elif w in ordinals:
            out.append(ordinals.index(w) + 1)
        elif w not in beside:
            return []
    return out


def _joined(options: Sequence[AnswerOption]) -> AnswerOption:
    """Several options of a list slot as one."""
    values: list[Any] = []
    for o in options:
        values += o.value if isinstance(o.value, list) else [o.value]
    return AnswerOption(
        "+".join(o.id for o in options), " / ".join(o.text for o in options), list(dict.fromkeys(values))
    )


def picked_by_words(d: Decision, text: str, denials: Container[str]) -> AnswerOption | None:
    """The option whose own words stand in the answer, when it is the only one.

    Only for questions about circumstances, whose options have no slot values to be read; a denial is left to the
    reading. `denials` are the words that deny.

    >>> options = (AnswerOption("a", "overhead", ["high"]), AnswerOption("b", "it gets rinsed", ["wet"]))
    >>> d = Decision("ask-x", "circumstance", "Where?", "", 1, options)
    >>> picked_by_words(d, "we rinse it", {"no", "not"}).id
    'b'
    """
    if d.slot != "circumstance" or any(w in denials for w in text.lower().split()):
        return None
    said = [w for w in tokens(text) if len(w) >= SHORTEST_STEM]
    hit = [o for o in d.options if any(_akin(w, x) for x in tokens(o.text) for w in said)]
    return hit[0] if len(hit) == 1 and hit[0].value != UNKNOWN else None


def _akin(a: str, b: str) -> bool:
    """Whether two words share their stem, roughly: "rinse" and "rinsed"."""
    return len(b) >= SHORTEST_STEM and a[:SHORTEST_STEM] == b[:SHORTEST_STEM] and abs(len(a) - len(b)) <= 3
