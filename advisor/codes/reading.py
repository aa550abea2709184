"""Joins what the codes and the words of a note say into the readings that decode answers, and never past them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from advisor.codes.grammar import Decoded, Reading
from advisor.codes.matching import Wanted, fitting
from advisor.codes.notes import Note, Sense
from advisor.codes.spelling import plain_name, shown, spell
from advisor.graph.base import Base

HOT_DIPPED = ("hot-dip-galvanized",)
FIELDS = ("passivation", "hexavalent_chromium", "sealed", "lubricated", "top_coat")
FILMED = ("zinc-electroplate", "zinc-nickel", "zinc-iron", "zinc-cobalt", "cadmium")


def readings_of(base: Base, note: str, found: Decoded, words: Note) -> list[dict[str, Any]]:
    out: list[dict[str, Any]] = []
    for read in found.readings:
        if read.values.get("family") is None and not words.families and words.rest and not read.letters:
            continue
        out.append(_from_code(base, note, read, found, words))
    if not out and found.readings:
        return []
    if any(r["family"] is not None for r in out):
        treatments = {read.code.name for read in found.readings if read.values.get("treatment")}
        out = [r for r in out if r["standard"] not in treatments]
    if out:
        texts = _codes_apart(found)
        if len(texts) > 1:
            for r in out:
                r["incomplete"].insert(0, base.phrase("say-decode-two-codes", texts=" and ".join(texts)))
        return out
    if words.families and not (found.unknown and len(found.unknown[0].text) > 3):
        out = [_from_words(base, note, f, None, words, found) for f in words.families]
    elif words.senses and not found.unknown:
        for s in _possible(base, words):
            out.append(_from_words(base, note, s.family, s.passivation, words, found))
        for r in out:
            if len(out) > 1:
                r["finish"] = None
                r["current_equivalents"] = []
                r["incomplete"].insert(0, base.phrase("say-decode-several", word=words.senses[0].word))
    elif not found.unknown and not words.rest and _says_something(words):
        out = [_from_words(base, note, None, None, words, found)]
    if len(words.families) > 1:
        for r in out:
            r["incomplete"].insert(
                0, base.phrase("say-decode-clash", key="coating", old=words.families[0], new=words.families[1])
            )
    return out


def _codes_apart(found: Decoded) -> list[str]:
    """The codes of a note that are different stretches of it, each naming a coat."""
    texts = dict.fromkeys(r.text for r in found.readings if r.values.get("family") and not r.values.get("treatment"))
    return [t for t in texts if not any(t != o and t in o for o in texts)]


def _possible(base: Base, words: Note) -> list[Sense]:
    """The senses of an ambiguous word that agree with the film and the thickness said beside it."""
    kept = list(words.senses)
    film = words.values.get("passivation") not in (None, "none") or "hexavalent_chromium" in words.values
    film = film or any(x.code.startswith(("passivat", "chrom", "seal")) for x in words.letters)
    um = words.thickness_um
    if film:
        kept = [s for s in kept if s.family in FILMED] or kept
    if isinstance(um, (int, float)):
        kept = [s for s in kept if s.family not in HOT_DIPPED or um >= THINNEST_DIP_UM] or kept
        kept = [s for s in kept if s.family in HOT_DIPPED or um <= THICKEST_PLATE_UM] or kept
    return kept


THINNEST_DIP_UM, THICKEST_PLATE_UM = 20, 40
"""ISO 1461:1999 least local thickness of small spun parts; the top digit of DIN 267-9."""


def _says_something(words: Note) -> bool:
    left_open = any("leaves it open" in a for a in words.asks)
    hours = words.white_h or words.red_h or words.open_h
    return bool(left_open or words.strength or (hours and words.letters) or words.values.get("passivation"))


def _from_code(base: Base, note: str, r: Reading, found: Decoded, words: Note) -> dict[str, Any]:
    values = dict(r.values)
    incomplete = [base.phrase("say-decode-clash", key=plain_name(k), old=a, new=b) for k, a, b in r.clashes]
    notes = [*r.code.notes, *values.pop("_notes", [])]
    asked_after = list(r.missing)
    for key in FIELDS:
        own, word = values.get(key), words.values.get(key)
        if word is None:
            continue
        if own is None or (key == "hexavalent_chromium" and own == "unstated"):
            values[key] = word
            if key == "hexavalent_chromium":
                asked_after = [m for m in asked_after if "Cr(VI)" not in m]
        elif key == "hexavalent_chromium" and word == "yes" and r.code.sets.get(key) == own:
            values[key] = word  # the document allows none by itself, but the note orders a chromate on top
        elif own != word and not _near(key, own, word):
            incomplete.append(base.phrase("say-decode-clash", key=plain_name(key), old=shown(own), new=shown(word)))
    if words.values.get("passivation") is not None and any(m.startswith("the conversion film") for m in asked_after):
        asked_after = [m for m in asked_after if not m.startswith("the conversion film")]
        if values.get("hexavalent_chromium") not in ("yes", "no"):
            asked_after.append(base.phrase("say-decode-no-chromium"))
    family = values.get("family")
    if family is None and len(words.families) == 1 and not values.get("symbol"):
        values["family"] = family = words.families[0]
    elif words.families and family is not None and family not in words.families:
        incomplete.append(base.phrase("say-decode-clash", key="coating", old=family, new=words.families[0]))
    own_um = values.get("thickness_um")
    if words.thickness_um is not None:
        if own_um is None and "thickness_um" not in [k for k, _, _ in r.clashes]:
            values["thickness_um"] = words.thickness_um
            asked_after = [m for m in asked_after if not m.startswith("the thickness")]
        elif own_um is not None and own_um != words.thickness_um:
            incomplete.append(
                base.phrase("say-decode-clash", key="thickness", old=shown(own_um), new=shown(words.thickness_um))
            )
    if r.foreign:
        incomplete.insert(0, base.phrase("say-decode-foreign", names=", ".join(r.foreign), code=r.code.name))
    incomplete += asked_after
    incomplete += _unread(base, found, words)
    reading: dict[str, Any] = {
        "standard": r.code.name,
        "edition": values.get("edition") or r.code.edition or None,
        "status": values.get("status") or r.code.status or None,
        "code": r.text,
        "superseded_by": r.code.superseded_by or None,
        "current_equivalents": _equivalents(r, values),
    }
    return _finished(base, note, reading, values, incomplete, notes, words, r.letters, [r.code.id, *r.tables])


def _from_words(
    base: Base, note: str, family: str | None, passivation: str | None, words: Note, found: Decoded
) -> dict[str, Any]:
    values: dict[str, Any] = {k: v for k, v in words.values.items() if v is not None}
    values["family"] = family
    if passivation is not None:
        values.setdefault("passivation", passivation)
    values["thickness_um"] = words.thickness_um
    incomplete = [base.phrase("say-decode-clash", key=plain_name(k), old=a, new=b) for k, a, b in words.clashes]
    if family is None:
        left_open = any("leaves it open" in a for a in words.asks)
        what = words.strength_mark or "hours or a colour"
        incomplete.append(
            base.phrase("say-decode-open") if left_open else base.phrase("say-decode-no-coating", what=what)
        )
    else:
        material = base.kind("family")[family]["process"] == "base-material"
        if not material:
            incomplete.append(base.phrase("say-decode-no-standard"))
        if words.thickness_um is None and base.kind("family")[family]["process"] in ("electroplated", "mechanical"):
            incomplete.append(base.phrase("say-decode-no-thickness"))
        if family == "zinc-flake" and not (words.open_h or words.red_h):
            incomplete.append(base.phrase("say-decode-no-hours"))
        if family in FILMED and values.get("passivation") is None:
            incomplete.append(base.phrase("say-decode-no-film"))
        elif family in FILMED and values.get("hexavalent_chromium") is None and not words.asks:
            incomplete.append(base.phrase("say-decode-no-chromium"))
        process = base.kind("family")[family]
        clean = (*HOT_DIPPED, "thermal-diffusion-zinc")
        if family in clean or process["process"] in ("none", "base-material"):
            values.setdefault("hexavalent_chromium", "no")
    chromium = values.get("hexavalent_chromium")
    incomplete += [a for a in words.asks if not (chromium in ("yes", "no") and "Cr(VI)" in a) and "leaves it" not in a]
    incomplete += _unread(base, found, words)
    reading: dict[str, Any] = {
        "standard": None,
        "edition": None,
        "status": None,
        "code": note,
        "superseded_by": None,
        "current_equivalents": [],
    }
    return _finished(base, note, reading, values, incomplete, [], words, (), ["code-words"])


def _finished(
    base: Base,
    note: str,
    reading: dict[str, Any],
    values: dict[str, Any],
    incomplete: list[str],
    notes: list[str],
    words: Note,
    letters: Iterable[Any],
    cites: list[str],
) -> dict[str, Any]:
    values.setdefault("hexavalent_chromium", "unstated")
    for key, asked, rust in (("salt_spray_white_h", words.white_h, "white"), ("salt_spray_red_h", words.red_h, "red")):
        if asked is None:
            continue
        own = values.get(key)
        if own is None:
            values[key] = asked
        elif own != asked:
            notes.append(base.phrase("say-decode-asked-more", asked=f"{asked:g}", rust=rust, own=f"{own:g}"))
    if words.open_h is not None:
        if values.get("family") == "zinc-flake" and values.get("salt_spray_red_h") in (None, words.open_h):
            values["salt_spray_red_h"] = words.open_h
            incomplete[:] = [m for m in incomplete if "hours to red rust" not in m]
        elif values.get("salt_spray_red_h") != words.open_h:
            incomplete.append(base.phrase("say-decode-which-rust", hours=f"{words.open_h:g}"))
    grade = base.kind("strength").get(words.strength.lower(), {}).get("grade", words.strength)
    if words.strength:
        notes.append(_strength_note(base, words))
    wanted = Wanted(
        values.get("family"),
        values.get("thickness_um"),
        values.get("passivation"),
        str(values["hexavalent_chromium"]),
        values.get("sealed"),
        values.get("lubricated"),
        values.get("salt_spray_red_h"),
        _grade(values, letters),
        values.get("colour"),
        str(base.kind("code")[cites[0]]["source"]) if cites[0] in base.kind("code") else "",
        values.get("base"),
    )
    fits = fitting(base, (note, str(reading["code"])), wanted)
    reading |= {
        "family": values.get("family"),
        "finish": fits[0] if fits and _settled(base, values, letters) else None,
        "also": list(fits[1:] if _settled(base, values, letters) else fits),
        "thickness_um": values.get("thickness_um"),
        "passivation": values.get("passivation"),
        "hexavalent_chromium": values["hexavalent_chromium"],
        "sealed": values.get("sealed"),
        "lubricated": values.get("lubricated"),
        "top_coat": values.get("top_coat"),
        "salt_spray_white_h": values.get("salt_spray_white_h"),
        "salt_spray_red_h": values.get("salt_spray_red_h"),
        "strength": grade or (_grade(values, letters) if not values.get("thickness_um") else "") or None,
        "letters": [{"code": x.code, "means": x.means} for x in (*letters, *words.letters)],
        "incomplete": list(dict.fromkeys(incomplete)),
        "notes": list(dict.fromkeys(notes)),
        "_cites": cites,
    }
    if not reading["current_equivalents"] and reading["finish"]:
        free = _chromium_free(base, wanted) if values["hexavalent_chromium"] == "yes" else ()
        now = _equivalents_of(base, (*free, fits[0])[0])
        reading["current_equivalents"] = [] if any(spell(d).endswith(reading["code"]) for d in now) else now
    return reading


def _chromium_free(base: Base, wanted: Wanted) -> tuple[str, ...]:
    """The finishes nearest to one with hexavalent chromium that hold none."""
    film = "iridescent" if wanted.passivation in ("yellow iridescent", "olive") else wanted.passivation
    free = wanted._replace(hexavalent_chromium="no", passivation=film, grade="", source="")
    return fitting(base, (), free) or fitting(base, (), free._replace(sealed=None))


def _settled(base: Base, values: Mapping[str, Any], letters: Iterable[Any]) -> bool:
    """Whether the designation says enough to name one finish."""
    family = values.get("family")
    if family is None:
        return False
    process = base.kind("family")[family]["process"]
    if family in FILMED and values.get("passivation") is None:
        return False
    if process in ("electroplated", "mechanical", "diffusion") and values.get("thickness_um") is None:
        return False
    if family == "mechanical-zinc" and values.get("hexavalent_chromium") == "unstated":
        return False
    if family == "zinc-flake" and not (values.get("salt_spray_red_h") or values.get("grade")):
        return False
    return family not in _BY_CLASS or bool(re.search(r"-[0-9]|^F593", _grade(values, letters)))


_BY_CLASS = ("stainless-a1", "stainless-a2", "stainless-a4", "stainless-super-austenitic", "stainless-duplex")


def _grade(values: Mapping[str, Any], letters: Iterable[Any]) -> str:
    if values.get("grade"):
        return str(values["grade"])
    steel = next((x.code for x in letters if re.fullmatch(r"[ACDF][1-8]", x.code)), "")
    number = next((x.code for x in letters if x.code.isdigit()), "")
    return f"{steel}-{number}" if steel and number else steel


def _near(key: str, own: Any, word: Any) -> bool:
    pair = {str(own), str(word)}
    return key == "passivation" and (
        pair <= {"clear", "bluish"} or pair <= {"iridescent", "yellow iridescent"} or pair <= {"passivated", "none"}
    )


def _unread(base: Base, found: Decoded, words: Note) -> list[str]:
    out = [
        base.phrase("say-decode-unknown", text=u.text, part=u.part, code=u.code.name)
        for u in found.unknown
        if not any(r.text == u.text for r in found.readings)
    ]
    if words.rest:
        out.append(base.phrase("say-decode-unread", rest=words.rest))
    return out


def _equivalents(r: Reading, values: Mapping[str, Any]) -> list[str]:
    out = []
    names = {k: shown(v) for k, v in values.items() if v is not None}
    for letter in r.letters:
        names.setdefault("class", letter.code)
    for template in r.code.equivalents:
        try:
            out.append(template.format(**names))
        except KeyError:
            continue
    return out


def _equivalents_of(base: Base, finish_id: str) -> list[str]:
    finish = base.finish(finish_id)
    return [d["write"] for d in finish.get("designations", ()) if d.get("status", "current") == "current"][:3]


def _strength_note(base: Base, words: Note) -> str:
    for row in base.table("code-strength-marks").records():
        m = re.fullmatch(str(row["say"]), words.strength_mark)
        if m is not None:
            return base.phrase("say-decode-strength", mark=words.strength_mark, means=row["means"])
    return base.phrase("say-decode-strength", mark=words.strength_mark, means=words.strength)
