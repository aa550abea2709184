"""The sources of one text: numbered as they are first used, listed once, in full or by their short names."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.graph import nodes
from advisor.graph.base import Base, Citation
from advisor.views.layout import wrap


class Sources:
    """Numbers for the citations of one text, in the order in which they are first used."""

    def __init__(self, base: Base, full: bool = True) -> None:
        self._base = base
        self._full = full
        self._number: dict[str, int] = {}

    def mark(self, ids: Iterable[str], most: int = 4) -> str:
        """The numbers for some cited nodes, such as " [1][3]"."""
        out: list[int] = []
        for i in ids:
            line = in_full(self._base, self._base.citation(i)) if self._full else in_short(self._base, i)
            if line not in self._number:
                if len(out) >= most:
                    continue
                self._number[line] = len(self._number) + 1
            if self._number[line] not in out:
                out.append(self._number[line])
        return (" " + "".join(f"[{n}]" for n in out[:most])) if out else ""

    def listed(self, width: int) -> list[str]:
        """The list of sources: one a line in full, or run on in one paragraph when short."""
        if not self._number:
            return []
        if not self._full:
            run = " ".join(f"[{n}] {line};" for line, n in self._number.items()).rstrip(";")
            return wrap(run, width, "  ", "  ")
        out: list[str] = []
        for line, n in self._number.items():
            out.extend(wrap(line, width, "      ", f"  [{n}] "))
        return out


def in_full(base: Base, c: Citation) -> str:
    """A citation with title, edition and place, and how far it can be relied on; one of a branch's layer says so."""
    if c.layer:
        return base.phrase("say-of-layer", layer=c.layer)
    how = {"memory": "say-unconfirmed", "practice": "say-practice", "derived": "say-derived"}.get(c.basis)
    place = ", ".join(x for x in (c.title, c.edition if c.edition not in c.title else "", c.where) if x)
    if how:
        return place if c.basis == "practice" and not c.where else f"{place} - {base.phrase(how)}"
    return place + (f" ({base.phrase('say-quoted')})" if c.seen == "quoted" else "")


def in_short(base: Base, node_id: str) -> str:
    """A citation by the number of its document, or as practice or recalled."""
    c = base.citation(node_id)
    if c.layer:
        return base.phrase("say-of-layer", layer=c.layer)
    if c.basis == "practice":
        return base.phrase("say-practice-short")
    source = base.sources.get(c.source)
    name = short_name(source) if source else c.source
    if c.basis != "memory":
        return name
    known = source is not None and source.body
    return base.phrase("say-unconfirmed-short", name=name) if known else base.phrase("say-recalled-short")


def short_name(source: nodes.Source) -> str:
    """A document by its number where it has one, else by its title.

    >>> short_name(nodes.Source("iso-9223-2012", "Corrosivity", "ISO", "ISO 9223:2012 (2nd edition)"))
    'ISO 9223:2012'
    >>> short_name(nodes.Source("astm-f1941-2015", "Electrodeposited coatings", "ASTM", "2015"))
    'ASTM F1941 (2015)'
    """
    prefix = source.body.lower().replace("/", "-") + "-"
    if not source.body or not source.id.startswith(prefix):
        return source.title
    if source.edition.upper().startswith(source.body.upper()):
        return source.edition.split(" (")[0]
    number = source.id[len(prefix) :].upper()
    head, _, tail = number.rpartition("-")
    if head and len(tail) == 4 and tail.isdigit() and tail[:2] in ("19", "20"):
        return f"{source.body} {head} ({tail})"
    return f"{source.body} {number}"
