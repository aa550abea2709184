"""Dangers: those that the words told, which a "no" does not overrule, and those that must be said at once."""

from __future__ import annotations

from advisor.dialogue.hearing import Heard
from advisor.dialogue.state import Desk, Replies, State, Stop
from advisor.reasoning.advice import Advice
from advisor.reasoning.enquiry import Enquiry

DANGER_SLOT = "duty"
ENDANGERED = ("user", "public")
REFERRED = "referral"
"""Stands among what was warned of once it was said that an engineer decides."""


def denied_danger(desk: Desk, state: State, heard: Heard) -> str:
    """The words that told a danger which this answer denies; empty when it denies none."""
    if heard.slot != DANGER_SLOT:
        return ""
    said = heard.reading.understood.get(DANGER_SLOT)
    denies = heard.option.value == [] if heard.option is not None else said is not None and said.value in ([], ())
    return told_danger(desk, state.enquiry) if denies else ""


def told_danger(desk: Desk, enquiry: Enquiry) -> str:
    """What was said of the fastener that endangers people, in the customer's words; empty when nothing was."""
    dangers = desk.base.role_words("dangers")
    for slug, words in enquiry.circumstances.items():
        if slug in dangers:
            return words or slug
    for thing in _things(enquiry):
        if thing in desk.base.applications and desk.base.applications[thing].endangered in ENDANGERED:
            return desk.base.applications[thing].name
    return ""


def surely_harmless(desk: Desk, enquiry: Enquiry) -> bool:
    """Whether what the fastener holds was told, and endangers nobody when it fails."""
    things = [desk.base.applications[t] for t in _things(enquiry) if t in desk.base.applications]
    return bool(things) and all(t.endangered == "nobody" for t in things) and not told_danger(desk, enquiry)


def _things(enquiry: Enquiry) -> list[str]:
    said = enquiry.said.get("application")
    value = said.value if said is not None else []
    return list(value) if isinstance(value, (list, tuple)) else [str(value)]


def dangers_due(advice: Advice, state: State) -> tuple[State, Replies]:
    """What must be known of the part at once, said once: every STOP, and that an engineer decides."""
    fresh = tuple(c for c in advice.cautions if c.severity == "stop" and c.id not in state.warned)
    due = advice.refer and advice.referral and REFERRED not in state.warned
    because = advice.referral[0].text if due else ""
    warned = state.warned | {c.id for c in fresh} | ({REFERRED} if due else set())
    return state._replace(warned=warned), ((Stop(fresh, because),) if fresh or because else ())
