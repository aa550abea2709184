"""A report as JSON: the same sections, blocks and pictures, for other programs."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.views.data import JSON
from advisor.views.pictures.drawn_shapes import Picture
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

SCHEMA = "advisor/report/1"


def report_json(report: WrittenReport, referral: bool) -> JSON:
    """The whole report; `referral`: a qualified engineer must decide."""
    return {
        "schema": SCHEMA,
        "kind": report.kind,
        "title": report.title,
        "subject": report.subject,
        "made": {"at": report.made.at, "program": report.made.program},
        "knowledge": {"version": report.made.knowledge, "digest": report.made.digest},
        "referral": referral,
        "fields": list(report.fields.labels),
        "sections": [
            {"id": s.id, "heading": s.heading, "blocks": [_block(b) for b in s.blocks]} for s in report.sections
        ],
        "closing": " ".join(report.closing),
    }


def _said(s: Sentence) -> JSON:
    return {"text": s.text, "sources": list(s.marks)}


def _each(sentences: Iterable[Sentence]) -> list[JSON]:
    return [_said(s) for s in sentences]


def _block(block: Block) -> JSON:
    match block:
        case Notice():
            return {"block": "notice", "severity": block.severity, "label": block.label, **_said(block.says)}
        case Paragraph():
            return {"block": "paragraph", "strong": block.strong, "sentences": _each(block.sentences)}
        case Points():
            return {"block": "points", "intro": block.intro, "items": _each(block.items)}
        case Quotation():
            return {"block": "quotation", "label": block.label, "lines": list(block.lines)}
        case Particulars():
            return {"block": "particulars", "pairs": [{"label": k, **_said(s)} for k, s in block.pairs]}
        case Working():
            lines = _each(block.lines)
            out = {"block": "calculation", "name": block.name, "lines": lines, "method": block.method}
            return {**out, "every_step": block.step}
        case _:
            return _laid_out(block)


def _laid_out(block: Grid | Blanks | Gallery | SourceList) -> JSON:
    match block:
        case Grid():
            rows = [_each(r) for r in block.rows]
            return {"block": "table", "caption": block.caption, "heads": list(block.heads), "rows": rows}
        case Blanks():
            return {"block": "fields", "intro": block.intro, "labels": list(block.labels)}
        case Gallery():
            return {"block": "pictures", "pictures": [_picture(p) for p in block.pictures]}
        case SourceList():
            entries = [
                {"number": c.number, "document": c.document, "basis": c.basis, "facts": list(c.nodes)}
                for c in block.entries
            ]
            return {"block": "sources", "entries": entries}


def _picture(p: Picture) -> JSON:
    figures = [{"name": name, "low": low, "high": high, "unit": unit} for name, low, high, unit in p.figures]
    return {"id": p.id, "title": p.title, "text": p.text, "figures": figures}
