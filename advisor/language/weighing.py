"""Joins the readings of one line into slots: which value wins, what is ruled out, what has to be asked back."""

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.expressions import expression
from advisor.language.attached import materials_told, of_no_matter
from advisor.language.found import Found, number
from advisor.language.line import Line
from advisor.language.meanings import SlotReading
from advisor.language.said_of import NOW, WANTED
from advisor.language.scene import Steered
from advisor.language.vocabulary import SURE, Vocabulary

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


_FIGURES = frozenset(
    ("quantity", "length_mm", "life_years", "salt_spray_hours", "temperature_c", "torque_nm", "hardness_hrc")
)
_HEDGE = 0.95
_BEHIND_A_SIZE = expression(
    r"(?:\bm[0-9]{1,2}(?: ?x ?[0-9.]+){0,2}|[0-9]/[0-9]{1,2}(?:-[0-9]{1,2})?)"
    r"[ ,-]{1,2}(?:bolts?,? |class |grade )?\Z"
)
_WITH_A_BOLT = frozenset(("nut", "washer", "spring-washer"))
_GROUP_SLIP = 0.6
"""A group word (0.7 or 0.75) with one slip keeps more; with two, or a single family below SURE, it is asked back."""


class Merged:
    """What the line says so far. `slots`: slot -> (value, words, certainty)."""

    def __init__(self) -> None:
        self.slots: dict[str, tuple[Any, str, float]] = {}
        self.unclear: list[tuple[str, str, tuple[Any, ...]]] = []
        self.mentioned: list[str] = []
        self.noticed: dict[str, str] = {}
        self.corrected: set[str] = set()
        self.from_object: set[str] = set()
        self.negated: set[str] = set()
        self.marks: list[Found] = []
        self.wished: set[str] = set()


def _as_list(value: Any) -> list[Any]:
    if value is None:
        return []
    return list(value) if isinstance(value, (list, tuple)) else [value]


def merge(
    line: Line, steered: Sequence[Steered], marks: Sequence[Found], vocabulary: Vocabulary, answering: str | None
) -> Merged:
    """Weighs all readings of a line together; `marks` are the words that only steer."""
    out = Merged()
    out.marks = list(marks)
    chosen = [s for s in materials_told(steered, answering) if not of_no_matter(s, steered)]
    by_slot: dict[str, list[Steered]] = {}
    for s in chosen:
        if s.found.slot:
            by_slot.setdefault(s.found.slot, []).append(s)
        for slot, value in (s.found.also or {}).items():
            if s.negated and not vocabulary.slot(slot).denial:
                continue
            if slot == "circumstance":
                for slug in _as_list(value):
                    out.noticed.setdefault(slug, line.words(s.found.start, s.found.end))
                continue
            extra = s.found._replace(slot=slot, value=value, also=None)
            if slot not in ("appearance", "cadmium") or not (s.said_of != WANTED or s.after_instead):
                by_slot.setdefault(slot, []).append(s._replace(found=extra))
    for slot, entries in by_slot.items():
        if slot == "finish_asked":
            _finishes(line, entries, out)
        elif vocabulary.slot(slot).type == "choices":
            _list(line, slot, entries, out)
        else:
            _single(line, slot, entries, out, vocabulary.slot(slot), answering)
    _corrected_number(line, steered, out)
    asked = out.slots.get("finish_asked")
    banned = out.slots.get("exclude")
    if asked and banned:
        # "not galvanised, zinc flake": what is ruled out as a group is no wish, unless it was named by itself
        left = [f for f in asked[0] if f not in banned[0]]
        if left:
            out.slots["finish_asked"] = (left, asked[1], asked[2])
        elif asked:
            del out.slots["finish_asked"]
    return out


def _corrected_number(line: Line, steered: Sequence[Steered], out: Merged) -> None:
    """ "200 pcs, make that 300": a bare number after a correction replaces the last figure before it."""
    marks = [f for f in out.marks if f.intent == "correction"]
    if not marks:
        return
    mark = marks[-1]
    for t in line.tokens:
        if mark.end <= t.start <= mark.end + 12 and re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", t.key):
            if any(s.found.slot and s.found.start <= t.start < s.found.end for s in steered):
                return
            told = (s.found for s in steered if s.found.end <= mark.start)
            before = [f for f in told if f.slot in _FIGURES or (f.slot == "size" and str(f.value).startswith("M"))]
            if before:
                slot = before[-1].slot
                figure = "M" + t.key if slot == "size" else number(t.key)
                out.slots[slot] = (figure, line.words(t.start, t.end), 0.95)
                out.corrected.add(slot)
            return


