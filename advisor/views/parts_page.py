"""A parts list as a written report: the summary, the plan with a picture of it, the lines, the fields to sign."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.dialogue.whole_list import Plan, WholeList
from advisor.graph.base import Base
from advisor.views.parts_plan import planned_text, proof_text, summary_text, unserved_texts
from advisor.views.parts_text import headings
from advisor.views.pictures.drawn_shapes import Box, Drawing, Label, Picture, Scale, Shape, axis, fitted, steps
from advisor.views.report_closing import file_fields
from advisor.views.report_parts import (
    Block,
    Gallery,
    Grid,
    Imprint,
    Paragraph,
    Points,
    Section,
    Sentence,
    WrittenReport,
)

MOST_LINES = 2000
"""Lines that a page shows; a longer list is for a spreadsheet."""
WIDTH, LEFT, ROW = 560.0, 250.0, 20.0


def list_report(
    base: Base, whole: WholeList, plan: Plan | None, lines: Sequence[Sequence[str]], made: Imprint
) -> WrittenReport:
    """The report on a list; `lines` are the texts of its lines, each with its number first."""
    say = base.phrase
    sections = [Section("summary", say("parts-page-summary"), (_paragraph(summary_text(base, whole)),))]
    if plan is not None:
        sections.append(Section("plan", say("parts-page-plan"), tuple(_plan_blocks(base, plan))))
    rows = tuple(tuple(Sentence(x) for x in line) for line in lines)
    blocks: list[Block] = [Grid(say("parts-page-lines"), headings(base), rows)] if rows else []
    left_out = whole.lines - len(rows)
    if left_out > 0:
        blocks.append(_paragraph(say("parts-page-left-out", count=left_out)))
    sections.append(Section("lines", say("parts-page-lines"), tuple(blocks)))
    line = say("report-made", at=made.at, program=made.program, knowledge=made.knowledge, digest=made.digest[:12])
    closing = (say("say-closing"), say("report-law", at=made.at[:10]))
    shown = tuple(s for s in sections if s.blocks)
    return WrittenReport("parts", say("parts-page-title"), "", file_fields(base), made, line, shown, closing)


def _paragraph(*texts: str) -> Paragraph:
    return Paragraph(tuple(Sentence(t) for t in texts))


def _plan_blocks(base: Base, plan: Plan) -> list[Block]:
    say = base.phrase
    if not plan.finishes:
        out: list[Block] = [_paragraph(say("parts-plan-none"))]
    else:
        intro = say("parts-plan-intro", count=len(plan.finishes), served=plan.served, today=plan.today)
        items = tuple(Sentence(planned_text(base, p)) for p in plan.finishes)
        out = [Points(items, intro), _paragraph(proof_text(base, plan)), Gallery((plan_picture(base, plan),))]
    if plan.wishes_changed:
        out.append(_paragraph(say("parts-plan-wishes", count=plan.wishes_changed)))
    if plan.unserved:
        reasons = tuple(Sentence(t) for t in unserved_texts(base, plan))
        out.append(Points(reasons, say("parts-plan-unserved", count=len(plan.unserved))))
    return out


def plan_picture(base: Base, plan: Plan) -> Picture:
    """How many lines each finish of the plan serves, as bars; those that none serves below."""
    bars = [(base.finishes[p.finish].name, p.lines, "first") for p in plan.finishes]
    if plan.unserved:
        bars.append((base.phrase("parts-page-none"), len(plan.unserved), "limit"))
    ticks = steps(max(n for _, n, _ in bars))
    across = Scale(0, ticks[-1], LEFT, WIDTH - 40)
    shapes: list[Shape] = []
    for n, (name, count, role) in enumerate(bars):
        y = n * ROW + 4
        shapes.append(Label(LEFT - 6, y + 12, fitted(name, LEFT - 12, "small"), "small", "end"))
        shapes.append(Box(LEFT, y, max(1.0, across.at(count) - LEFT), ROW - 5, "first" if role == "first" else "other"))
        shapes.append(Label(across.at(count) + 4, y + 12, str(count), "small"))
    floor = len(bars) * ROW + 4
    shapes += axis(across, floor, ticks, base.phrase("parts-page-axis"))
    texts = "; ".join(base.phrase("parts-page-bar", name=name, count=count) for name, count, _ in bars)
    figures = tuple((name, float(count), float(count), base.phrase("parts-page-axis")) for name, count, _ in bars)
    return Picture(
        "plan", base.phrase("parts-page-picture"), texts, Drawing(WIDTH, floor + 40, tuple(shapes)), figures, wide=True
    )
