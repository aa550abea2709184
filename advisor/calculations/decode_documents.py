"""Documents named in a note that order no coat by themselves, or only part of it: what they are and what to ask."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from advisor.codes.spelling import spell
from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

OF_A_COAT = frozenset(("standard", "finish_asked", "part"))
"""What naming a document about coats says; one that says more (a duty, a class) is about a product."""
LONGEST_REST = 7
"""Letters beside the name of a document that still only name it: "part 2", "Cr"."""
NUT_CLASSES = frozenset(("5", "6", "8", "9", "10", "12"))


class NamedDocument(NamedTuple):
    """A document that a note names, and the words that name it."""

    id: str
    words: str
    node: Mapping[str, Any]


def documents_in(base: Base, note: str) -> tuple[NamedDocument, ...]:
    """The documents that a note names, each by its longest wording; a name within a longer one does not count."""
    hits: list[NamedDocument] = []
    plain = _plain(note)
    for i, node in base.kind("document").items():
        said = [s for s in map(_plain, node["say"]) if f" {s} " in f" {plain} "]
        if said:
            hits.append(NamedDocument(i, max(said, key=len), node))
    return tuple(h for h in hits if not any(h.words != o.words and f" {h.words} " in f" {o.words} " for o in hits))


def _plain(text: str) -> str:
    """A spelling in which names are compared: letters and figures apart by one blank.

    >>> _plain("BS 3382-2"), _plain("8.8U")
    ('bs 3382 2', '8.8u')
    """
    return " ".join(re.split(r"[^a-z0-9.]+", spell(text))).strip()


def reading_of(d: NamedDocument) -> dict[str, object]:
    """A document as one of the readings that decode answers: it names no coat, so what is open is which."""
    coats = list(d.node.get("coats") or ())
    return {
        "standard": d.node["name"],
        "edition": d.node.get("edition"),
        "status": d.node.get("status"),
        "family": coats[0] if len(coats) == 1 else None,
        "finish": None,
        "thickness_um": None,
        "passivation": None,
        "hexavalent_chromium": "unstated",
        "sealed": None,
        "lubricated": None,
        "salt_spray_white_h": None,
        "salt_spray_red_h": None,
        "superseded_by": None,
        "current_equivalents": [],
        "incomplete": [str(d.node["text"])],
        "notes": [str(d.node["about"])],
    }


def lines_of_document(base: Base, d: NamedDocument) -> list[str]:
    """A document in two lines: what it is and whether it is in force; what to do or ask."""
    status = str(d.node.get("status") or "")
    shown = base.phrase(f"say-document-{status}") if status != "undated" else ""
    head = base.phrase("say-document", name=d.node["name"], title=str(d.node["title"]).rstrip("."), status=shown)
    return [head, f"{str(d.node['about']).rstrip('.')}. {d.node['text']}"]


def told_by(documents: Iterable[NamedDocument], rest: str) -> bool:
    """Whether all that was left unread of a note is the name of a document or the class of a nut."""
    known = {w for d in documents for w in d.words.split()} | NUT_CLASSES
    return bool(rest) and set(_plain(rest).split()) <= known


def only_documents(base: Base, text: str) -> bool:
    """Whether a line is nothing but the names of documents about coats, with a part or class at most."""
    note = spell(text)
    named = [d for d in documents_in(base, note) if d.node.get("says", {}).keys() <= OF_A_COAT]
    return bool(named) and len(without_names(note, named)) <= LONGEST_REST


def without_names(note: str, documents: Iterable[NamedDocument]) -> str:
    """A note without the names of documents that no code reads, so that the code behind them is.

    >>> without_names("din 50960-fe/zn12cc", [NamedDocument("d", "din 50960", {})])
    'fe/zn12cc'
    """
    for d in documents:
        pattern = r"[^a-z0-9.]*".join(map(re.escape, d.words.split()))
        note = re.sub(rf"(?<![a-z0-9]){pattern}(?![a-z0-9])", " ", note)
    return note.strip(" -,:;")
