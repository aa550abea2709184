"""What was asked, what was taken without being told, and what is still open."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.graph.wording import UNKNOWN, named, worded
from advisor.reasoning.advice import Advice
from advisor.reasoning.diagnosis import PROBLEM
from advisor.reasoning.enquiry import Enquiry, listed
from advisor.views.report_numbers import Numbering
from advisor.views.report_parts import Block, Paragraph, Particulars, Points, Quotation, Section, Sentence

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

MOST_QUESTIONS = 4


def enquiry_section(base: Base, words: tuple[str, ...], enquiry: Enquiry, numbers: Numbering) -> Section:
    """The customer's words, and slot by slot what was understood."""
    say = base.phrase
    blocks: list[Block] = []
    if words:
        blocks.append(Quotation(say("report-words"), words))
    pairs = [(_label(base, s), Sentence(_value(base, s, x.value))) for s, x in enquiry.said.items()]
    told = "; ".join(dict.fromkeys(w for w in enquiry.circumstances.values() if w))
    if told:
        pairs.append((say("report-circumstances"), Sentence(told)))
    if pairs:
        blocks.append(Particulars(tuple(pairs)))
    return Section("enquiry", say("report-head-enquiry"), tuple(blocks))


def _value(base: Base, slot: str, value: Any) -> str:
    """What was told, with its unit."""
    if value in (UNKNOWN, [], ()):
        return worded(base, slot, value)
    if slot == PROBLEM:
        kinds = [next((c.name for c in base.complaints.values() if c.problem == v), str(v)) for v in listed(value)]
        return "; ".join(kinds)
    shown = ", ".join(named(base, v) for v in (value if isinstance(value, (list, tuple)) else (value,)))
    unit = base.slots[slot].unit if slot in base.slots else ""
    return f"{shown} {unit}".rstrip()


def _label(base: Base, slot: str) -> str:
    name = base.slots[slot].name if slot in base.slots else slot
    return name[:1].upper() + name[1:]


def open_section(base: Base, advice: Advice) -> Section:
    """What was assumed: one by one with the reason where safety hangs on it, the usual values in one paragraph; then
    the questions whose answers could still change the advice, and how firm the first place is.
    """
    say = base.phrase
    blocks: list[Block] = []
    taken = [a for a in advice.assumed if a.value not in (None, [], (), UNKNOWN)]
    grave = [a for a in taken if base.slots[a.slot].safety]
    if grave:
        lines = (say("report-taken-line", what=worded(base, a.slot, a.value), why=a.because) for a in grave)
        blocks.append(Points(tuple(Sentence(x) for x in lines), say("report-taken-safety")))
    said = advice.case.enquiry.said
    usual = "; ".join(worded(base, a.slot, a.value) for a in taken if a not in grave and a.slot not in said)
    if usual:
        blocks.append(Paragraph((Sentence(say("report-taken-usual", what=usual)),)))
    asked = [base.decisions[q.decision] for q in advice.open_questions[:MOST_QUESTIONS]]
    if asked:
        lines = (f"{d.text} {d.changes}".strip() for d in asked)
        blocks.append(Points(tuple(Sentence(x) for x in lines), say("report-open")))
    elif advice.recommended:
        blocks.append(Paragraph((Sentence(say("report-nothing-open")),)))
    if advice.recommended:
        blocks.append(Paragraph((Sentence(_firm(base, advice)),)))
    return Section("open", say("report-head-open"), tuple(blocks))


def _firm(base: Base, advice: Advice) -> str:
    """Whether the first place stays whatever is answered, and with which weights it falls."""
    text = base.phrase("report-holds" if advice.holds else "report-may-fall")
    if advice.topples:
        names = ", ".join(base.phrase(f"report-criterion-{c}") for c in advice.topples)
        return f"{text} {base.phrase('report-topples', criteria=names)}"
    return f"{text} {base.phrase('report-no-topple')}"
