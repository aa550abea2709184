"""Requests about the advice, answered on the merged enquiry: why, why not, what if, one against another."""

from __future__ import annotations

from advisor.dialogue.facts import WISHES, named, worded
from advisor.dialogue.going_on import ask_again, give_advice
from advisor.dialogue.state import Compare, Desk, Explain, Reply, Turn, WhatIf
from advisor.dialogue.telling import Told
from advisor.language.reading import Reading, read
from advisor.language.requests import Request
from advisor.reasoning.explain import WhyNot, acceptable_if, compare, difference, why_not
from advisor.reasoning.questions import outcomes_of

MOST_EXPLAINED, MOST_REASONS = 2, 2
MOST_COMPARED = 3
MOST_OUTCOMES, MOST_ANSWERS = 4, 3


def why(desk: Desk, told: Told, _: Request) -> Turn:
    """Why this finish; while a question is open, why it is asked."""
    return why_asked(desk, told, _) if told.state.asked else give_advice(desk, told.state, "more")


def why_asked(desk: Desk, told: Told, _: Request) -> Turn:
    """What the answer to the open question can change."""
    state = told.state
    d = desk.base.kind("decision").get(state.asked)
    if d is None:
        return state, (desk.say("say-nothing-asked"),)
    out: list[Reply] = [desk.say("say-why-asked", changes=d.get("changes", ""))]
    found = outcomes_of(desk.engine, desk.engine.judge(state.enquiry), state.asked)
    firsts: dict[str, list[str]] = {}
    texts = {o["id"]: o["text"] for o in d["options"]}
    for option, family in (found.outcomes if found else {}).items():
        firsts.setdefault(family, []).append(texts[option])
    for family, answers in list(firsts.items())[:MOST_OUTCOMES]:
        finish = named(desk.base, family) if family else desk.base.phrase("say-no-finish")
        out.append(desk.say("say-why-asked-now", answer=" / ".join(answers[:MOST_ANSWERS]), finish=finish))
    return state, (*out, *ask_again(desk, state))


def why_not_offered(desk: Desk, told: Told, request: Request) -> Turn:
    """Why a finish is not offered, and what would have to change."""
    families = families_in(desk, told.reading, request.about)
    if not families:
        return told.state, (desk.say("say-which-finish"),)
    judged = desk.engine.judge(told.enquiry)
    out: list[Reply] = []
    for family in families[:MOST_EXPLAINED]:
        w = why_not(desk.engine, judged, family)
        same = next((e for e in out if isinstance(e, Explain) and w.state != "in" and _alike(e.why, w)), None)
        if same is not None:
            out[out.index(same)] = same._replace(alike=(*same.alike, family))
            continue
        out.append(Explain(w, acceptable_if(desk.engine, judged, family) if w.state != "in" else ()))
        if w.state == "in" and w.rank > 1:
            # not ruled out, but behind: the reason is how it compares with the first
            out.append(Compare(compare(desk.engine, judged, (judged.ranked[0].family, family))))
    return told.state, tuple(out)


def _alike(a: WhyNot, b: WhyNot) -> bool:
    """Whether two finishes are kept back for the same reasons, as far as reasons are shown."""
    mine, theirs = ([r.text for r in w.reasons[:MOST_REASONS]] for w in (a, b))
    return a.state == b.state and mine == theirs


def what_if(desk: Desk, told: Told, _: Request) -> Turn | None:
    """What another answer would change; None where nothing was told before: then it is an enquiry like any other."""
    reading = told.reading
    if not reading.understood and not reading.circumstances:
        return told.state, (desk.say("say-what-if-how"),)
    if not told.before.something:
        return None
    words = "; ".join(worded(desk.base, c.slot, c.now) for c in told.supposed) or ", ".join(
        c.words for c in reading.circumstances
    )
    judged = desk.engine.judge(told.before.enquiry)
    return told.state, (WhatIf(words, difference(desk.engine, judged, told.enquiry)),)


def against_each_other(desk: Desk, told: Told, request: Request) -> Turn | None:
    """Finishes side by side; one alone is put beside the first choice. None where no finish is named."""
    families = families_in(desk, told.reading, request.about)[:MOST_COMPARED]
    if not families:
        return None
    judged = desk.engine.judge(told.enquiry)
    if len(families) == 1 and judged.ranked and judged.ranked[0].family != families[0]:
        families = [judged.ranked[0].family, *families]
    if len(families) == 1:
        return told.state, (desk.say("say-which-two"),)
    return told.state, (Compare(compare(desk.engine, judged, families)),)


def families_in(desk: Desk, reading: Reading, about: str) -> list[str]:
    """The finish families that a question speaks of."""
    found = _named(reading)
    if not found and about:
        found = _named(read(about, desk.vocabulary))
    return [f for f in dict.fromkeys(found) if f in desk.engine.rules.family_mask]


def alternatives_in(desk: Desk, reading: Reading) -> tuple[tuple[str, ...], ...]:
    """The finishes that a question speaks of, those of one word together ("stainless" is A2 or A4)."""
    families = families_in(desk, reading, "")
    terms = desk.base.kind("term")
    words = [terms[x.term].get("value") for x in reading.spans if x.term in terms]
    groups = [tuple(f for f in families if f in value) for value in words if isinstance(value, list)]
    grouped: list[tuple[str, ...]] = []
    for g in sorted(dict.fromkeys(groups), key=len):
        # what one word names alone, a wider word beside it does not mean
        rest = tuple(f for f in g if not any(f in other for other in grouped))
        grouped += [rest] if rest else []
    alone = [(f,) for f in families if not any(f in g for g in grouped)]
    return (*grouped, *alone)


def _named(reading: Reading) -> list[str]:
    values = [reading.understood[s].value for s in WISHES if s in reading.understood]
    return [str(v) for value in values if isinstance(value, (list, tuple)) for v in value] + list(reading.mentioned)