def _finishes(line: Line, entries: Sequence[Steered], out: Merged) -> None:
    asked: list[str] = []
    banned: list[str] = []
    now: list[str] = []
    certainty, words_asked, words_banned, words_now = 1.0, "", "", ""
    for s in entries:
        families = _as_list(s.found.value)
        words = line.words(s.found.start, s.found.end)
        if s.negated:
            banned.extend(families)
            words_banned = words_banned or words
        elif s.after_instead or s.said_of != WANTED:
            out.mentioned.extend(families)
            if s.after_instead or s.said_of == NOW:
                now.extend(families)
                words_now = words_now or words
        elif s.found.fuzzy and (s.found.certainty < _GROUP_SLIP or 0.7 <= s.found.certainty < SURE):
            out.unclear.append(("finish_asked", words, tuple(families)))
        else:
            asked.extend(families)
            if s.wished:
                out.wished.update(families)
            words_asked = f"{words_asked}, {words}" if words_asked else words
            certainty = min(certainty, s.found.certainty)
            out.mentioned.extend(families)
    if asked:
        # a group word ("zinc") keeps all its families at lower certainty: nobody guesses one of them silently
        out.slots["finish_asked"] = (list(dict.fromkeys(asked)), words_asked, max(certainty, SURE))
    if banned:
        out.slots["exclude"] = (list(dict.fromkeys(banned)), words_banned, 1.0)
    if now:
        out.slots["finish_now"] = (list(dict.fromkeys(now)), words_now, 1.0)


def _list(line: Line, slot: str, entries: Sequence[Steered], out: Merged) -> None:
    live = [s for s in entries if not s.negated]
    if len(live) < len(entries):
        out.negated.add(slot)
    corrected = [s for s in live if s.corrected]
    if corrected and len(corrected) < len(live):
        live = corrected
        out.corrected.add(slot)
    told = [s for s in live if not s.found.gives_way and not s.found.from_object]
    told += [s for s in live if s.found.from_object and _indoors(s.found) and any(_indoors(t.found) for t in told)]
    particular = [s for s in live if not s.found.gives_way]
    if told and slot == "environment":
        # a told place replaces one read from an object, but not what the part touches
        place = any(not _touch_only(s.found) for s in told)
        live = [
            s
            for s in live
            if s in told or _touch_only(s.found) or (not place and (s.found.gives_way or s.found.from_object))
        ]
        sharper = [s for s in live if not s.found.gives_way or _touch_only(s.found)]
        if any(not _touch_only(s.found) for s in sharper):
            live = sharper
    elif slot == "environment" and any(not _touch_only(s.found) for s in particular):
        general = [s for s in live if s.found.gives_way]
        live = general if general and all(s.found.from_object for s in particular) else particular
    sure: list[Any] = []
    words: list[str] = []
    certainty = 1.0
    for s in live:
        said = line.words(s.found.start, s.found.end)
        if s.found.certainty < SURE:
            out.unclear.append((slot, said, tuple(_as_list(s.found.value))))
            continue
        sure.extend(_as_list(s.found.value))
        words.append(said)
        certainty = min(certainty, s.found.certainty)
    if sure:
        out.slots[slot] = (list(dict.fromkeys(sure)), ", ".join(dict.fromkeys(words)), certainty)
        if all(s.found.from_object for s in live):
            out.from_object.add(slot)
    elif slot == "duty" and slot in out.negated and not live:
        out.slots[slot] = ([], line.words(entries[0].found.start, entries[0].found.end), 0.9)


def _indoors(f: Found) -> bool:
    """ "A dry lockup": within walls a word of the air says more of the place; outdoors it is the weather."""
    return all(str(v).startswith("indoor") for v in _as_list(f.value))


def _touch_only(f: Found) -> bool:
    """Whether the words say what the part touches or suffers, not where it stands."""
    return set(_as_list(f.value)) <= {
        "treated-timber",
        "concrete",
        "food",
        "high-temperature",
        "chemical-acid",
        "chemical-alkali",
    }


