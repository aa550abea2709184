"""The way through the knowledge: from what was told, by which rules and on which documents, to the finish."""

from __future__ import annotations

from collections.abc import Sized

from advisor.graph.base import Base
from advisor.graph.wording import worded
from advisor.reasoning.advice import Advice
from advisor.reasoning.enquiry import usable
from advisor.reasoning.reasons import Reason
from advisor.views.pictures.drawn_shapes import Box, Drawing, Label, Picture, Shape, Stroke, in_lines
from advisor.views.sources import in_short

WIDTH, TOP, BOX_WIDTH, BOX_HEIGHT, GAP = 740.0, 22.0, 164.0, 32.0, 6.0
COLUMNS = (6.0, 198.0, 390.0, 576.0)
"""Left edges: told, rules, documents, the choice."""
MOST_RULES, MOST_TOLD, MOST_PAPERS = 3, 4, 4


def path_picture(base: Base, advice: Advice) -> Picture | None:
    """The path to the first choice, else to the hand-over; None where no rule speaks."""
    say = base.phrase
    if advice.recommended:
        reasons = advice.recommended[0].reasons
        goal = base.finishes[advice.recommended[0].ranked.finish].name
    else:
        reasons, goal = advice.referral, say("report-label-refer")
    reasons = tuple(r for r in reasons if r.rule or r.cites)[:MOST_RULES]
    if not reasons:
        return None
    reads = [_read_by(base, advice, r) for r in reasons]
    said = advice.case.enquiry.said
    # what the customer told goes before what was taken or follows from it
    told = sorted(dict.fromkeys(s for slots in reads for s in slots), key=lambda s: s not in said)[:MOST_TOLD]
    papers = [list(dict.fromkeys(in_short(base, c) for c in r.cites)) for r in reasons]
    listed = list(dict.fromkeys(p for some in papers for p in some))[:MOST_PAPERS]
    rows = max(len(told), len(reasons), len(listed), 1)
    height = TOP + rows * (BOX_HEIGHT + GAP)
    left, middle, right = _places(told, height), _places(reasons, height), _places(listed, height)
    end = TOP + (height - TOP - GAP - BOX_HEIGHT) / 2
    edges: list[Shape] = []
    boxes: list[Shape] = []
    for s, y in zip(told, left, strict=True):
        boxes += _box(0, y, worded(base, s, advice.case.full[s]), "told" if s in said else "taken")
    for p, y in zip(listed, right, strict=True):
        boxes += _box(2, y, p, "paper")
        edges.append(_edge(2, y, end))
    for n, (r, y) in enumerate(zip(reasons, middle, strict=True)):
        boxes += _box(1, y, f"{r.rule}: {r.text}" if r.rule else r.text, "rule")
        edges += [_edge(0, left[told.index(s)], y) for s in reads[n] if s in told]
        edges += [_edge(1, y, right[listed.index(p)]) for p in papers[n] if p in listed]
    boxes += _box(3, end, goal, "choice")
    heads = [
        Label(x, 12, say(f"report-path-{name}"), "small")
        for x, name in zip(COLUMNS, ("told", "rule", "paper", "choice"), strict=True)
    ]
    lines = [_in_words(base, advice, r, slots, p) for r, slots, p in zip(reasons, reads, papers, strict=True)]
    return Picture(
        "path",
        say("report-picture-path"),
        say("report-picture-path-text", listed=" ".join(lines), goal=goal),
        Drawing(WIDTH, height, (*edges, *boxes, *heads)),
        (),
        wide=True,
    )


def _read_by(base: Base, advice: Advice, reason: Reason) -> list[str]:
    """What of the case a rule looked at and found something in."""
    rule = base.rules.get(reason.rule)
    if rule is None:
        return []
    full = advice.case.full
    said = advice.case.enquiry.said
    # lists that follow from words (circumstances) are told as words elsewhere; here their marks would be read
    read = (s for s in rule.reads if usable(full, s) and full[s] not in ([], ()) and s in base.slots)
    return [s for s in read if s in said or not isinstance(full[s], (list, tuple)) or base.slots[s].values_of]


def _places(items: Sized, height: float) -> list[float]:
    """The tops of boxes spread evenly over the height."""
    count = len(items)
    room = (height - TOP) / max(1, count)
    return [TOP + room * n + (room - BOX_HEIGHT - GAP) / 2 for n in range(count)]


def _box(column: int, y: float, text: str, role: str) -> list[Shape]:
    x = COLUMNS[column]
    lines = in_lines(text, BOX_WIDTH - 14, 2, "boxed")
    first = y + (BOX_HEIGHT + 7) / 2 - 6.5 * (len(lines) - 1)
    words = [Label(x + 7, first + 13 * n, line, "boxed") for n, line in enumerate(lines)]
    return [Box(x, y, BOX_WIDTH if column < 3 else WIDTH - x - 4, BOX_HEIGHT, role, 6 if role == "told" else 2), *words]


def _edge(column: int, y: float, to: float) -> Stroke:
    """A line from the right side of a box to the left side of one in the next column."""
    x, end = COLUMNS[column] + BOX_WIDTH, COLUMNS[column + 1]
    half = BOX_HEIGHT / 2
    return Stroke(((x, y + half), (x + 6, y + half), (end - 6, to + half), (end, to + half)), "edge")


def _in_words(base: Base, advice: Advice, reason: Reason, slots: list[str], papers: list[str]) -> str:
    told = "; ".join(worded(base, s, advice.case.full[s]) for s in slots[:MOST_TOLD])
    return base.phrase(
        "report-path-step",
        told=told or base.phrase("report-path-always"),
        rule=reason.text.rstrip("."),
        papers="; ".join(papers) or base.phrase("report-path-none"),
    )
