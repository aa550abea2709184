"""Reads a coating designation: the grammars come in as data, every reading that the letters allow goes out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from advisor.codes.forms import CodeForm, Decoded, DecodedReading, FormStep, Letter, Open, Unknown
from advisor.codes.gates import NO_GATES, Gates, may_match
from advisor.codes.spelling import Cover, guarded, plain, roman
from advisor.expressions import expression
from advisor.records import NamedTuple
from advisor.trade.tables import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class _Hit(NamedTuple):
    code: CodeForm
    start: int
    end: int
    groups: Mapping[str, str]
    spans: tuple[tuple[int, int], ...]


def _compiled(pattern: str) -> re.Pattern[str]:
    # the standard library remembers the last few hundred patterns, and forgets the rest
    return re.compile(guarded(pattern))


def read_codes(note: str, codes: Sequence[CodeForm], gates: Gates = NO_GATES) -> Decoded:
    """Every reading of a spelled note (see `designation_text.spell`) by the grammars given, best first.

    A code counts when its pattern stands in the note, or its document is named there. Where two grammars share the
    same letters both readings come out; a longer code swallows the shorter ones within it. A code that goes on with
    letters glued to it, or with a letter that its table does not have, is not read but reported in `unknown`.
    `gates` spare the compiling of what cannot match.

    >>> metals = Table("m", ("code", "means", "family"), (("A", "zinc", "zinc-electroplate"),))
    >>> code = CodeForm("c", "Old code", "old", "", "legacy", 1, "", "(?P<metal>[a-z])(?P<digit>[0-9])", {}, (), True,
    ...             {}, {}, {}, (FormStep({"code": "metal"}, metals, {}),), {}, {}, "", (), ())
    >>> found = read_codes("8.8 a2", [code])
    >>> found.readings[0].values["family"], found.readings[0].letters[0].means
    ('zinc-electroplate', 'zinc')
    >>> read_codes("x2", [code]).unknown[0].part
    'x'
    """
    names = _names(note, codes, gates)
    named = {hit.code.document for hit in names}
    without = Cover(note)
    for hit in names:
        without.take(hit.start, hit.end)
    hits, glued = _pattern_hits(note, codes, named, gates)
    found = {h.code.document for h in hits}
    hits += _named_hits(without.blanked(), codes, names, found)
    hits = [h for h in hits if h.code.document in named or not _covered(h, hits, named)]
    read = {h.code.document for h in hits}
    names = [n for n in names if n.code.document in read or not n.code.must]
    named = {n.code.document for n in names}
    cover = Cover(note)
    for hit in names:
        cover.take(hit.start, hit.end)
    readings: list[DecodedReading] = []
    unknown: list[Unknown] = list(glued)
    for hit in hits:
        for start, end in hit.spans:
            cover.take(start, end)
        foreign = _foreign(hit, hits, names, named)
        made = _apply(hit, note, foreign)
        if isinstance(made, Unknown):
            unknown.append(made)
        else:
            readings.append(made)
    readings.sort(key=lambda r: (len(r.foreign), r.weight, r.code.rank))
    return Decoded(tuple(readings), tuple(unknown), cover)


def _covered(hit: _Hit, hits: Sequence[_Hit], named: set[str]) -> bool:
    """Whether a reading of a document that the note does name has taken the same letters."""
    return any(
        a < d and c < b for other in hits if other.code.document in named for a, b in other.spans for c, d in hit.spans
    )


def _names(note: str, codes: Iterable[CodeForm], gates: Gates) -> list[_Hit]:
    """Where the documents are named, the longer name first where two overlap."""
    found: list[_Hit] = []
    for code in codes:
        if code.named and may_match(gates, code.named, note):
            found += [
                _Hit(code, m.start(), m.end(), m.groupdict(), ((m.start(), m.end()),))
                for m in _compiled(code.named).finditer(note)
            ]
    return [
        h
        for h in found
        if not any(o.start <= h.start and h.end <= o.end and o.end - o.start > h.end - h.start for o in found)
    ]


_GLUE = expression(r"[/+][a-z0-9]|-(?:[a-z]|\d)(?![a-z0-9.])|[/+]{2}")


def _pattern_hits(
    note: str, codes: Iterable[CodeForm], named: set[str], gates: Gates
) -> tuple[list[_Hit], list[Unknown]]:
    hits: list[_Hit] = []
    for code in codes:
        if not code.pattern or not (code.alone or code.document in named):
            continue
        if not may_match(gates, code.pattern, note):
            continue
        for m in _compiled(code.pattern).finditer(note):
            groups = {k: v for k, v in m.groupdict().items() if v is not None}
            hits.append(_Hit(code, m.start(), m.end(), groups, ((m.start(), m.end()),)))
    kept = [
        h
        for h in hits
        if not any(o.start <= h.start and h.end <= o.end and o.end - o.start > h.end - h.start for o in hits)
    ]
    good: list[_Hit] = []
    glued: list[Unknown] = []
    for h in kept:
        follows = _GLUE.match(note, h.end)
        if follows is None:
            good.append(h)
        else:
            rest = re.match(r"\S+", note[h.end :])
            tail = (rest[0] if rest else "").rstrip(".,;:)")
            if not any(o.start == h.end + 1 for o in kept):
                glued.append(Unknown(h.code, note[h.start : h.end] + tail, tail.lstrip("/-+"), (), ()))
            else:
                good.append(h)
    return good, glued


def _named_hits(blank: str, codes: Iterable[CodeForm], names: Sequence[_Hit], found: set[str]) -> list[_Hit]:
    """Readings of documents that are named but whose pattern does not stand in the note."""
    out: list[_Hit] = []
    documents = {h.code.document for h in names}
    for document in sorted(documents - found):
        where = [h for h in names if h.code.document == document]
        own = {h.code.id for h in where}
        best: list[tuple[int, _Hit]] = []
        for code in codes:
            if code.document != document or (code.named and code.id not in own):
                continue
            if not code.named and not code.parts:
                continue
            groups: dict[str, str] = {}
            spans = [(h.start, h.end) for h in where]
            for h in where:
                if h.code.id == code.id:
                    groups.update({k: v for k, v in h.groups.items() if v is not None})
            for part, pattern in code.parts.items():
                m = _compiled(pattern).search(blank)
                if m is not None:
                    groups[part] = next((g for g in m.groups() if g is not None), m[0])
                    spans.append((m.start(), m.end()))
            if any(part not in groups for part in code.must):
                continue
            first = where[0]
            best.append((len(groups), _Hit(code, first.start, first.end, groups, tuple(spans))))
        most = max((n for n, _ in best), default=0)
        chosen = [h for n, h in best if n == most]
        if most == 0 and chosen:
            chosen = [min(chosen, key=lambda h: h.code.rank)]
        out += chosen
    return out


def _foreign(hit: _Hit, hits: Sequence[_Hit], names: Sequence[_Hit], named: set[str]) -> tuple[str, ...]:
    if not named or hit.code.document in named:
        return ()
    return tuple(dict.fromkeys(h.code.name for h in names))


_BESIDE = ("means", "basis")
"""Columns of a letter table that say something of the row, not of the coat."""


def _apply(hit: _Hit, note: str, foreign: tuple[str, ...]) -> DecodedReading | Unknown:
    """Look the captured letters up, table after table."""
    code = hit.code
    groups = {k: roman(v) if k == "type" else v for k, v in {**code.defaults, **hit.groups}.items()}
    values: dict[str, Any] = dict(code.sets)
    fixed: set[str] = set()
    letters: list[Letter] = []
    missing: list[Open] = []
    notes: list[str] = []
    clashes: list[tuple[str, str, str]] = []
    tables: list[str] = []
    explained: set[str] = set()
    weight = 0.0
    text = note[hit.start : hit.end]

    def put(key: str, value: Any) -> None:
        old = values.get(key)
        if key == "hexavalent_chromium" and "unstated" in (old, value) and key in fixed:
            values[key] = value if old == "unstated" else old
            return
        if key in fixed and old != value and not (old is None or _same(old, value)):
            if isinstance(value, str) and value.startswith("+"):
                return
            clashes.append((key, str(old), str(value)))
            values[key] = None
            return
        values[key] = value
        fixed.add(key)

    for group, key in code.numbers.items():
        if groups.get(group):
            put(key, _number(groups[group]))
    for step in code.steps:
        keys = {column: groups.get(name, values.get(name)) for column, name in step.by.items()}
        if any(v is None for v in keys.values()) or any(values.get(k) != v for k, v in step.only.items()):
            continue
        row = _row(step.table, keys)
        asked = "".join(str(groups[name]) for name in step.by.values() if name in groups)
        if row is None:
            if step.optional or not asked:
                continue
            first = next(iter(step.by))
            allowed = tuple(dict.fromkeys(str(c) for c in step.table.column(first) if c not in (None, "")))
            return Unknown(code, text, asked, allowed, tuple(letters))
        tables.append(step.table.id)
        if row.get("means") and asked:
            letters.append(Letter(_as_printed(row, step, groups, explained) or asked, str(row["means"])))
            explained |= {name for name in step.by.values() if name in groups}
        gives = step.gives or {c: c for c in step.table.columns if c not in step.by and c not in _BESIDE}
        for column, key in gives.items():
            cell = row[column]
            if cell is None or key == "asks":
                continue
            if key == "weight":
                weight += float(cell)
            elif key == "missing":
                asks = row.get("asks")
                missing.append(Open(str(cell), (str(asks),) if asks else ()))
            elif key == "note":
                notes.append(str(cell))
            else:
                put(key, cell)
    needed = [n for n in code.needs if not groups.get(n) and values.get(n) is None]
    missing = [Open(code.needs[n], tuple(code.asks.get(n, ()))) for n in needed] + missing
    return DecodedReading(
        code,
        text,
        values,
        tuple(letters),
        tuple(missing),
        tuple(clashes),
        tuple(tables),
        foreign,
        weight,
        tuple(notes),
    )


def _as_printed(row: Mapping[str, Any], step: FormStep, groups: Mapping[str, str], explained: set[str]) -> str:
    """The letters in the spelling of the table, without those explained before."""
    new = [column for column, name in step.by.items() if groups.get(name) and name not in explained]
    return "".join(str(row[column]) for column in new)


def _row(table: Table, keys: Mapping[str, Any]) -> Mapping[str, Any] | None:
    # blanks inside a code change nothing: Fe/Zn 8 c 2C
    wanted = {column: plain(v).replace(" ", "") for column, v in keys.items()}
    for row in table.records():
        if all(plain(row[column]).replace(" ", "") == value for column, value in wanted.items()):
            return row
    return None


def _number(text: str) -> float | int:
    value = float(text)
    return int(value) if value.is_integer() else value


def _same(old: Any, new: Any) -> bool:
    return plain(old) == plain(new)
