"""`advisor decode`: what a drawing or order designation of a coating means, and the nearest current equivalent."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.calculations.decode_documents import (
    NamedDocument,
    documents_in,
    lines_of_document,
    reading_of,
    told_by,
    without_names,
)
from advisor.calculations.decode_shown import lines_of, nothing_read, warned_of, without_unknown
from advisor.calculations.options import Calculation, Option
from advisor.codes.decoding import readings_of
from advisor.codes.forms import CodeForm, FormStep, Open
from advisor.codes.gates import Gates, may_match
from advisor.codes.grammar import read_codes
from advisor.codes.notes import Words, read_note
from advisor.codes.spelling import spell
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade.tables import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

OPTIONS = (
    Option(
        "callout",
        "the designation or note as written, e.g. A2L or 'ISO 4042/Zn8/An/T0'",
        True,
        True,
        many=True,
        slots=("callout",),
    ),
)
EXAMPLE = "advisor decode 'Fe/Zn 5C per ASTM F1941'"


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """All readings of a designation, best first; UsageError when neither metal nor specification is recognised."""
    given = inputs.get("callout", "")
    text = given if isinstance(given, str) else " ".join(given)
    results, lines, cites, cautions = decode(base, text)
    known = base.kind("caution")
    return Calculation(
        "decode",
        {"callout": text},
        results,
        base.phrase("say-decode-method"),
        tuple(lines),
        tuple(cites),
        tuple(c for c in cautions if c in known),
    )


Read = tuple[dict[str, object], list[str], list[str], list[str]]
"""Results, lines, cited tables and cautions of a note."""


def decode(base: Base, text: str) -> Read:
    """Results, lines, cited tables and cautions of a note; documents that it names are told beside its code."""
    note = spell(text)
    if not note:
        raise UsageError("there is nothing to decode; give the designation as written, e.g. 'Fe/Zn 8c2C'")
    named = documents_in(base, note)
    read: Read | None
    try:
        read = _read(base, note, named)
    except UsageError:
        shorter = without_names(note, named) if named else ""
        read = _read_or_none(base, shorter, named) if shorter and shorter != note else None
        if read is None and not named:
            raise
    results, lines, cites, cautions = read if read is not None else ({"strength": None, "unread": None}, [], [], [])
    told = results.setdefault("readings", [])
    for d in named:
        if read is None and isinstance(told, list):
            told.append(reading_of(d))
        lines += lines_of_document(base, d)
        cites.append(d.id)
    return results, lines, list(dict.fromkeys(cites)), list(dict.fromkeys(cautions))


def _read_or_none(base: Base, note: str, named: Sequence[NamedDocument], lost: str = "") -> Read | None:
    try:
        return _read(base, note, named, lost)
    except UsageError:
        return None


def _read(base: Base, note: str, named: Sequence[NamedDocument], lost: str = "") -> Read:
    """What the codes and words of a note say. One unknown letter loses no more than itself: `lost`, which is asked."""
    gates: Gates = base.section("code-gates")
    found = read_codes(note, codes(base, note), gates)
    filler = Table("code-words-filler", ("say",), tuple((p,) for p in base.section("code-filler")))
    said, ambiguous, strengths = (base.table(n) for n in _WORD_TABLES)
    words = read_note(found.cover, Words(said, ambiguous, strengths, filler), gates)
    readings = readings_of(base, note, found, words)
    if not readings:
        kept, unknown = without_unknown(note, found) if not lost else ("", "")
        shorter = _read_or_none(base, kept, named, unknown) if kept else None
        if shorter is not None:
            return shorter
        raise nothing_read(note, found, words)
    known = told_by(named, words.rest or "")
    cautions: list[str] = list(words.cautions)
    cites: list[str] = []
    lines: list[str] = []
    told: list[dict[str, object]] = []
    for n, r in enumerate(readings):
        warned = warned_of(base, r, words)
        left = tuple(o for o in r.open if not (known and str(words.rest) in o.text))
        asked = (Open(base.phrase("say-decode-unread", rest=lost)), *left) if lost else left
        whole = r._replace(notes=(*r.notes, *warned.notes), open=asked)
        cautions += warned.cautions
        cites += r.cites
        lines += lines_of(base, whole, n)
        told.append(whole.as_data())
    unread = " ".join(x for x in (None if known else words.rest, lost) if x)
    return {"readings": told, "strength": readings[0].strength, "unread": unread or None}, lines, cites, cautions


_WORD_TABLES = ("code-words", "code-words-ambiguous", "code-strength-marks")


def codes(base: Base, note: str) -> list[CodeForm]:
    """The grammars of the documents that a spelled note can name or hold a form of."""
    gates: Gates = base.section("code-gates")
    index = base.section("code-index")
    possible = {document for _, document, *patterns in index if any(p and may_match(gates, p, note) for p in patterns)}
    nodes = base.kind("code")
    return [_code(base, nodes[i]) for i, document, *_ in index if document in possible]


def _code(base: Base, node: Mapping[str, Any]) -> CodeForm:
    steps = tuple(
        FormStep(s["by"], base.table(s["table"]), s.get("gives", {}), bool(s.get("optional")), s.get("only", {}))
        for s in node.get("steps", ())
    )
    return CodeForm(
        node["id"],
        node["name"],
        node["document"],
        node.get("edition", ""),
        node.get("status", ""),
        float(node["rank"]),
        node.get("named", ""),
        node.get("pattern", ""),
        node.get("parts", {}),
        tuple(node.get("must", ())),
        bool(node.get("alone")),
        node.get("defaults", {}),
        node.get("numbers", {}),
        node.get("sets", {}),
        steps,
        node.get("needs", {}),
        node.get("asks", {}),
        node.get("superseded_by", ""),
        tuple(node.get("equivalents", ())),
        tuple(node.get("notes", ())),
    )
