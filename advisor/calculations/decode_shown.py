"""What decode warns of, how it shows a reading in lines, and what it says when nothing was recognised."""

from __future__ import annotations

from advisor.calculations.sayings import Sayings
from advisor.codes.callout import Callout
from advisor.codes.forms import Decoded, Unknown
from advisor.codes.matching import most_hours
from advisor.codes.notes import Note
from advisor.codes.spelling import shown
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple


class Cautioned(NamedTuple):
    """Cautions of a reading, and what is to be noted beside it."""

    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def warned_of(base: Base, r: Callout, words: Note) -> Cautioned:
    """What a reading warns of: its chromium and cadmium, its room on the thread, the steel, hours nobody reaches."""
    cautions: list[str] = []
    if r.hexavalent_chromium == "yes" or (r.hexavalent_chromium == "unstated" and _chromated(r)):
        cautions += base.role("warn-chromium")
    if r.family is None:
        return Cautioned(tuple(cautions))
    node = base.kind("family")[r.family]
    if r.family in base.role("cadmium-coats"):
        cautions += base.role("warn-cadmium")
    hard = _too_hard(base, r, words.strength) if words.strength else Cautioned()
    cautions += hard.cautions
    thick = r.thickness_um if isinstance(r.thickness_um, (int, float)) else 0
    least = node.get("oversize_from_um")
    if least is not None and thick >= least:
        cautions += base.role("warn-oversize")
    hours = _beyond(base, r, words)
    if hours:
        cautions += base.role("warn-unrealistic")
    return Cautioned(tuple(cautions), (*hard.notes, *hours))


def _chromated(r: Callout) -> bool:
    """Whether the letters speak of a film that can hold chromium."""
    return any("chromate" in x.means for x in r.letters)


def _beyond(base: Base, r: Callout, words: Note) -> tuple[str, ...]:
    """The demands on hours that are beyond the coat."""
    out: list[str] = []
    for rust, asked in (("white", words.white_h), ("red", words.red_h), ("red", words.open_h)):
        most = None if asked is None else most_hours(base, r, rust)
        if asked is not None and most is not None and asked > most:
            said = {"asked": f"{asked:g}", "rust": rust, "most": f"{most:g}"}
            out.append(base.phrase("say-decode-too-many-hours", **said))
    return tuple(out)


def _too_hard(base: Base, r: Callout, strength: str) -> Cautioned:
    """The hydrogen verdict on the coat beside a strength mark, where it is more than good practice."""
    from advisor.calculations import hydrogen

    try:
        judged = hydrogen.run(base, {"strength": strength, "finish": str(r.finish or r.family)})
    except UsageError:
        return Cautioned()
    verdict = judged.results["verdict"]
    if verdict == "allowed":
        return Cautioned()
    because = str(judged.results["because"]).rstrip(".")
    return Cautioned(judged.cautions, (base.phrase(f"say-decode-{verdict}", strength=strength, because=because),))


def lines_of(base: Base, r: Callout, number: int) -> list[str]:
    """A reading in lines; `number` counts the readings from 0."""
    say = Sayings(base, "decode-line")
    family = base.kind("family").get(str(r.family), {}).get("name", "")
    name = str(family) or base.phrase("say-decode-words")
    edition = f" ({r.edition})" if r.edition else ""
    standard = r.standard or base.phrase("say-decode-no-name")
    status = r.status or base.phrase("say-decode-words")
    out = [say("other" if number else "head", standard=standard, edition=edition, status=status, name=name)]
    out += [say("letter", code=x.code, means=x.means) for x in r.letters]
    out += _figures(base, say, r)
    if r.finish:
        out.append(say("finish", value=base.finish(r.finish)["name"]))
    if r.superseded_by:
        out.append(say("successor", value=r.superseded_by))
    if r.current_equivalents:
        out.append(say("now", value="; ".join(r.current_equivalents)))
    out += [say("incomplete", value=text.rstrip(".")) for text in dict.fromkeys(o.text for o in r.open)]
    return out + list(dict.fromkeys(r.notes))


def _figures(base: Base, say: Sayings, r: Callout) -> list[str]:
    """Thickness, film, chromium and hours of a reading."""
    out: list[str] = []
    if r.thickness_um is not None:
        out.append(say("thickness", value=shown(r.thickness_um)))
    if r.passivation is not None:
        out.append(say("film", value=r.passivation))
    if r.family is not None:
        out.append(say(f"chromium-{r.hexavalent_chromium}"))
    figures = {"white": r.salt_spray_white_h, "red": r.salt_spray_red_h}
    hours = [base.phrase(f"say-decode-hours-{k}", hours=shown(h)) for k, h in figures.items() if h is not None]
    return [*out, say("hours", value=", ".join(hours))] if hours else out


def nothing_read(note: str, found: Decoded, words: Note) -> UsageError:
    """Why there is no reading, with what was understood of it."""
    for u in sorted(found.unknown, key=_best_unknown):
        understood = "; ".join(f"'{x.code}' {x.means}" for x in u.letters)
        beside = f" ({understood})" if understood else ""
        allowed = f"; known there: {', '.join(u.allowed)}" if u.allowed else ""
        return UsageError(
            f"'{u.text}' is understood in part as {u.code.name}{beside}, but '{u.part}' is not known{allowed}; "
            "check the drawing or ask who wrote it"
        )
    if found.readings:
        r = found.readings[0]
        return UsageError(
            f"{r.code.name} was recognised, but '{words.rest}' beside it was not; check the drawing or ask who wrote it"
        )
    understood = ", ".join(x.code for x in words.letters) or words.strength_mark or ", ".join(words.sizes)
    but = f"; only '{understood}' was understood" if understood else ""
    shown = note if len(note) <= 80 else note[:77] + "..."
    return UsageError(
        f"no coating metal or specification was recognised in '{shown}'{but}; write the code as on the drawing, "
        "e.g. A2L, Fe/Zn 8c2C, ISO 4042/Zn8/An/T0, ASTM F1941 Fe/Zn 5AN or flZnnc-480h. A maker's own number or a name "
        "of a coat says nothing here: ask for the document, the process or the data sheet"
    )


def _best_unknown(u: Unknown) -> tuple[int, float]:
    return (-len(u.letters), u.code.rank)


def without_unknown(note: str, found: Decoded) -> tuple[str, str]:
    """A note without the one letter at the end of a code that nobody knows, and this letter; empty where there is none.

    Only a letter of its own behind a slash is let go: one inside a code may change what the code means.
    """
    for u in sorted(found.unknown, key=_best_unknown):
        at = note.find(u.text)
        if at >= 0 and len(u.part) == 1 and u.part.isalpha() and u.text.endswith("/" + u.part):
            kept = u.text[:-1].rstrip("/ ")
            return (note[:at] + kept + note[at + len(u.text) :]).strip(), u.part
    return "", ""
