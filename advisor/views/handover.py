"""The hand-over note: what a qualified engineer needs to decide, on one page."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.dialogue.facts import named, worded
from advisor.reasoning.advice import Advice
from advisor.reasoning.engine import Engine
from advisor.views.layout import wrap


def handover_text(engine: Engine, advice: Advice, words: Iterable[str], width: int) -> list[str]:
    """The note on an advice; `words` are the customer's own."""
    base = engine.base
    say = base.phrase
    none = say("say-handover-none")
    decisions = base.kind("decision")
    told = "; ".join(worded(base, s, x.value) for s, x in advice.case.enquiry.said.items())
    assumed = "; ".join(worded(base, a.slot, a.value) for a in advice.assumed if a.value not in (None, [], "unknown"))
    asked = " ".join(str(decisions[q.decision]["text"]) for q in advice.open_questions)
    because = " ".join(dict.fromkeys(r.text for r in advice.referral))
    left = [base.finish(r.ranked.finish)["name"] for r in advice.recommended]
    held = [f"{named(base, h.family)} ({h.reasons[0].text})" for h in advice.conditional[:6]]
    out = [
        f"{say('say-handover-excluded-line', finish=named(base, h.family), reason=h.reasons[0].text)}"
        for h in advice.excluded
        if h.reasons
    ]
    lines = [
        say("say-handover-title"),
        "",
        *wrap(say("say-handover-enquiry", words=" / ".join(words) or none), width),
        *wrap(say("say-handover-understood", parts=told or none), width),
        *wrap(say("say-handover-assumed", parts=assumed or none), width),
        *wrap(say("say-handover-open", questions=asked or none), width),
        *wrap(say("say-handover-because", because=because or none), width),
        *wrap(say("say-handover-candidates", finishes="; ".join([*left, *held]) or none), width),
        *wrap(say("say-handover-excluded", finishes=""), width),
    ]
    for line in out:
        lines += wrap(line, width, "    ", "  - ")
    stern = [f"{say(f'say-severity-{c.severity}')}: {c.text}" for c in advice.cautions if c.severity != "note"]
    if stern:
        lines.append(say("say-cautions-intro"))
        for line in stern:
            lines += wrap(line, width, "    ", "  - ")
    return [*lines, "", say("say-handover-sign")]
