"""The written recommendation: one content, most important first, for page, text, Markdown and programs."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.dialogue.state import Answered, Compare, Compute, Diagnose, Explain, Replies, Show
from advisor.graph.wording import worded
from advisor.lookup.cards import Card
from advisor.reasoning.advice import Advice
from advisor.reasoning.diagnosis import Diagnosis
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import Enquiry
from advisor.records import NamedTuple
from advisor.views.direct import Direct, direct_answer
from advisor.views.report_closing import file_fields, handover_section
from advisor.views.report_enquiry import enquiry_section
from advisor.views.report_found import found_sections
from advisor.views.report_numbers import Numbering
from advisor.views.report_parts import Imprint, Section, WrittenReport
from advisor.views.report_recommended import advice_sections
from advisor.views.report_trouble import trouble_sections

SUBJECT = ("part", "size", "strength", "environment")
"""What tells one report from another at a glance."""


class Matter(NamedTuple):
    """What a report is on: its kind, the customer's words, what was understood, and what was answered."""

    kind: str
    words: tuple[str, ...]
    enquiry: Enquiry
    advice: Advice | None = None
    diagnosis: Diagnosis | None = None
    direct: Direct | None = None
    calculations: tuple[Calculation, ...] = ()
    cards: tuple[Card, ...] = ()


REPORTED = ("advice", "answer", "diagnosis", "calculation", "decode", "lookup")
"""Kinds of answers that a report can be written on."""


def matter_of(
    engine: Engine, kind: str, words: tuple[str, ...], enquiry: Enquiry, advice: Advice | None, replies: Replies
) -> Matter:
    """What a report is on, from an answer and its replies."""
    diagnosis = next((r.diagnosis for r in replies if isinstance(r, Diagnose)), None)
    answered = any(isinstance(r, (Answered, Explain, Compare)) for r in replies)
    return Matter(
        kind,
        words,
        enquiry,
        advice,
        diagnosis,
        direct_answer(engine, replies) if answered else None,
        tuple(r.calculation for r in replies if isinstance(r, Compute)),
        tuple(c for r in replies if isinstance(r, Show) for c in r.cards),
    )


def report_on(engine: Engine, matter: Matter, made: Imprint) -> WrittenReport:
    """The whole report."""
    base = engine.base
    say = base.phrase
    numbers = Numbering(base)
    sections: list[Section | None] = []
    if matter.diagnosis is not None:
        sections += trouble_sections(engine, matter.diagnosis, matter.advice, numbers)
    elif matter.calculations or matter.cards:
        sections += found_sections(engine, matter.calculations, matter.cards, matter.advice, numbers)
    elif matter.advice is not None:
        sections += advice_sections(engine, matter.advice, matter.direct, numbers)
    # after what is said first stands what was asked
    sections.insert(1, enquiry_section(base, matter.words, matter.enquiry, numbers))
    sections.append(handover_section(engine, matter.advice, matter.diagnosis, numbers))
    sections.append(numbers.section())
    said = matter.enquiry.said
    told = [worded(base, s, said[s].value) for s in SUBJECT if s in said]
    if matter.diagnosis is not None and matter.diagnosis.complaint is not None:
        told.append(matter.diagnosis.complaint.name)
    subject = ", ".join(told)
    referred = matter.advice is not None and bool(matter.advice.refer)
    line = say("report-made", at=made.at, program=made.program, knowledge=made.knowledge, digest=made.digest[:12])
    return WrittenReport(
        matter.kind,
        say(f"report-title-{_kind_of_title(matter)}"),
        subject,
        file_fields(base),
        made,
        line,
        tuple(s for s in sections if s is not None and s.blocks),
        (*((say("report-not-to-order"),) if referred else ()), say("say-closing"), say("report-law", at=made.at[:10])),
    )


def _kind_of_title(matter: Matter) -> str:
    """What a report is called: where nothing is recommended and an engineer decides, it is no recommendation."""
    advice = matter.advice
    handed_over = matter.kind == "advice" and advice is not None and advice.refer and not advice.recommended
    return "referral" if handed_over else matter.kind
