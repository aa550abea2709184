"""Reads what stands beside a code in a drawing note: words for the coating, thickness, hours, strength marks, sizes."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.codes.forms import Letter, Open
from advisor.codes.gates import NO_GATES, Gates, may_match
from advisor.codes.spelling import Cover, guarded
from advisor.records import NamedTuple
from advisor.trade.tables import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Words(NamedTuple):
    """The word tables of the knowledge."""

    words: Table
    ambiguous: Table
    strengths: Table
    filler: Table


class Sense(NamedTuple):
    """One sense of a word that stands for several coatings."""

    word: str
    family: str
    means: str
    passivation: str | None
    um_from: float | None = None
    um_to: float | None = None


class Note(NamedTuple):
    """What the words of a note say. `values` joins all of them; `families` lists coats, the outermost first."""

    letters: tuple[Letter, ...]
    values: Mapping[str, Any]
    families: tuple[str, ...]
    senses: tuple[Sense, ...]
    clashes: tuple[tuple[str, str, str], ...]
    asks: tuple[Open, ...]
    cautions: tuple[str, ...]
    thickness_um: float | list[float] | None
    white_h: float | None
    red_h: float | None
    open_h: float | None
    """Hours of a salt-spray test of which the rust is not said."""
    treated: bool
    """Whether a word speaks of a treatment after the coat, such as passivated or sealed."""
    strength: str
    strength_mark: str
    sizes: tuple[str, ...]
    rest: str


def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![/+]){guarded(pattern)}(?![/+])")


_SIZE = (
    (r"m ?[0-9]{1,3}(?:\.[0-9])?(?: ?x ?[0-9]+(?:\.[0-9]+)?){0,2}(?: ?mm)?", "m"),
    (r"#[0-9]{1,2}-[0-9]{2}", "#"),
    (r"(?:[0-9]+[ -])?[0-9]+/[0-9]{1,2}\"?(?:-[0-9]{1,2})?(?: ?x ?[0-9][0-9/ -]*\"?)?", "/"),
)
_UM = r"([0-9]+(?:\.[0-9]+)?)(?: ?(?:-|to) ?([0-9]+(?:\.[0-9]+)?))? ?(?:um|microns?|micrometres?|micrometers?|mu)"
_INCH = r"(0?\.000[0-9]+)\"? ?(?:in(?:ch)?\.?|\")?"
_MIL = r"([0-9]+(?:\.[0-9]+)?) ?mils?"
_RUST_WHITE = r"(?:no |to |until |before |first )*(?:white(?: rust| corrosion)?|wr|wc|zinc corrosion|coating corrosion)"
_RUST_RED = r"(?:no |to |until |before |first )*(?:red(?: rust| corrosion)?|rr|base[ -]?metal corrosion|rust)"
_HOURS = r"([0-9]{1,5}) ?(k)? ?(?:h(?:ours?|rs?|r)?)\.?"


def read_note(cover: Cover, words: Words, gates: Gates = NO_GATES) -> Note:
    """What the stretches of a note that no code took say; marks what it reads in the cover.

    `gates` spare the compiling of words that cannot stand in the note.

    >>> t = Table("w", ("say", "means", "family", "layer", "ask", "asks", "caution"),
    ...           (("bzp", "bright zinc", "zinc-electroplate", 1, None, None, None),))
    >>> none = Table("n", ("say",), ())
    >>> n = read_note(Cover("bzp 8 um, 72h white rust, m8"), Words(t, none, none, none))
    >>> n.families, n.thickness_um, n.white_h, n.sizes, n.rest
    (('zinc-electroplate',), 8, 72, ('m8',), '')
    """
    words = Words(*(_possible(t, cover.text, gates) for t in words))
    strength, mark = _strength(cover, words.strengths)
    hours = _hours(cover)
    thickness = _thickness(cover)
    letters, values, families, clashes, asks, cautions = _words(cover, words.words, _alone(cover, words.ambiguous))
    senses = () if families else _senses(cover, words.ambiguous, values)
    if families:
        _senses(cover, words.ambiguous, values)
    sizes: list[str] = []
    for pattern, held in _SIZE:
        sizes += _take_all(cover, pattern) if held in cover.text else []
    # the longest patterns of all: only where something is left that they could explain
    for row in words.filler.records() if cover.rest() else ():
        _take_all(cover, str(row["say"]))
    return Note(
        tuple(letters),
        values,
        families,
        senses,
        tuple(clashes),
        tuple(dict.fromkeys(asks)),
        tuple(dict.fromkeys(cautions)),
        thickness,
        hours.get("white"),
        hours.get("red"),
        hours.get("open"),
        any(r.startswith(("passivat", "chrom", "seal")) for r in (x.code for x in letters)),
        strength,
        mark,
        tuple(sizes),
        cover.rest(),
    )


def _possible(table: Table, text: str, gates: Gates) -> Table:
    """The rows of a word table that can stand in a text."""
    say = table.columns.index("say")
    return table._replace(rows=tuple(r for r in table.rows if may_match(gates, str(r[say]), text)))


def _take_all(cover: Cover, pattern: str) -> list[str]:
    found = []
    for m in _compiled(pattern).finditer(cover.blanked()):
        found.append(m[0])
        cover.take(m.start(), m.end())
    return found


def _hours(cover: Cover) -> dict[str, float]:
    """Hours with the rust they speak of: before, after, or as a pair white/red such as 72/120 h."""
    out: dict[str, float] = {}

    def number(text: str, thousand: str | None) -> float:
        return float(text) * (1000 if thousand else 1)

    text = cover.blanked()
    if "h" not in text:
        return {}
    for m in _compiled(r"([0-9]{1,4})/([0-9]{1,4}) ?h(?:ours?|rs?)?").finditer(text):
        out.setdefault("white", float(m[1]))
        out.setdefault("red", float(m[2]))
        cover.take(m.start(), m.end())
    for kind, rust in (("white", _RUST_WHITE), ("red", _RUST_RED)):
        for pattern in (
            rf"{_HOURS},? ?(?:nss |sst |salt ?spray |of |test |without |with )*{rust}",
            rf"{rust}[ :]*{_HOURS}",
        ):
            for m in _compiled(pattern).finditer(cover.blanked()):
                out.setdefault(kind, number(m[1], m[2]))
                cover.take(m.start(), m.end())
    for m in _compiled(_HOURS).finditer(cover.blanked()):
        out.setdefault("open", number(m[1], m[2]))
        cover.take(m.start(), m.end())
    return {k: int(v) for k, v in out.items()}


def _thickness(cover: Cover) -> float | list[float] | None:
    found: list[float | list[float]] = []
    total: list[float | list[float]] = []
    text = cover.blanked()
    if not any(c.isdigit() for c in text) or not any(unit in text for unit in ("u", "mi", ".000")):
        return None
    for m in _compiled(rf"{_UM} (?:in all|total|overall)").finditer(cover.blanked()):
        total.append(_n(float(m[1])) if m[2] is None else [_n(float(m[1])), _n(float(m[2]))])
        cover.take(m.start(), m.end())
    for m in _compiled(_UM).finditer(cover.blanked()):
        found.append(_n(float(m[1])) if m[2] is None else [_n(float(m[1])), _n(float(m[2]))])
        cover.take(m.start(), m.end())
    for pattern, factor in ((_INCH, 25400.0), (_MIL, 25.4)):
        for m in _compiled(pattern).finditer(cover.blanked()):
            found.append(_n(round(float(m[1]) * factor, 1)))
            cover.take(m.start(), m.end())
    if total:
        return total[-1]
    singles = [f for f in found if not isinstance(f, list)]
    return None if not found else found[0] if len(found) == 1 else singles or found[0]


def _n(value: float) -> float:
    return int(value) if value.is_integer() else value


def _strength(cover: Cover, marks: Table) -> tuple[str, str]:
    for row in marks.records():
        m = _compiled(str(row["say"])).search(cover.blanked())
        if m is not None:
            cover.take(m.start(), m.end())
            return str(row["strength"]).replace("*", m[1]), m[0]
    return "", ""


_NOT_VALUES = ("say", "means", "family", "layer", "ask", "asks", "caution")


def _words(
    cover: Cover, table: Table, alone: frozenset[str]
) -> tuple[list[Letter], dict[str, Any], tuple[str, ...], list[tuple[str, str, str]], list[Open], list[str]]:
    found: list[tuple[int, int, Mapping[str, Any]]] = []
    text = cover.blanked()
    for row in table.records():
        found += [(m.start(), m.end(), row) for m in _compiled(str(row["say"])).finditer(text) if m.end() > m.start()]
    found.sort(key=lambda f: (f[0] - f[1], f[0]))
    letters: list[Letter] = []
    values: dict[str, Any] = {}
    coats: dict[str, float] = {}
    clashes: list[tuple[str, str, str]] = []
    asks: list[Open] = []
    cautions: list[str] = []
    taken: list[tuple[int, int, Mapping[str, Any]]] = []
    for start, end, row in found:
        if any(c == "|" for c in text[start:end]) or not cover.free(start, end):
            continue
        if text[start:end] in alone and not any(r["family"] for _, _, r in found):
            continue
        cover.take(start, end)
        taken.append((start, end, row))
    for start, end, row in sorted(taken, key=lambda f: f[0]):
        letters.append(Letter(text[start:end], str(row["means"])))
        if row["family"]:
            coats[str(row["family"])] = max(float(row["layer"] or 0), coats.get(str(row["family"]), 0))
        for key, cell in row.items():
            if key in _NOT_VALUES or cell is None:
                continue
            if key in values and values[key] != cell:
                clashes.append((key, str(values[key]), str(cell)))
                values[key] = None
            else:
                values[key] = cell
        if row["ask"]:
            asks.append(Open(str(row["ask"]), (str(row["asks"]),) if row["asks"] else ()))
        if row["caution"]:
            cautions.append(str(row["caution"]))
    top = max(coats.values(), default=0)
    families = tuple(f for f, layer in coats.items() if layer == top)
    return letters, values, families, clashes, asks, cautions


def _alone(cover: Cover, table: Table) -> frozenset[str]:
    """The ambiguous words of a note when there is only one: they are senses then, not colours beside another word."""
    text = cover.blanked()
    found = {m[0] for row in table.records() for m in _compiled(str(row["say"])).finditer(text)}
    return frozenset(found) if len(found) == 1 else frozenset()


def _senses(cover: Cover, table: Table, values: Mapping[str, Any]) -> tuple[Sense, ...]:
    out: list[Sense] = []
    text = cover.blanked()
    for row in table.records():
        m = _compiled(str(row["say"])).search(text)
        if m is None:
            continue
        cover.take(m.start(), m.end())
        limits = [None if (cell := row[c]) is None else float(cell) for c in ("um_from", "um_to")]
        film = row["passivation"]
        out.append(Sense(m[0], str(row["family"]), str(row["means"]), None if film is None else str(film), *limits))
    first = out[0].word if out else ""
    return tuple(s for s in out if s.word == first)
