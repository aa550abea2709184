"""Joins what the codes and the words of a note say into the readings that decode answers, and never past them."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.codes.callout import Callout, ask, clash
from advisor.codes.forms import Decoded, DecodedReading, Open
from advisor.codes.notes import Note, Sense
from advisor.codes.settling import finished, unread
from advisor.codes.spelling import shown
from advisor.graph.base import Base

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

FIELDS = ("passivation", "hexavalent_chromium", "sealed", "lubricated", "top_coat")


def readings_of(base: Base, note: str, found: Decoded, words: Note) -> list[Callout]:
    """Every reading of a note, best first; empty when neither metal nor specification is recognised."""
    read = [
        r for r in found.readings if r.values.get("family") is not None or words.families or not words.rest or r.letters
    ]
    out = [(r, _from_code(base, note, r, found, words)) for r in read]
    if not out and found.readings:
        return []
    if any(c.family is not None for _, c in out):
        out = [(r, c) for r, c in out if not r.values.get("treatment")]
    if out:
        texts = _codes_apart(found)
        several = Open(base.phrase("say-decode-two-codes", texts=" and ".join(texts)))
        return [c.asking_first(several) if len(texts) > 1 else c for _, c in out]
    return _worded(base, note, found, words)


def _worded(base: Base, note: str, found: Decoded, words: Note) -> list[Callout]:
    """The readings of a note without a code."""
    if words.families and not (found.unknown and len(found.unknown[0].text) > 3):
        out = [_from_words(base, note, f, None, words, found) for f in words.families]
        if len(words.families) > 1:
            both = clash(base, "coating", *words.families[:2])
            out = [c.asking_first(both) for c in out]
        return out
    if words.senses and not found.unknown:
        senses = _possible(base, words)
        out = [_from_words(base, note, s.family, s.passivation, words, found) for s in senses]
        if len(out) > 1:
            which = Open(base.phrase("say-decode-several", word=words.senses[0].word))
            out = [c._replace(finish=None, current_equivalents=()).asking_first(which) for c in out]
        return out
    if not found.unknown and not words.rest and _says_something(words):
        return [_from_words(base, note, None, None, words, found)]
    return []


def _codes_apart(found: Decoded) -> list[str]:
    """The codes of a note that are different stretches of it, each naming a coat."""
    texts = dict.fromkeys(r.text for r in found.readings if r.values.get("family") and not r.values.get("treatment"))
    return [t for t in texts if not any(t != o and t in o for o in texts)]


def _possible(base: Base, words: Note) -> list[Sense]:
    """The senses of an ambiguous word that agree with the film and the thickness said beside it."""
    kept = list(words.senses)
    film = words.values.get("passivation") not in (None, "none") or "hexavalent_chromium" in words.values
    um = words.thickness_um
    if film or words.treated:
        kept = [s for s in kept if _filmed(base, s.family)] or kept
    if isinstance(um, (int, float)):
        kept = [s for s in kept if s.um_from is None or um >= s.um_from] or kept
        kept = [s for s in kept if s.um_to is None or um <= s.um_to] or kept
    return kept


def _filmed(base: Base, family: str | None) -> bool:
    """Whether the coats of a family carry a conversion film that an order must name."""
    return family is not None and base.kind("family")[family].get("film") == "required"


def _left_open(words: Note) -> bool:
    return any("coating" in a.asks for a in words.asks)


def _says_something(words: Note) -> bool:
    hours = words.white_h or words.red_h or words.open_h
    return bool(_left_open(words) or words.strength or (hours and words.letters) or words.values.get("passivation"))


def _from_code(base: Base, note: str, r: DecodedReading, found: Decoded, words: Note) -> Callout:
    values = dict(r.values)
    questions = [clash(base, k, a, b) for k, a, b in r.clashes]
    questions += _joined(base, r, values, words)
    if r.foreign:
        names = ", ".join(r.foreign)
        questions.insert(0, Open(base.phrase("say-decode-foreign", names=names, code=r.code.name)))
    start = Callout(
        r.code.name,
        values.get("edition") or r.code.edition or None,
        values.get("status") or r.code.status or None,
        r.text,
        r.code.superseded_by or None,
        tuple(_equivalents(r, values)),
        letters=r.letters,
        notes=(*r.code.notes, *r.notes),
        cites=(r.code.id, *r.tables),
    )
    return finished(base, note, start, values, questions, [*r.missing, *unread(base, found, words)], words)


def _joined(base: Base, r: DecodedReading, values: dict[str, Any], words: Note) -> list[Open]:
    """Fills the values of a code with those of the words; the clashes of both as questions."""
    out: list[Open] = []
    for key in FIELDS:
        own, word = values.get(key), words.values.get(key)
        if word is None:
            continue
        open_chromium = key == "hexavalent_chromium" and own == "unstated"
        # a document may allow none by itself, while the note orders a chromate on top
        ordered = key == "hexavalent_chromium" and word == "yes" and r.code.sets.get(key) == own
        if own is None or open_chromium or ordered:
            values[key] = word
        elif own != word and not _near(key, own, word):
            out.append(clash(base, key, own, word))
    family = values.get("family")
    if family is None and len(words.families) == 1 and not values.get("symbol"):
        values["family"] = words.families[0]
    elif words.families and family is not None and family not in words.families:
        out.append(clash(base, "coating", family, words.families[0]))
    own_um = values.get("thickness_um")
    if words.thickness_um is not None and own_um is None and "thickness_um" not in [k for k, _, _ in r.clashes]:
        values["thickness_um"] = words.thickness_um
    elif words.thickness_um is not None and own_um is not None and own_um != words.thickness_um:
        out.append(clash(base, "thickness_um", own_um, words.thickness_um))
    return out


def _from_words(
    base: Base, note: str, family: str | None, passivation: str | None, words: Note, found: Decoded
) -> Callout:
    values: dict[str, Any] = {k: v for k, v in words.values.items() if v is not None}
    values["family"] = family
    if passivation is not None:
        values.setdefault("passivation", passivation)
    values["thickness_um"] = words.thickness_um
    questions = [clash(base, k, a, b) for k, a, b in words.clashes]
    if family is None:
        what = words.strength_mark or base.phrase("say-decode-hours-or-colour")
        text = base.phrase("say-decode-open") if _left_open(words) else base.phrase("say-decode-no-coating", what=what)
        questions.append(Open(text))
        asked = [*(a for a in words.asks if "coating" not in a.asks), *unread(base, found, words)]
    else:
        asked = [*_asked_of(base, family, values, words), *words.asks, *unread(base, found, words)]
        node = base.kind("family")[family]
        if node.get("film") == "none" or node["process"] in ("none", "base-material"):
            values.setdefault("hexavalent_chromium", "no")
    return finished(base, note, Callout(code=note, cites=("code-words",)), values, questions, asked, words)


def _asked_of(base: Base, family: str, values: Mapping[str, Any], words: Note) -> list[Open]:
    """What a note in words leaves open of a coat of this family."""
    node = base.kind("family")[family]
    out: list[Open] = []
    if node["process"] != "base-material":
        out.append(Open(base.phrase("say-decode-no-standard")))
    if node.get("sized_by") == "thickness" and node["process"] in ("electroplated", "mechanical"):
        out.append(ask(base, "thickness"))
    if node.get("sized_by") == "hours" and not words.open_h:
        out.append(ask(base, "hours"))
    if node.get("film") == "required" and values.get("passivation") is None:
        out.append(Open(base.phrase("say-decode-ask-film"), ("film",)))
    elif node.get("film") == "required" and not words.asks:
        out.append(ask(base, "chromium"))
    return out


_ALIKE = (
    frozenset(("clear", "bluish")),
    frozenset(("iridescent", "yellow iridescent")),
    frozenset(("passivated", "none")),
)


def _near(key: str, own: Any, word: Any) -> bool:
    return key == "passivation" and any({str(own), str(word)} <= alike for alike in _ALIKE)


def _equivalents(r: DecodedReading, values: Mapping[str, Any]) -> list[str]:
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
