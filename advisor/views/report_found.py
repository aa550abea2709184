"""A calculation, a decoded designation or cards that were looked up, as sections."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.lookup.cards import Card
from advisor.reasoning.advice import Advice
from advisor.reasoning.engine import Engine
from advisor.views.report_numbers import Numbering
from advisor.views.report_parts import Block, Notice, Particulars, Section
from advisor.views.report_recommended import cautions_section
from advisor.views.report_workings import working


def found_sections(
    engine: Engine,
    calculations: tuple[Calculation, ...],
    cards: tuple[Card, ...],
    advice: Advice | None,
    numbers: Numbering,
) -> list[Section | None]:
    """What was worked out and looked up, then what warns of it."""
    base = engine.base
    say = base.phrase
    blocks: list[Block] = [working(say("report-worked-out"), c, numbers) for c in calculations]
    sections: list[Section | None] = [Section("in-short", say("report-head-found"), tuple(blocks))] if blocks else []
    sections += [_card(c, numbers) for c in cards]
    warned = list(dict.fromkeys(i for c in calculations for i in c.cautions))
    if warned:
        sections.append(Section("cautions", say("report-head-cautions"), tuple(_warned(base, warned, numbers))))
    if advice is not None:
        sections.append(cautions_section(engine, advice, numbers))
    return sections


def _warned(base: Base, ids: list[str], numbers: Numbering) -> list[Notice]:
    nodes = [base.cautions[i] for i in ids if i in base.cautions]
    return [
        Notice(
            c.severity,
            base.phrase(f"say-severity-{c.severity}"),
            numbers.sentence(f"{c.text} {c.do}".strip(), c.because),
        )
        for c in nodes
    ]


def _card(card: Card, numbers: Numbering) -> Section:
    pairs = tuple((x.label, numbers.sentence(x.text, x.cites)) for x in card.lines)
    return Section(f"card-{card.id}", card.name, (Particulars(pairs),) if pairs else ())
