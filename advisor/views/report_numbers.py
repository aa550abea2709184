"""Numbers for the sources of a report, in the order in which they are first used, and the list of them."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.graph.base import Base, Citation
from advisor.views.report_parts import Cited, Paragraph, Section, Sentence, SourceList
from advisor.views.sources import short_name

NO_BASIS = "none"
USUAL_MARKS = 2
"""Sources named behind one sentence; more are not followed by anybody."""


class Numbering:
    """Gives every document one number, however many facts it stands behind."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self._numbers: dict[tuple[str, str], int] = {}
        self._nodes: dict[int, dict[str, None]] = {}

    def sentence(self, text: str, cites: Iterable[str] = (), most: int = USUAL_MARKS) -> Sentence:
        """A text with the numbers of what it cites."""
        marks: list[int] = []
        for node in cites:
            key = self._key(self._base.citation(node))
            if key not in self._numbers and len(marks) >= most:
                continue
            number = self._numbers.setdefault(key, len(self._numbers) + 1)
            self._nodes.setdefault(number, {})[node] = None
            if number not in marks:
                marks.append(number)
        return Sentence(text, tuple(marks[:most]))

    def section(self) -> Section | None:
        """The sources; None when nothing was cited."""
        if not self._numbers:
            return None
        say = self._base.phrase
        entries = tuple(Cited(n, doc, basis, tuple(self._nodes[n])) for (doc, basis), n in self._numbers.items())
        blocks = (SourceList(entries), Paragraph((Sentence(say("report-basis-legend")),)))
        return Section("sources", say("report-head-sources"), blocks)

    def _key(self, c: Citation) -> tuple[str, str]:
        """The document by its number with edition and place, and how far it can be relied on."""
        source = self._base.sources.get(c.source)
        name = short_name(source) if source is not None else c.title
        edition = c.edition if c.edition not in name and name == c.title else ""
        quoted = "-quoted" if c.basis == "published" and c.seen == "quoted" else ""
        basis = self._base.phrase(f"report-basis-{c.basis or NO_BASIS}{quoted}")
        return ", ".join(x for x in (name, edition, c.where) if x), basis
