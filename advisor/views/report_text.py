"""A report as plain text for a letter or a terminal."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.views.layout import bullets, cells, wrap
from advisor.views.report_parts import (
    Blanks,
    Block,
    Gallery,
    Grid,
    Notice,
    Paragraph,
    Particulars,
    Points,
    Quotation,
    Sentence,
    SourceList,
    Working,
    WrittenReport,
)

WIDTH = 80
INDENT = "    "


def text_of(base: Base, report: WrittenReport) -> str:
    """The whole report in lines of 80 columns."""
    out = [*_under(report.title, "="), *wrap(report.subject, WIDTH), *wrap(report.made_line, WIDTH)]
    out += ["", *_block(base, report.fields)]
    for s in report.sections:
        out += ["", *_under(s.heading, "-")]
        for n, block in enumerate(s.blocks):
            out += ([""] if n else []) + _block(base, block)
    out += ["", "-" * WIDTH]
    for line in report.closing:
        out += wrap(line, WIDTH)
    return "\n".join(line.rstrip() for line in out) + "\n"


def _under(heading: str, mark: str) -> list[str]:
    lines = wrap(heading, WIDTH)
    return [*lines, mark * max(cells(x) for x in lines)]


def marked(s: Sentence) -> str:
    """A sentence with the numbers of its sources.

    >>> marked(Sentence("It holds.", (1, 3)))
    'It holds. [1][3]'
    """
    return f"{s.text} {''.join(f'[{n}]' for n in s.marks)}".rstrip()


def _block(base: Base, block: Block) -> list[str]:
    match block:
        case Notice():
            return wrap(f"{block.label.upper()}: {marked(block.says)}", WIDTH)
        case Paragraph():
            return wrap(" ".join(marked(s) for s in block.sentences), WIDTH)
        case Points():
            intro = wrap(block.intro, WIDTH) if block.intro else []
            return [*intro, *bullets((marked(s) for s in block.items), WIDTH)]
        case Quotation():
            return [*wrap(block.label, WIDTH), *(x for line in block.lines for x in wrap(line, WIDTH, INDENT, INDENT))]
        case Particulars():
            return [x for label, s in block.pairs for x in wrap(f"{label}: {marked(s)}", WIDTH, INDENT)]
        case Working():
            method = f"{base.phrase('report-method', method=block.method)} {block.step}"
            return [block.name, *bullets((marked(s) for s in block.lines), WIDTH), *wrap(method, WIDTH, "  ", "  ")]
        case Grid():
            return _grid(block)
        case Blanks():
            intro = wrap(block.intro, WIDTH) if block.intro else []
            return [*intro, *(f"  {x}: ".ljust(WIDTH - 24, "_") for x in block.labels)]
        case Gallery():
            return [x for p in block.pictures for x in wrap(f"{p.title}: {p.text}", WIDTH, "    ", "  - ")]
        case SourceList():
            lines = ((f"{c.document} - {c.basis}", f"  [{c.number}] ") for c in block.entries)
            return [x for text, number in lines for x in wrap(text, WIDTH, "       ", number)]


def _grid(block: Grid) -> list[str]:
    """A table row by row: on eighty columns a table of sentences cannot be read."""
    out = wrap(block.caption, WIDTH)
    for first, *rest in block.rows:
        values = [f"{head}: {marked(c)}" for head, c in zip(block.heads[1:], rest, strict=True) if c.text]
        # a table of two columns needs no head before its second
        shown = [marked(c) for c in rest] if len(rest) == 1 else values
        out += wrap(marked(first), WIDTH, "    ", "  - ")
        out += [x for v in shown for x in wrap(v, WIDTH, "      ", "    ")]
    return out
