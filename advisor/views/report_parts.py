"""The pieces of a written recommendation, whatever it is printed as: sentences, tables, pictures, fields."""

from __future__ import annotations

from advisor.records import NamedTuple
from advisor.views.pictures.drawn_shapes import Picture


class Sentence(NamedTuple):
    """A text with the numbers of the sources behind it."""

    text: str
    marks: tuple[int, ...] = ()


class Notice(NamedTuple):
    """A warning: how severe it is (stop, warn, note), the word for that, what it says."""

    severity: str
    label: str
    says: Sentence


class Paragraph(NamedTuple):
    """A few sentences that belong together; `strong`: the one to read if only one is read."""

    sentences: tuple[Sentence, ...]
    strong: bool = False


class Points(NamedTuple):
    """A list, one thing an item, under words of its own where it needs them."""

    items: tuple[Sentence, ...]
    intro: str = ""


class Quotation(NamedTuple):
    """The customer's own words under a label."""

    label: str
    lines: tuple[str, ...]


class Grid(NamedTuple):
    """A table: what it shows, the heads of its columns, and its rows, each with its head as the first cell."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Sentence, ...], ...]


class Particulars(NamedTuple):
    """Label and value, one pair a line."""

    pairs: tuple[tuple[str, Sentence], ...]


class Working(NamedTuple):
    """A calculation: what was worked out, its lines, by which method, and what to type to see every step."""

    name: str
    lines: tuple[Sentence, ...]
    method: str
    step: str = ""


class Blanks(NamedTuple):
    """Fields to be filled in by hand, under words of their own where they need them."""

    labels: tuple[str, ...]
    intro: str = ""


class Gallery(NamedTuple):
    """Pictures side by side."""

    pictures: tuple[Picture, ...]


class Cited(NamedTuple):
    """A source: its number, the document with the place in it, how far to rely on it, and the nodes behind."""

    number: int
    document: str
    basis: str
    nodes: tuple[str, ...]


class SourceList(NamedTuple):
    """The list of sources."""

    entries: tuple[Cited, ...]


Block = Notice | Paragraph | Points | Quotation | Grid | Particulars | Working | Blanks | Gallery | SourceList


class Section(NamedTuple):
    """A part of the report under a heading; `id` is a word for links and programs."""

    id: str
    heading: str
    blocks: tuple[Block, ...]


class Imprint(NamedTuple):
    """When and from what a report was made."""

    at: str
    program: str
    knowledge: str
    digest: str


class WrittenReport(NamedTuple):
    """A whole report, most important first; `fields` of customer and order stand at its head."""

    kind: str
    title: str
    subject: str
    fields: Blanks
    made: Imprint
    made_line: str
    sections: tuple[Section, ...]
    closing: tuple[str, ...]
