"""What decode warns of, how it shows a reading in lines, and what it says when nothing was recognised."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from advisor.codes.grammar import Decoded, Unknown
from advisor.codes.matching import most_hours
from advisor.codes.notes import Note
from advisor.codes.reading import HOT_DIPPED
from advisor.codes.spelling import shown
from advisor.errors import UsageError
from advisor.graph.base import Base


def cautions_of(base: Base, r: dict[str, Any], words: Note) -> list[str]:
    out: list[str] = []
    if r["hexavalent_chromium"] == "yes":
        out.append("hexavalent-chromium")
    chromates = any("chromate" in x["means"] for x in r["letters"])
    if r["hexavalent_chromium"] == "unstated" and chromates:
        out.append("hexavalent-chromium")
    if r["family"] == "cadmium":
        out.append("cadmium-caution")
    if words.strength and r["family"] is not None:
        out += _too_hard(base, r, words.strength)
    thick = r["thickness_um"] if isinstance(r["thickness_um"], (int, float)) else 0
    if r["family"] in HOT_DIPPED or (r["family"] == "mechanical-zinc" and thick >= 40):
        out += ["thread-fit", "matched-set"]
    for rust, asked in (("white", words.white_h), ("red", words.red_h), ("red", words.open_h)):
        if asked is None or r["family"] is None:
            continue
        most = most_hours(base, r, rust)
        if most is not None and asked > most:
            out.append("unrealistic-requirement")
            r["notes"].append(base.phrase("say-decode-too-many-hours", asked=f"{asked:g}", rust=rust, most=f"{most:g}"))
    return out


def _too_hard(base: Base, r: dict[str, Any], strength: str) -> list[str]:
    """The hydrogen verdict on the coat beside a strength mark, where it is more than good practice."""
    from advisor.calculations import hydrogen

    try:
        judged = hydrogen.run(base, {"strength": strength, "finish": r["finish"] or r["family"]})
    except UsageError:
        return []
    verdict = judged.results["verdict"]
    if verdict == "allowed":
        return []
    r["notes"].append(
        base.phrase(f"say-decode-{verdict}", strength=strength, because=str(judged.results["because"]).rstrip("."))
    )
    return list(judged.cautions)


def lines_of(base: Base, r: Mapping[str, Any], number: int) -> list[str]:
    def say(key: str, **values: object) -> str:
        return base.phrase(f"say-decode-line-{key}", **values)

    family = base.kind("family").get(str(r["family"]), {}).get("name", "")
    name = str(family) or base.phrase("say-decode-words")
    edition = f" ({r['edition']})" if r["edition"] else ""
    standard = r["standard"] or base.phrase("say-decode-no-name")
    status = r["status"] or base.phrase("say-decode-words")
    out = [say("other" if number else "head", standard=standard, edition=edition, status=status, name=name)]
    out += [say("letter", code=x["code"], means=x["means"]) for x in r["letters"]]
    if r["thickness_um"] is not None:
        out.append(say("thickness", value=shown(r["thickness_um"])))
    if r["passivation"] is not None:
        out.append(say("film", value=r["passivation"]))
    if r["family"] is not None:
        out.append(say(f"chromium-{r['hexavalent_chromium']}"))
    hours = [
        base.phrase(f"say-decode-hours-{k}", hours=shown(r[f"salt_spray_{k}_h"]))
        for k in ("white", "red")
        if r[f"salt_spray_{k}_h"] is not None
    ]
    if hours:
        out.append(say("hours", value=", ".join(hours)))
    if r["finish"]:
        out.append(say("finish", value=base.finish(r["finish"])["name"]))
    if r["superseded_by"]:
        out.append(say("successor", value=r["superseded_by"]))
    if r["current_equivalents"]:
        out.append(say("now", value="; ".join(r["current_equivalents"])))
    out += [say("incomplete", value=line.rstrip(".")) for line in r["incomplete"]]
    return out + list(r["notes"])


def nothing_read(note: str, found: Decoded, words: Note) -> UsageError:
    """Why there is no reading, with what was understood of it."""
    for u in sorted(found.unknown, key=_best_unknown):
        understood = "; ".join(f"'{x.code}' {x.means}" for x in u.letters)
        start = f"'{u.text}' is understood in part as {u.code.name}" + (f" ({understood})" if understood else "")
        allowed = f"; known there: {', '.join(u.allowed)}" if u.allowed else ""
        return UsageError(f"{start}, but '{u.part}' is not known{allowed}; check the drawing or ask who wrote it")
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
        "e.g. A2L, Fe/Zn 8c2C, ISO 4042/Zn8/An/T0, ASTM F1941 Fe/Zn 5AN or flZnnc-480h"
    )


def _best_unknown(u: Unknown) -> tuple[int, float]:
    return (-len(u.letters), u.code.rank)
