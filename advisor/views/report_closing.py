"""What a qualified engineer needs to decide, and the fields that people fill in."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.reasoning.advice import Advice
from advisor.reasoning.diagnosis import Diagnosis
from advisor.reasoning.engine import Engine
from advisor.views.report_numbers import Numbering
from advisor.views.report_parts import Blanks, Block, Paragraph, Points, Section, Sentence

DECIDES = ("as-it-stands", "with-changes", "not", "name", "qualification", "date")
FILES = ("customer", "order", "drawing", "prepared")


def file_fields(base: Base) -> Blanks:
    """Customer and order."""
    return Blanks(tuple(base.phrase(f"report-field-{x}") for x in FILES))


def handover_section(engine: Engine, advice: Advice | None, found: Diagnosis | None, numbers: Numbering) -> Section:
    """To whom and why, what is to be decided, and where the decision is written down."""
    base = engine.base
    say = base.phrase
    stopped = found is not None and found.stop
    refer = bool(advice.refer) if advice is not None else False
    to = "; ".join(advice.referral_to) if advice is not None and refer else ""
    if stopped:
        to = say("trouble-referral-to")
    first = [Sentence(say("report-hand-to", to=to or say("report-hand-to-whom")))]
    why = [numbers.sentence(r.text, r.cites) for r in advice.referral] if advice is not None and refer else []
    if stopped:
        why.insert(0, Sentence(say("trouble-referral")))
    if not why and found is None:
        first.append(Sentence(say("report-hand-if-needed")))
    blocks: list[Block] = [Paragraph(tuple(first))]
    if why:
        blocks.append(Points(tuple(why), say("report-hand-because")))
    labels = tuple(say(f"report-decided-{x}") for x in DECIDES)
    blocks.append(Blanks(labels))
    return Section("hand-over", say("report-head-hand-over"), tuple(blocks))
