"""Finds the finishes of the base that a decoded designation can mean, and the most hours such a coat reaches."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from advisor.graph.base import Base

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


_COLOURS: Mapping[str, tuple[str, ...]] = {
    "clear": ("clear", "blue"),
    "bluish": ("clear", "blue"),
    "yellow iridescent": ("yellow", "gold"),
    "iridescent": ("iridescent",),
    "olive": ("olive",),
    "black": ("black",),
}
_PLATED = ("zinc-electroplate", "zinc-nickel", "zinc-iron", "zinc-cobalt", "cadmium")


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
    score = 0.0
    if w.thickness_um is not None and not (w.family == "zinc-flake" and w.red_h is not None):
        have = _span(base, i, "thickness_um")
        if have is None or not _meets(have, w.thickness_um):
            return None
        score += 2
    cr = f.get("hexavalent_chromium", "unstated")
    if w.hexavalent_chromium in ("yes", "no"):
        if cr not in (w.hexavalent_chromium, "unstated"):
            return None
        score += 2 if cr == w.hexavalent_chromium else 0
    elif w.family in _PLATED and cr == "unstated":
        score += 1
    colours = f.get("colour", ())
    if w.family in _PLATED:
        if w.passivation in ("none", "phosphate"):
            word = "unpassivated" if w.passivation == "none" else "phosphated"
            plain = word in i or (w.passivation == "none" and "as-plated" in i)
            if not plain:
                return None
            score += 3
        elif "unpassivated" in i or "as-plated" in i or "phosphated" in i:
            return None
        if w.passivation is not None and w.passivation in _COLOURS:
            wanted_colours = _COLOURS[w.passivation]
            if w.passivation == "iridescent" and w.family == "zinc-nickel":
                wanted_colours = (*wanted_colours, "silver", "clear")
            if not any(c in colours for c in wanted_colours):
                return None
            score += 2
            if w.passivation == "iridescent" and "yellow" in colours:
                score -= 1
            if w.passivation == "yellow iridescent" and w.hexavalent_chromium == "unstated" and cr == "yes":
                score += 1
    if w.base_salt is not None and f"-{w.base_salt}-" not in i:
        return None
    if w.colour is not None:
        if w.colour not in colours:
            return None
        score += 1
    for key, want in (("sealed", w.sealed), ("lubricated", w.lubricated)):
        have_it = bool(f.get(key))
        if want is not None and have_it != want:
            if key == "sealed" and f.get("top_coat") and want:
                continue
            return None
        if want is None and have_it:
            score -= 0.5
    have_grade = str(f.get("grade") or "").upper()
    if w.grade and have_grade != w.grade.upper() and (have_grade or w.grade.startswith("F")):
        if "-" in w.grade or not have_grade.startswith(w.grade.upper()):
            return None
    if w.family == "zinc-flake" and w.red_h is not None:
        have = _span(base, i, "salt_spray_red_h")
        if have is None or not have[0] <= w.red_h <= have[1]:
            return None
        score += 2
    if not f.get("legacy"):
        score += 0.2
    return score


def _span(base: Base, i: str, quantity: str) -> Span | None:
    figure = base.figure(i, quantity)
    if figure is None or figure.low is None or figure.high is None:
        return None
    return figure.low, figure.high


def _meets(have: Span, asked: Any) -> bool:
    low, high = (min(asked), max(asked)) if isinstance(asked, list) else (asked, asked)
    return have[0] <= float(high) * 1.02 and float(low) <= have[1] * 1.02


def most_hours(base: Base, reading: Mapping[str, Any], rust: str) -> float | None:
    """The most hours that the base knows for the finishes a reading can mean; None when it knows none."""
    ids = [reading["finish"]] if reading["finish"] else _of_thickness(base, reading)
    found: list[float] = []
    for i in ids:
        for quantity in (f"salt_spray_{rust}_push_h", f"salt_spray_{rust}_h"):
            found += [f.high for f in base.figures(i, quantity) if f.high is not None]
    return max(found) if found else None


def _of_thickness(base: Base, reading: Mapping[str, Any]) -> list[str]:
    out = []
    for i in _of_family(base, str(reading["family"])):
        have = _span(base, i, "thickness_um")
        if reading["thickness_um"] is None or (have is not None and _meets(have, reading["thickness_um"])):
            out.append(i)
    return out
