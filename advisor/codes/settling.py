"""Settles a reading: what is answered falls away, the finishes that fit are found, hours and strength are noted."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.codes.callout import Callout, still_open
from advisor.codes.forms import Decoded, Letter, Open
from advisor.codes.matching import Wanted, by_class, fitting
from advisor.codes.notes import Note
from advisor.codes.spelling import spell
from advisor.graph.base import Base

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def finished(
    base: Base,
    note: str,
    start: Callout,
    values: dict[str, Any],
    questions: list[Open],
    asked: list[Open],
    words: Note,
) -> Callout:
    """The reading with its values, the finishes that fit, and the questions that are left."""
    values.setdefault("hexavalent_chromium", "unstated")
    notes = [*start.notes, *_hours_noted(base, values, words)]
    questions = [*questions, *_rust_asked(base, values, words)]
    if words.strength:
        notes.append(_strength_note(base, words))
    grade = _grade(values, start.letters)
    wanted = _wanted(base, start, values, grade)
    fits = fitting(base, (note, start.code), wanted)
    settled = _settled(base, values, grade)
    strength = base.kind("strength").get(words.strength.lower(), {}).get("grade", words.strength)
    made = start._replace(
        family=values.get("family"),
        finish=fits[0] if fits and settled else None,
        also=fits[1:] if settled else fits,
        thickness_um=values.get("thickness_um"),
        salt_spray_white_h=values.get("salt_spray_white_h"),
        salt_spray_red_h=values.get("salt_spray_red_h"),
        strength=strength or (grade if not values.get("thickness_um") else "") or None,
        letters=(*start.letters, *words.letters),
        open=(*questions, *still_open(base, asked, _answered(values))),
        notes=tuple(notes),
        passivation=values.get("passivation"),
        hexavalent_chromium=str(values["hexavalent_chromium"]),
        sealed=values.get("sealed"),
        lubricated=values.get("lubricated"),
        top_coat=values.get("top_coat"),
    )
    if not made.current_equivalents and made.finish:
        free = _chromium_free(base, wanted) if made.hexavalent_chromium == "yes" else ()
        now = _equivalents_of(base, (*free, made.finish)[0])
        made = made._replace(current_equivalents=() if any(spell(d).endswith(made.code) for d in now) else tuple(now))
    return made


def _wanted(base: Base, start: Callout, values: Mapping[str, Any], grade: str) -> Wanted:
    code = base.kind("code").get(start.cites[0])
    return Wanted(
        values.get("family"),
        values.get("thickness_um"),
        values.get("passivation"),
        str(values["hexavalent_chromium"]),
        values.get("sealed"),
        values.get("lubricated"),
        values.get("salt_spray_red_h"),
        grade,
        values.get("colour"),
        str(code["source"]) if code is not None else "",
        values.get("base"),
    )


def _hours_noted(base: Base, values: dict[str, Any], words: Note) -> list[str]:
    """Fills hours that the note asks for; a note where they differ from those of the code."""
    out: list[str] = []
    for rust, asked in (("white", words.white_h), ("red", words.red_h)):
        own = values.get(f"salt_spray_{rust}_h")
        if asked is not None and own is None:
            values[f"salt_spray_{rust}_h"] = asked
        elif asked is not None and own != asked:
            out.append(base.phrase("say-decode-asked-more", asked=f"{asked:g}", rust=rust, own=f"{own:g}"))
    return out


def _rust_asked(base: Base, values: dict[str, Any], words: Note) -> list[Open]:
    """Hours of which the rust is not said: red where the coat is sized by them, else a question."""
    if words.open_h is None:
        return []
    family = values.get("family")
    by_hours = family is not None and base.kind("family")[family].get("sized_by") == "hours"
    if by_hours and values.get("salt_spray_red_h") in (None, words.open_h):
        values["salt_spray_red_h"] = words.open_h
        return []
    if values.get("salt_spray_red_h") == words.open_h:
        return []
    return [Open(base.phrase("say-decode-which-rust", hours=f"{words.open_h:g}"))]


def _chromium_free(base: Base, wanted: Wanted) -> tuple[str, ...]:
    """The finishes nearest to one with hexavalent chromium that hold none."""
    now = {str(r["film"]): str(r["now"]) for r in base.table("code-film-colours").records() if r["now"]}
    free = wanted._replace(
        hexavalent_chromium="no", passivation=now.get(wanted.passivation or "", wanted.passivation), grade="", source=""
    )
    return fitting(base, (), free) or fitting(base, (), free._replace(sealed=None))


def _settled(base: Base, values: Mapping[str, Any], grade: str) -> bool:
    """Whether the designation says enough to name one finish."""
    family = values.get("family")
    if family is None:
        return False
    node = base.kind("family")[family]
    if node.get("film") == "required" and values.get("passivation") is None:
        return False
    if node.get("film") == "optional" and values.get("hexavalent_chromium") == "unstated":
        return False
    sized = {
        "thickness": values.get("thickness_um") is not None,
        "hours": bool(values.get("salt_spray_red_h") or values.get("grade")),
        "class": by_class(grade),
    }
    return sized.get(str(node.get("sized_by")), True)


def _grade(values: Mapping[str, Any], letters: Sequence[Letter]) -> str:
    if values.get("grade"):
        return str(values["grade"])
    steel = next((x.code for x in letters if re.fullmatch(r"[ACDF][1-8]", x.code)), "")
    number = next((x.code for x in letters if x.code.isdigit()), "")
    return f"{steel}-{number}" if steel and number else steel


def _equivalents_of(base: Base, finish_id: str) -> list[str]:
    finish = base.finish(finish_id)
    return [d["write"] for d in finish.get("designations", ()) if d.get("status", "current") == "current"][:3]


def _strength_note(base: Base, words: Note) -> str:
    for row in base.table("code-strength-marks").records():
        m = re.fullmatch(str(row["say"]), words.strength_mark)
        if m is not None:
            return base.phrase("say-decode-strength", mark=words.strength_mark, means=row["means"])
    return base.phrase("say-decode-strength", mark=words.strength_mark, means=words.strength)


def unread(base: Base, found: Decoded, words: Note) -> list[Open]:
    """What of a note was not understood, as questions."""
    out = [
        Open(base.phrase("say-decode-unknown", text=u.text, part=u.part, code=u.code.name))
        for u in found.unknown
        if not any(r.text == u.text for r in found.readings)
    ]
    if words.rest:
        out.append(Open(base.phrase("say-decode-unread", rest=words.rest)))
    return out


def _answered(values: Mapping[str, Any]) -> frozenset[str]:
    """What the values settle, as slugs."""
    found = {
        "thickness": values.get("thickness_um"),
        "film": values.get("passivation"),
        "chromium": values.get("hexavalent_chromium") in ("yes", "no") or None,
        "hours": values.get("salt_spray_red_h"),
        "coating": values.get("family"),
    }
    return frozenset(slug for slug, value in found.items() if value is not None)