def _single(
    line: Line, slot: str, entries: Sequence[Steered], out: Merged, how: SlotReading, answering: str | None
) -> None:
    live: list[Steered] = []
    for s in entries:
        if slot == "part" and s.found.value in _WITH_A_BOLT and _bolt_before(line, s.found, out.marks):
            continue
        if (
            s.negated
            and how.two_told == "ask"
            and _denies_the_one_before(line, live[-1].found if live else None, s.found)
        ):
            s = s._replace(negated=False, corrected=True)
        if s.negated:
            if how.denial:
                denied = how.denial.get(str(s.found.value), s.found.value)
                live.append(s._replace(found=s.found._replace(value=denied), negated=False))
            else:
                out.negated.add(slot)
        else:
            live.append(s)
    if slot == "callout":
        live = [
            s._replace(found=s.found._replace(value=" ".join(line.words(s.found.start, s.found.end).split())))
            for s in live
        ]
    for s in live:
        if s.found.value is None:
            out.unclear.append((slot, line.words(s.found.start, s.found.end), s.found.candidates))
    live = [s for s in live if s.found.value is not None]
    if not live:
        return
    corrected = [s for s in live if s.corrected]
    if corrected:
        live = corrected[-1:] if len(corrected) < len(live) else _after_last_correction(live, out.marks)
        out.corrected.add(slot)
    elif slot in ("strength", "size"):
        # "A4-80 instead of 8.8": the joint was designed for what stands after the mark
        after = [s for s in live if s.after_instead]
        if after:
            live = after[:1]
    elif slot not in ("strength",) and any(s.after_instead for s in live) and not all(s.after_instead for s in live):
        live = [s for s in live if not s.after_instead]
    general = [s for s in live if not s.found.gives_way]
    if general:
        live = general
    if answering == slot and any(s.found.answering == slot for s in live):
        particular = [s for s in live if not s.found.answering]
        live = particular or live
    values = list(dict.fromkeys(str(s.found.value) for s in live))
    first = live[0]
    if len(values) > 1:
        if how.two_told == "ask":
            _two(line, slot, live, out)
            return
        if how.two_told != "first":
            first = live[-1] if slot in ("life_years", "temperature_c") else live[0]
        elif slot in ("hexavalent_chromium", "cadmium", "pfas", "lead") and any(
            s.found.value == "forbidden" for s in live
        ):
            first = next(s for s in live if s.found.value == "forbidden")
    f = first.found
    out.slots[slot] = (f.value, line.words(f.start, f.end), f.certainty)
    if f.from_object:
        out.from_object.add(slot)


def _denies_the_one_before(line: Line, before: Found | None, found: Found) -> bool:
    """ "M10, no M12", or "no 8.8" outright: the "no" takes back what was said before; "8.8, not 10.9" leaves it."""
    between = line.text[before.end if before is not None else 0 : found.start].rstrip(" ,")
    return between.strip() == "no" or between.endswith((", no", "; no", ". no", "- no"))


def _after_last_correction(live: Sequence[Steered], marks: Sequence[Found]) -> list[Steered]:
    """Of readings that all follow a correction, those after the last mark that parts them ("8.8 - no wait, 10.9")."""
    for mark in sorted((f for f in marks if f.intent == "correction"), key=lambda f: -f.start):
        after = [s for s in live if s.found.start >= mark.end]
        if after and len(after) < len(live):
            return after[-1:]
    return list(live)


def _bolt_before(line: Line, part: Found, marks: Sequence[Found]) -> bool:
    """Whether a bolt, screw or stud was named before a nut or washer: then that is what is bought."""
    named = (line.text[m.start : m.end] for m in marks if m.intent == "fastener-noun" and m.end <= part.start)
    return any(word.startswith(("bolt", "screw", "stud")) for word in named)


def _two(line: Line, slot: str, live: Sequence[Steered], out: Merged) -> None:
    """Two classes or two sizes in one line: asked back. A size that only says more of the other is no second one."""
    values = list(dict.fromkeys(s.found.value for s in live))
    words = line.words(live[0].found.start, live[-1].found.end)
    of_fastener = list(dict.fromkeys(s.found.value for s in live if s.of_fastener))
    if len(of_fastener) == 1 and slot == "size":
        # "4 inch pump, the 5/16 bolts of the clamp": the size is that of the bolts
        s = next(x for x in live if x.of_fastener)
        out.slots[slot] = (s.found.value, line.words(s.found.start, s.found.end), _HEDGE)
        return
    if slot == "size":
        longest = max(values, key=len)
        if all(longest.startswith(v) for v in values):
            s = next(x for x in live if x.found.value == longest)
            out.slots[slot] = (longest, line.words(s.found.start, s.found.end), s.found.certainty)
            return
        out.slots[slot] = (values[0], line.words(live[0].found.start, live[0].found.end), 0.6)
    sure = [s for s in live if s.found.certainty == 1.0 and not s.found.fuzzy]
    behind = [s for s in sure if slot == "strength" and _BEHIND_A_SIZE.search(line.text[: s.found.start])]
    if len({s.found.value for s in behind}) == 1:
        # "M16 8.8 ... they offer A4-80": the class beside the size is that of the bolt
        f = behind[0].found
        out.slots[slot] = (f.value, line.words(f.start, f.end), _HEDGE)
        return
    if slot == "strength" and len({s.found.value for s in sure}) == 1 and len(sure) < len(live):
        # a number beats a description ("8.8, mild steel")
        f = sure[0].found
        out.slots[slot] = (f.value, line.words(f.start, f.end), _HEDGE)
        return
    out.unclear.append((slot, words, tuple(values)))
