"""Finds the finishes of the base that a decoded designation can mean, and the most hours such a coat reaches."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.codes.callout import Callout
from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Span = tuple[float, float]


class Wanted(NamedTuple):
    """What a designation says of the finish; None where it says nothing."""

    family: str | None
    thickness_um: Any
    passivation: str | None
    hexavalent_chromium: str
    sealed: bool | None
    lubricated: bool | None
    red_h: float | None
    grade: str
    colour: str | None
    source: str = ""
    """The document that the designation is of, as a source id."""
    base_salt: str | None = None
    """The metal of a phosphate: zinc, manganese or iron."""


def fitting(base: Base, notes: tuple[str, ...], wanted: Wanted) -> tuple[str, ...]:
    """Ids of the finishes that agree with everything a designation says, the nearest first; empty when none does."""
    if wanted.family is None:
        return ()
    scored: list[tuple[float, int, str]] = []
    usual = base.kind("family")[wanted.family].get("usual")
    document = _document(wanted.source)
    ordered = base.section("code-written")
    by_text = {i for note in notes for i in ordered.get(note, ())}
    finishes = base.kind("finish")
    for n, i in enumerate(_of_family(base, wanted.family)):
        f = finishes[i]
        written = i in by_text
        score = _score(base, i, f, wanted)
        if score is None and not written:
            continue
        named = document and any(_document(str(d["standard"])) == document for d in f.get("designations", ()))
        bonus = (20 if written else 0) + (1 if named else 0) + (0.6 if i == usual else 0)
        scored.append((-(score or 0) - bonus, n, i))
    scored.sort()
    best = scored[0][0] if scored else 0
    return tuple(i for s, _, i in scored if s <= best + 8)


def _of_family(base: Base, family: str) -> list[str]:
    """The finishes of a family in the order of the base; the others are not even loaded."""
    masks = base.section("masks")
    return [i for i, of in zip(masks["finishes"], masks["family"], strict=True) if of == family]


def _document(source: str) -> str:
    return re.sub(r"-(?:19|20)\d\d$", "", source)


def _score(base: Base, i: str, f: Mapping[str, Any], w: Wanted) -> float | None:
    """How well a finish agrees; None when it contradicts."""
    family = base.kind("family")[str(w.family)]
    filmed = family.get("film") == "required"
    by_hours = family.get("sized_by") == "hours" and w.red_h is not None
    parts = [
        0.0 if by_hours else _by_thickness(base, i, w),
        _by_chromium(f, w, filmed),
        _by_film(base, f, w) if filmed else 0.0,
        _by_extras(f, w),
        _by_grade(f, w),
        _by_hours(base, i, w) if by_hours else 0.0,
    ]
    if any(p is None for p in parts):
        return None
    return sum(p for p in parts if p is not None) + (0.0 if f.get("legacy") else 0.2)


def _by_thickness(base: Base, i: str, w: Wanted) -> float | None:
    if w.thickness_um is None:
        return 0.0
    have = _span(base, i, "thickness_um")
    return 2.0 if have is not None and _meets(have, w.thickness_um) else None


def _by_chromium(f: Mapping[str, Any], w: Wanted, filmed: bool) -> float | None:
    have = f.get("hexavalent_chromium", "unstated")
    if w.hexavalent_chromium in ("yes", "no"):
        if have not in (w.hexavalent_chromium, "unstated"):
            return None
        return 2.0 if have == w.hexavalent_chromium else 0.0
    return 1.0 if filmed and have == "unstated" else 0.0


def _by_film(base: Base, f: Mapping[str, Any], w: Wanted) -> float | None:
    """The film: none and phosphate are fields of a finish, the others are looked for by their colours."""
    bare = f.get("film")
    if w.passivation in ("none", "phosphate"):
        return 3.0 if bare == w.passivation else None
    if bare is not None:
        return None
    rows = [r for r in base.table("code-film-colours").records() if r["film"] == w.passivation]
    if not rows:
        return 0.0
    colours = set(f.get("colour", ()))
    wanted = {r["colour"] for r in rows if r["family"] in (None, w.family)}
    if not wanted & colours:
        return None
    # a colour that the film does not have speaks against it; an old film that is not said to be new is the old one
    beside = "yellow" in colours - wanted
    old = f.get("hexavalent_chromium") == "yes" and w.hexavalent_chromium == "unstated"
    return 2.0 - (1 if beside else 0) + (1 if old and any(r["now"] for r in rows) else 0)


def _by_extras(f: Mapping[str, Any], w: Wanted) -> float | None:
    """Salt of a phosphate, colour, sealer and lubricant."""
    if w.base_salt is not None and f.get("salt") != w.base_salt:
        return None
    if w.colour is not None and w.colour not in f.get("colour", ()):
        return None
    score = 0.0 if w.colour is None else 1.0
    for key, want in (("sealed", w.sealed), ("lubricated", w.lubricated)):
        have = bool(f.get(key))
        covered = key == "sealed" and bool(f.get("top_coat")) and bool(want)
        if want is not None and have != want and not covered:
            return None
        score -= 0.5 if want is None and have else 0.0
    return score


def _by_grade(f: Mapping[str, Any], w: Wanted) -> float | None:
    have = str(f.get("grade") or "").upper()
    wanted = w.grade.upper()
    if not wanted or have == wanted or not (have or wanted.startswith("F")):
        return 0.0
    return None if "-" in wanted or not have.startswith(wanted) else 0.0


def by_class(grade: str) -> bool:
    """Whether a grade of stainless steel names its strength class: A2-70, F593C.

    >>> by_class("A2-70"), by_class("A2"), by_class("F593C")
    (True, False, True)
    """
    return re.search(r"-[0-9]|^F593", grade) is not None


def _by_hours(base: Base, i: str, w: Wanted) -> float | None:
    have = _span(base, i, "salt_spray_red_h")
    return 2.0 if have is not None and w.red_h is not None and have[0] <= w.red_h <= have[1] else None


def _span(base: Base, i: str, quantity: str) -> Span | None:
    figure = base.figure(i, quantity)
    if figure is None or figure.low is None or figure.high is None:
        return None
    return figure.low, figure.high


def _meets(have: Span, asked: Any) -> bool:
    low, high = (min(asked), max(asked)) if isinstance(asked, list) else (asked, asked)
    return have[0] <= float(high) * 1.02 and float(low) <= have[1] * 1.02


def most_hours(base: Base, reading: Callout, rust: str) -> float | None:
    """The most hours that the base knows for the finishes a reading can mean; None when it knows none."""
    ids = [reading.finish] if reading.finish else _of_thickness(base, reading)
    found: list[float] = []
    for i in ids:
        for quantity in (f"salt_spray_{rust}_push_h", f"salt_spray_{rust}_h"):
            found += [f.high for f in base.figures(i, quantity) if f.high is not None]
    return max(found) if found else None


def _of_thickness(base: Base, reading: Callout) -> list[str]:
    out = []
    for i in _of_family(base, str(reading.family)):
        have = _span(base, i, "thickness_um")
        if reading.thickness_um is None or (have is not None and _meets(have, reading.thickness_um)):
            out.append(i)
    return out
