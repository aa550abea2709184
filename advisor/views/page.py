"""A report as one HTML page: it loads nothing, runs nothing, and says so to the browser in its policy."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path

from advisor.graph.base import Base
from advisor.views.page_markup import Markup, joined, tag
from advisor.views.pictures.drawn_shapes import Picture
from advisor.views.pictures.svg import svg_of
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
    Section,
    Sentence,
    SourceList,
    Working,
    WrittenReport,
)

LANGUAGE = "en"
ABREAST = 3
"""Small pictures in a row on paper."""
DIRECTIVES = ("default-src 'none'", "style-src 'sha256-{digest}'", "base-uri 'none'", "form-action 'none'")
"""Nothing may be loaded or run or sent; only the style of the page itself counts, known by its digest."""


def page_of(base: Base, report: WrittenReport) -> str:
    """The whole page."""
    style = Path(__file__).with_name("page.css").read_text("utf-8").strip()
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    title = f"{report.title}: {report.subject}" if report.subject else report.title
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content="; ".join(DIRECTIVES).format(digest=digest)),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("title", title),
        tag("style", Markup(style)),
    )
    writer = _Writer(base)
    top = tag(
        "header",
        tag("h1", report.title),
        *((tag("p", report.subject, class_="subject"),) if report.subject else ()),
        tag("p", report.made_line, class_="made"),
        writer.fields(report.fields),
    )
    body = tag(
        "body",
        top,
        tag("main", *(writer.section(s) for s in report.sections)),
        tag("footer", *(tag("p", x) for x in report.closing), class_="closing"),
    )
    return "<!DOCTYPE html>\n" + tag("html", head, body, lang=LANGUAGE) + "\n"


class _Writer:
    """Writes the pieces of a report as elements; a number of a field makes its label find it."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self._fields = 0

    def section(self, s: Section) -> Markup:
        """A section with its heading as its name."""
        blocks = (self._block(b) for b in s.blocks)
        heading = tag("h2", s.heading, id=f"{s.id}-head")
        return tag(
            "section",
            heading,
            tag("div", *blocks, class_=f"{s.id}-body"),
            class_=s.id,
            id=s.id,
            aria_labelledby=f"{s.id}-head",
        )

    def _block(self, block: Block) -> Markup:
        match block:
            case Notice():
                return tag("p", tag("b", block.label), self._sentence(block.says), class_=f"notice {block.severity}")
            case Paragraph():
                parts = [p for s in block.sentences for p in (" ", self._sentence(s))][1:]
                return tag("p", *parts, **({"class_": "lead"} if block.strong else {}))
            case Points():
                return self._points(block)
            case Quotation():
                lines = (tag("p", line) for line in block.lines)
                return tag("div", tag("p", block.label), tag("blockquote", *lines), class_="quoted")
            case Particulars():
                rows = (tag("div", tag("dt", label), tag("dd", self._sentence(s))) for label, s in block.pairs)
                return tag("dl", *rows)
            case Working():
                lines = (tag("li", self._sentence(s)) for s in block.lines)
                method = tag("p", self._base.phrase("report-method", method=block.method), class_="method")
                step = (tag("p", block.step, class_="method step"),) if block.step else ()
                return tag("div", tag("h3", block.name), tag("ul", *lines), method, *step, class_="working")
            case _:
                return self._laid_out(block)

    def _laid_out(self, block: Grid | Blanks | Gallery | SourceList) -> Markup:
        match block:
            case Grid():
                return self._grid(block)
            case Blanks():
                return self.fields(block)
            case Gallery():
                return self._gallery(block)
            case SourceList():
                return self._sources(block)

    def fields(self, block: Blanks) -> Markup:
        """Fields that can be filled in on the screen or by hand."""
        fields = tag("div", *(self._field(label) for label in block.labels), class_="fields")
        return joined(tag("p", block.intro, class_="intro"), fields) if block.intro else fields

    def _sentence(self, s: Sentence) -> Markup:
        if not s.marks:
            return joined(s.text)
        links: list[str] = []
        for n in s.marks:
            name = self._base.phrase("report-source", number=n)
            links += [" " if links else "", tag("a", f"[{n}]", href=f"#source-{n}", aria_label=name)]
        return joined(s.text, tag("sup", *links))

    def _points(self, block: Points) -> Markup:
        items = tag("ul", *(tag("li", self._sentence(s)) for s in block.items))
        return joined(tag("p", block.intro, class_="intro"), items) if block.intro else items

    def _grid(self, block: Grid) -> Markup:
        heads = tag("tr", *(tag("th", h, scope="col") for h in block.heads))
        rows = (
            tag("tr", tag("th", self._sentence(first), scope="row"), *(tag("td", self._sentence(c)) for c in rest))
            for first, *rest in block.rows
        )
        table = tag("table", tag("caption", block.caption), tag("thead", heads), tag("tbody", *rows))
        return tag("div", table, class_="scroll")

    def _field(self, label: str) -> Markup:
        self._fields += 1
        name = f"field-{self._fields}"
        return tag("div", tag("label", label, for_=name), tag("input", type="text", id=name, autocomplete="off"))

    def _gallery(self, block: Gallery) -> Markup:
        """Small pictures three in a row; a wide one fills the row that a single small one begins."""
        beside = sum(not p.wide for p in block.pictures) % ABREAST == 1
        wide = "wide beside" if beside else "wide"
        figures = (self._figure(p, wide if p.wide else "narrow") for p in block.pictures)
        return tag("div", *figures, class_="gallery")

    def _figure(self, p: Picture, kind: str) -> Markup:
        words = tag("details", tag("summary", self._base.phrase("report-in-words")), tag("p", p.text))
        return tag("figure", tag("figcaption", p.title), svg_of(p), words, class_=kind)

    def _sources(self, block: SourceList) -> Markup:
        entries = (tag("li", c.document, " ", tag("i", c.basis), id=f"source-{c.number}") for c in block.entries)
        return tag("ol", *entries)
