"""First step of every turn: the facts of an utterance put into the enquiry, and said back."""

from __future__ import annotations

from advisor.dialogue.facts import WISHES, Change, merge
from advisor.dialogue.hearing import Heard, words_of
from advisor.dialogue.saying_back import said_back
from advisor.dialogue.state import Desk, Doubt, Replies, Say, State
from advisor.graph.wording import said
from advisor.language.reading import Reading
from advisor.language.requests import Request
from advisor.reasoning.enquiry import UNKNOWN, Enquiry
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

CALLOUT = "callout"
MOST_UNUSED = 4
"""Words without a use that are said back: more would only tire."""
ABOUT_WORDS = frozenset(("lookup", "decode", "calculation"))
"""Requests whose facts are what is asked about: they tell nothing of the fastener in hand."""
ABOUT_ADVICE = frozenset(("why-not", "acceptable-if", "compare"))
"""Requests about the fastener in hand: beside them facts may be told that were not known yet."""
SUPPOSED = "what-if"


class Told(NamedTuple):
    """An utterance with its facts merged. Without `asks` nothing can be asked back.

    `state` holds what stays; `enquiry` is what the requests are answered on: the same, with what was only supposed.
    """

    heard: Heard
    before: State
    state: State
    enquiry: Enquiry
    changes: tuple[Change, ...] = ()
    supposed: tuple[Change, ...] = ()
    echo: Replies = ()
    requests: tuple[Request, ...] = ()
    asks: bool = True

    @property
    def reading(self) -> Reading:
        """How the utterance was read."""
        return self.heard.reading


def tell(desk: Desk, state: State, heard: Heard, plain: bool = False) -> Told:
    """Merge the facts of an utterance; a `plain` one asks nothing, whatever its words.

    What stays: all facts of an utterance that asks nothing or opens the talk. Later a question changes nothing that
    was told: one about the advice adds what was not known yet (and is answered on all that it says), one about words,
    codes or figures adds nothing.
    """
    reading = heard.reading
    origin = "answer" if heard.slot and heard.slot in reading.understood else "words"
    requests = () if plain else _requests(desk, state, heard)
    stays = reading if plain else _staying(state, heard, frozenset(r.kind for r in requests))
    also = not set(desk.base.role_words("beside-it")).isdisjoint(words_of(heard.text))
    enquiry, changes = merge(desk.base, state.enquiry, stays, origin, also)
    if stays is reading:
        whole, supposed = enquiry, changes
    else:
        # what is supposed stands instead of what was told, not beside it
        asked = {s: x for s, x in reading.understood.items() if s not in WISHES or SUPPOSED in reading.kinds}
        replaced = reading._replace(understood=asked, corrections=frozenset(asked))
        whole, supposed = merge(desk.base, state.enquiry, replaced, origin)
    told = Told(heard, state, state, whole, changes, supposed, (), requests)
    doubts = tuple(Doubt(u.slot, u.words, tuple(u.candidates)) for u in stays.unclear if u.slot not in enquiry.said)
    if enquiry == state.enquiry and not doubts:
        return told
    after = state._replace(
        enquiry=enquiry,
        past=(*state.past, state.enquiry),
        words=(*state.words, heard.text),
        asked="",
        advised=state.advised and not changes,
        doubts=doubts,
    )
    return told._replace(state=after, echo=_echo(desk, state, stays, changes) if desk.echoes else ())


def _requests(desk: Desk, state: State, heard: Heard) -> tuple[Request, ...]:
    """The requests of a line that are meant as such: a code amid the facts of an enquiry is no wish to have it decoded,
    and "which is the cheapest?" tells what is wanted."""
    reading = heard.reading
    about = set(desk.base.role_words("asked-about"))
    facts = set(reading.understood) - about - set(WISHES)
    out: list[Request] = []
    for r in reading.intents:
        if r.kind == "decode" and facts and "calculation" not in reading.kinds:
            continue
        if r.kind == "lookup" and may_be_used(desk, heard):
            out.append(r._replace(kind="why-not"))
            continue
        if r.kind == "lookup" and (facts if state.something else len(facts) > 1 and "environment" in facts):
            continue
        out.append(r)
    return tuple(out)


def may_be_used(desk: Desk, heard: Heard) -> bool:
    """Whether a line asks just that: may a finish be used ("can 12.9 be zinc plated", "is flake all right")."""
    words = words_of(heard.text)
    if set(WISHES).isdisjoint(heard.reading.understood) or not words:
        return False
    asks = desk.base.role_words("asks-leave")
    if words[0] in desk.base.role_words("asks-whether-good"):
        return any(w in desk.base.role_words("good") for w in words)
    return words[0] in asks and not any(w in desk.base.role_words("other-deeds") for w in words)


def _staying(state: State, heard: Heard, kinds: frozenset[str]) -> Reading:
    """The part of a reading that is told of the fastener in hand."""
    reading = heard.reading
    asks = state.something and bool(reading.asks)
    if (kinds.isdisjoint(ABOUT_WORDS | ABOUT_ADVICE | {SUPPOSED}) and not asks) or heard.slot in reading.understood:
        return reading
    if not kinds.isdisjoint(ABOUT_WORDS) or (SUPPOSED in kinds and state.something):
        return Reading({})
    if not state.something:
        return reading
    fresh = {s: x for s, x in reading.understood.items() if s not in WISHES and s not in state.enquiry.said}
    return reading._replace(understood=fresh, mentioned=())


def _echo(desk: Desk, before: State, reading: Reading, changes: tuple[Change, ...]) -> Replies:
    """In one block: what was understood, what was put right, what a code means, what was not used."""
    base = desk.base
    first = [c for c in changes if c.before in (None, UNKNOWN) and c.now != UNKNOWN]
    noticed = {c.slug: c.words for c in reading.circumstances if c.slug not in before.enquiry.circumstances}
    parts = said_back(base, [(c.slot, c.now, c.words) for c in first], noticed)
    lines = [base.phrase("say-understood", parts=parts)] if parts else []
    lines += [_changed(desk, c) for c in changes if c.before is not None and c.before != UNKNOWN]
    code = next((str(c.now) for c in changes if c.slot == CALLOUT and c.now != UNKNOWN), "")
    meaning = desk.engine.casework.orders.of(code).meaning if code else ""
    if meaning:
        lines.append(base.phrase("say-code-means", code=code, meaning=meaning))
    if reading.unused:
        lines.append(base.phrase("say-unused-words", words=", ".join(reading.unused[:MOST_UNUSED])))
    return (Say("\n".join(lines)),) if lines else ()


def _changed(desk: Desk, c: Change) -> str:
    what = desk.base.slots[c.slot].name if c.slot in desk.base.slots else c.slot
    now, before = shown(desk, c.slot, c.now), shown(desk, c.slot, c.before)
    return desk.base.phrase("say-corrected", what=what, value=now, before=before)


def shown(desk: Desk, slot: str, value: Any) -> str:
    """A value, or several, as they are said back."""
    values = value if isinstance(value, list) else [value]
    return ", ".join(said(desk.base, slot, x) for x in values)
