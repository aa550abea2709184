"""Finds the stretches of a line that are designations by a document of the knowledge; it does not decode them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.codes.gates import choices, gates_of, may_match
from advisor.codes.spelling import guarded, spell
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Stretch(NamedTuple):
    """A stretch of a line that is a designation, and how it was known.

    `how`: document (its name, with what follows), form (a written form without a name), number (a bare number of a
    document that the words before or after make one), letters (a short code that only its neighbours tell from a word).
    """

    start: int
    end: int
    how: str


def code_shapes(sections: Mapping[str, Any]) -> dict[str, Any]:
    """What finding and decoding need, made once when the base is compiled.

    `code-shapes`: names, forms, what may follow; `code-gates`: what must stand in a note before a pattern is tried;
    `code-index`: document and patterns of every code; `code-written`: the finishes that are ordered by a text;
    `code-filler`: the words of an order line that say nothing of the coat, each by itself.
    """
    codes, tables = sections.get("code", {}).values(), sections["table"]
    followers: dict[str, list[str]] = {}
    for c in codes:
        if c.get("talk") != "name":
            parts = [p for p in (*c.get("parts", {}).values(), c.get("pattern", "")) if p]
            followers.setdefault(c["document"], []).extend(_unnamed(p) for p in parts)
    documents = [[c["named"], c["document"]] for c in codes if c.get("named") and c.get("talk") != "no"]
    documents += [[p, ""] for p in _said(tables, "code-other-documents")]
    forms = [[c["pattern"], c.get("talk", "")] for c in codes if _stands_alone(c)]
    tails = _said(tables, "code-tails")
    context = {str(r[0]): str(r[1]) for r in tables["code-contexts"]["rows"]} if "code-contexts" in tables else {}
    used = [p for p, _ in (*documents, *forms)]
    words = [p for name in _WORD_TABLES for p in _said(tables, name)]
    patterns = [c.get(k, "") for c in codes for k in ("named", "pattern")]
    shapes = {
        "documents": documents,
        "followers": followers,
        "forms": forms,
        "tails": tails,
        "contexts": context,
        "gates": gates_of(used),
    }
    filler = [c for p in _said(tables, "code-words-filler") for c in choices(p)]
    words += filler
    written: dict[str, list[str]] = {}
    for i, finish in sections.get("finish", {}).items():
        for d in finish.get("designations", ()):
            written.setdefault(spell(str(d["write"])), []).append(i)
    return {
        "code-shapes": shapes,
        "code-gates": gates_of([p for p in (*patterns, *words) if p]),
        "code-index": [[c["id"], c["document"], c.get("named", ""), _alone(c)] for c in codes],
        "code-written": written,
        # what has a blank in it is longer than the words it is made of
        "code-filler": sorted(filler, key=lambda p: (" " not in p, -len(p))),
    }


_WORD_TABLES = ("code-words", "code-words-ambiguous", "code-strength-marks")


def _alone(code: Mapping[str, Any]) -> str:
    """The pattern of a form that needs no document beside it."""
    return str(code.get("pattern", "")) if code.get("alone") else ""


def _stands_alone(code: Mapping[str, Any]) -> bool:
    return bool(_alone(code)) and code.get("talk", "") in ("", "letters")


def _said(tables: Mapping[str, Any], name: str) -> list[str]:
    table = tables.get(name)
    if table is None:
        return []
    at = table["columns"].index("say")
    return [str(row[at]) for row in table["rows"]]


def _unnamed(pattern: str) -> str:
    """A pattern whose groups have no names, so that several can stand side by side."""
    return re.sub(r"\(\?P<\w+>", "(", pattern)


def find(shapes: Mapping[str, Any], text: str) -> list[Stretch]:
    """Designations in a folded line from left to right, what belongs together as one stretch.

    `shapes` is the section `code-shapes` of a base.

    >>> shapes = {"documents": [["iso ?4042", "iso-4042"]], "followers": {"iso-4042": ["zn ?[0-9]+(?:/[ac]n)?"]},
    ...           "forms": [], "tails": ["t[0-7]"], "contexts": {}, "gates": {"iso ?4042": ["4042"]}}
    >>> line = "m10 8.8 iso 4042/zn8/an/t0 please"
    >>> [line[s.start:s.end] for s in find(shapes, line)]
    ['iso 4042/zn8/an/t0']
    """
    found = _documents(shapes, text)
    found += [s for s in _forms(shapes, text) if not _overlaps(found, s.start, s.end)]
    found = sorted(s for s in found if _in_context(shapes, text, s, len(text.strip(" .?!"))))
    out: list[Stretch] = []
    for s in found:
        if out and s.start < out[-1].end:
            if s.end > out[-1].end:
                out[-1] = out[-1]._replace(end=s.end)
        elif out and _joins(shapes, text[out[-1].end : s.start]):
            out[-1] = out[-1]._replace(end=s.end)
        else:
            out.append(s)
    return out


def _documents(shapes: Mapping[str, Any], text: str) -> list[Stretch]:
    named = [
        (m.start(), m.end(), document)
        for pattern, document in shapes["documents"]
        if may_match(shapes["gates"], pattern, text)
        for m in re.compile(guarded(pattern)).finditer(text)
        if m[0]
    ]
    out: list[Stretch] = []
    for start, stop, document in sorted(named, key=lambda n: n[0] - n[1]):
        if _overlaps(out, start, stop):
            continue
        end = _followed(shapes, document, text, stop)
        bare = end == stop and re.fullmatch(r"[0-9]+|[a-z] [0-9]+", text[start:stop]) is not None
        out.append(Stretch(start, end, "number" if bare else "document"))
    return out


def _followed(shapes: Mapping[str, Any], document: str, text: str, end: int) -> int:
    """Where a designation ends that begins with the name of a document: its parts, types, classes and letters."""
    after: Sequence[str] = [*shapes["followers"].get(document, ()), *shapes["tails"]]
    tail = re.compile(rf"[ /,:;-]{{0,3}}(?:{'|'.join(after)})(?![a-z0-9])") if after else None
    while tail is not None and (m := tail.match(text, end)) is not None and m.end() > end:
        end = m.end()
    return end


def _forms(shapes: Mapping[str, Any], text: str) -> list[Stretch]:
    out: list[Stretch] = []
    for pattern, talk in shapes["forms"]:
        if not may_match(shapes["gates"], pattern, text):
            continue
        for m in re.compile(guarded(pattern)).finditer(text):
            letters = talk == "letters"
            end = m.end() if letters else _followed(shapes, "", text, m.end())
            out = [s for s in out if not m.start() <= s.start < s.end <= end or s.end - s.start > end - m.start()]
            if not _overlaps(out, m.start(), end):
                out.append(Stretch(m.start(), end, "letters" if letters else "form"))
    return out


def _in_context(shapes: Mapping[str, Any], text: str, stretch: Stretch, whole: int) -> bool:
    """Whether what could be a word or a number is made a code by its neighbours."""
    if stretch.how in ("document", "form"):
        return True
    contexts = shapes["contexts"]
    if stretch.how == "letters" and stretch.end - stretch.start == whole:
        return True
    if stretch.how == "letters" and re.fullmatch(contexts.get("letters-never", ""), text[stretch.start : stretch.end]):
        return False
    if stretch.how == "number" and re.match(contexts.get("number-never-before", r"\Z\A"), text[stretch.end :]):
        return False
    before = contexts.get(f"{stretch.how}-before")
    after = contexts.get(f"{stretch.how}-after")
    near = text[max(0, stretch.start - 40) : stretch.start]
    return bool(
        (before is not None and re.search(before, near)) or (after is not None and re.match(after, text[stretch.end :]))
    )


def _joins(shapes: Mapping[str, Any], between: str) -> bool:
    """Whether two stretches are one designation: `Fe/Zn 8C per ASTM F1941`."""
    return re.fullmatch(shapes["contexts"].get("joins", r"[ /,:;-]{0,3}"), between) is not None


def _overlaps(found: Sequence[Stretch], start: int, end: int) -> bool:
    return any(s.start < end and start < s.end for s in found)
