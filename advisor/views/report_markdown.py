"""A report as Markdown; what people typed cannot become markup there."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.views.layout import clean
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

MARKS = "\\`*_[]<>|~#!"
"""Characters that Markdown or the HTML in it would take for its own."""
BLANK = "\\_" * 12
"""Where something is to be filled in."""


def plain(text: str) -> str:
    """Text that Markdown shows as it is, on one line.

    >>> print(plain("*a* <b> [x](http://y.z)"))
    \\*a\\* &lt;b&gt; \\[x\\](http&#58;//y.z)
    """
    out = []
    for ch in " ".join(clean(text).split()).replace("&", "&amp;"):
        out.append({"<": "&lt;", ">": "&gt;"}.get(ch, f"\\{ch}" if ch in MARKS else ch))
    joined = "".join(out).replace("://", "&#58;//").replace("www.", "www&#46;").replace("@", "&#64;")
    # a list or a rule must not begin where a sentence does
    head = joined[:1]
    return f"\\{joined}" if head in "+-=" and head else joined


def marked_plain(s: Sentence) -> str:
    """A sentence with the numbers of its sources."""
    return plain(s.text) + "".join(f" \\[{n}\\]" for n in s.marks)


def markdown_of(base: Base, report: WrittenReport) -> str:
    """The whole report."""
    out = [f"# {plain(report.title)}", plain(report.subject), f"*{plain(report.made_line)}*"]
    out.append(_block(base, report.fields))
    for s in report.sections:
        out.append(f"## {plain(s.heading)}")
        out += [_block(base, b) for b in s.blocks]
    out += ["---", *(plain(x) for x in report.closing)]
    return "\n\n".join(x for x in out if x) + "\n"


def _block(base: Base, block: Block) -> str:
    match block:
        case Notice():
            return f"> **{plain(block.label)}** {marked_plain(block.says)}"
        case Paragraph():
            text = " ".join(marked_plain(s) for s in block.sentences)
            return f"**{text}**" if block.strong and text else text
        case Points():
            items = "\n".join(f"- {marked_plain(s)}" for s in block.items)
            return f"**{plain(block.intro)}**\n\n{items}" if block.intro else items
        case Quotation():
            return f"{plain(block.label)}\n\n" + "\n>\n".join(f"> {plain(x)}" for x in block.lines)
        case Particulars():
            return "\n".join(f"- {plain(label)}: {marked_plain(s)}" for label, s in block.pairs)
        case Working():
            lines = "\n".join(f"- {marked_plain(s)}" for s in block.lines)
            method = plain(base.phrase("report-method", method=block.method))
            return f"### {plain(block.name)}\n\n{lines}\n\n{method} {plain(block.step)}".rstrip()
        case _:
            return _laid_out(block)


def _laid_out(block: Grid | Blanks | Gallery | SourceList) -> str:
    match block:
        case Grid():
            return f"{plain(block.caption)}\n\n" + _table(
                block.heads, [[marked_plain(c) for c in r] for r in block.rows]
            )
        case Blanks():
            lines = "\n".join(f"- {plain(x)}: {BLANK}" for x in block.labels)
            return f"{plain(block.intro)}\n\n{lines}" if block.intro else lines
        case Gallery():
            return "\n".join(f"- **{plain(p.title)}:** {plain(p.text)}" for p in block.pictures)
        case SourceList():
            return "\n".join(f"- \\[{c.number}\\] {plain(c.document)} ({plain(c.basis)})" for c in block.entries)


def _table(heads: tuple[str, ...], rows: list[list[str]]) -> str:
    lines = [[plain(h) for h in heads], ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)
