"""The answer in one look: at most sixteen lines that can be read down a phone, the rest behind `more`."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.graph.base import Base
from advisor.graph.wording import capital, inside, worded, written_today
from advisor.reasoning.advice import Advice, Reason, Recommended
from advisor.reasoning.cautions import RaisedCaution
from advisor.reasoning.engine import Engine
from advisor.reasoning.supply import supplies_for, supply_words
from advisor.records import NamedTuple
from advisor.views.aloud import PLACE, first_sentence, say_aloud
from advisor.views.figure_words import round_factor, round_years, span, years_span
from advisor.views.layout import cells, wrap
from advisor.views.sources import in_short

USUAL_LINES, MOST_LINES = 14, 16
MOST_STOPS = 3
LABEL, COLUMN = 9, 39
"""Columns of the labels and of the first of two figures on a line; below NARROW all stands on lines of its own."""
NARROW = 60
MOST_WARNINGS, MOST_OTHERS, MOST_CITED, MOST_ORDERED, REASONS_SHOWN = 3, 2, 2, 2, 2
TWO_LINES = 140
LOOK_FIGURES = ("life_years", "relative_cost", "torque_nm", "salt_spray_red_h")
"""The figures that matter at the counter."""


class Lines(NamedTuple):
    """One labelled part: its paragraphs in order of weight, how many should stay (at the very least `floor`), and how
    soon it is cut (high first). In a part of `pairs` two short paragraphs share a line.
    """

    label: str
    paragraphs: tuple[str, ...]
    least: int = 0
    floor: int = 0
    cut: int = 0
    pairs: bool = False


class Look(NamedTuple):
    """What one look shows, what did not find room there, and the closing."""

    shown: tuple[Lines, ...]
    left_out: tuple[Lines, ...]
    closing: tuple[str, ...]


def one_look(engine: Engine, advice: Advice, width: int, most: int = MOST_LINES) -> list[str]:
    """The advice in one look, in no more lines than `most` where what must stay allows it."""
    look = look_at(engine, advice, width, most)
    return [*(x for p in look.shown for x in part_lines(p, width)), *look.closing]


def look_at(engine: Engine, advice: Advice, width: int, most: int = MOST_LINES) -> Look:
    """Fit the advice into one look: the least weighty goes first, down to what each part must keep, and where even that
    is too long, whole parts; STOP, what to say, what to order and the open question always stay."""
    base = engine.base
    parts = [p for p in _parts(engine, advice) if p.paragraphs]
    closing = closing_lines(base, advice, width)
    parts, left_out = cut_down(parts, min(most, USUAL_LINES) - len(closing), width)
    parts, further = cut_down([p._replace(least=p.floor) for p in parts], most - len(closing), width)
    return Look(tuple(parts), (*left_out, *further), tuple(closing))


def closing_lines(base: Base, advice: Advice, width: int) -> list[str]:
    """The caution and whose decision it is, in two lines."""
    return wrap(base.phrase("look-closing-referral" if advice.refer else "look-closing"), width)


def cut_down(parts: list[Lines], room: int, width: int) -> tuple[list[Lines], list[Lines]]:
    """Parts cut down to some lines as far as they may be, and what was cut off."""
    parts = list(parts)
    left_out: list[Lines] = []
    while sum(len(part_lines(p, width)) for p in parts) > room:
        longer = max((p for p in parts if len(p.paragraphs) > p.least), key=lambda p: p.cut, default=None)
        if longer is None:
            break
        n = parts.index(longer)
        left_out.insert(0, longer._replace(paragraphs=longer.paragraphs[-1:]))
        left = longer._replace(paragraphs=longer.paragraphs[:-1])
        parts[n : n + 1] = [left] if left.paragraphs else []
    return parts, left_out


def part_lines(part: Lines, width: int) -> list[str]:
    """A part with its label in the first column, or run in where the window is narrow."""
    out: list[str] = []
    rest = list(part.paragraphs)
    while rest:
        text = rest.pop(0)
        label = "" if out else part.label
        if width < NARROW:
            out += wrap(f"{label}: {text}" if label else text, width, "  ", "" if label else "- ")
            continue
        first = label + " " * (LABEL - cells(label))
        if part.pairs and rest and cells(text) < COLUMN and LABEL + COLUMN + cells(rest[0]) <= width:
            out.append(first + text + " " * (COLUMN - cells(text)) + rest.pop(0))
        else:
            out += wrap(text, width, " " * LABEL, first)
    return out


def _parts(engine: Engine, advice: Advice) -> list[Lines]:
    base = engine.base
    label = base.phrase
    first = advice.recommended[0] if advice.recommended else None
    stops = [c for c in advice.cautions if c.severity == "stop"]
    said = say_aloud(engine, advice)
    placed = PLACE in advice.case.enquiry.said  # an order for a place that was only assumed has to say so
    warned = tuple(minded(base, c) for c in warned_of(engine, advice))
    hot = not set(base.role_words("hot-places")).isdisjoint(advice.case.known.get(PLACE) or ())
    return [
        Lines(label("look-stop"), _stop(base, _because(advice), stops), least=MOST_STOPS, floor=MOST_STOPS, cut=1),
        Lines(label("look-say"), said, least=len(said), floor=1, cut=2),
        Lines(label("look-order"), _order(engine, advice, first), least=1, floor=1, cut=5),
        Lines(label("look-figures"), _figures(base, first, hot), least=2, cut=4, pairs=True),
        Lines(label("look-why"), _why(base, first), least=1, cut=8),
        Lines(label("look-mind"), warned, least=1, cut=6),
        Lines(label("look-instead"), _others(base, advice), least=1, cut=7),
        Lines(label("look-taken"), _taken(base, advice), least=int(not placed), cut=9 if placed else 3),
        Lines(label("look-open"), _open(base, advice), least=1, floor=1),
    ]


def _because(advice: Advice) -> str | None:
    """Why an engineer must decide; None where none needs to."""
    return None if not advice.refer else advice.referral[0].text if advice.referral else ""


def _stop(base: Base, because: str | None, stops: Sequence[RaisedCaution]) -> tuple[str, ...]:
    """Each STOP, the first with what to do; where an engineer must decide, that with its reason."""
    out = [minded(base, c) if n == 0 else first_sentence(base.cautions[c.id].text) for n, c in enumerate(stops)]
    reason = first_sentence(because) if because else ""
    if because is not None and not any(reason in x for x in out):
        out.insert(0, base.phrase("look-refer", because=reason))
    if len(out) > MOST_STOPS:
        out[MOST_STOPS - 1 :] = [base.phrase("look-more-stops", count=len(out) - MOST_STOPS + 1)]
    return tuple(out)


def stop_lines(base: Base, stops: Sequence[RaisedCaution], width: int, because: str = "") -> list[str]:
    """STOPs alone, as the look has them."""
    texts = _stop(base, because or None, stops)
    return part_lines(Lines(base.phrase("look-stop"), texts), width) if texts else []


def aloud_only(engine: Engine, advice: Advice, width: int) -> list[str]:
    """STOP and the line to say, nothing else but the closing."""
    base = engine.base
    stops = _stop(base, _because(advice), [c for c in advice.cautions if c.severity == "stop"])
    parts = (Lines(base.phrase("look-stop"), stops), Lines(base.phrase("look-say"), say_aloud(engine, advice)))
    return [*(x for p in parts for x in part_lines(p, width)), *closing_lines(base, advice, width)]


def minded(base: Base, c: RaisedCaution) -> str:
    """A caution in its first sentence, and what to do about it; below a STOP only where two lines hold both."""
    text, do = first_sentence(base.cautions[c.id].text), first_sentence(base.cautions[c.id].do)
    return f"{text} {do}".rstrip() if c.severity == "stop" or len(text) + len(do) < TWO_LINES else text


def warned_of(engine: Engine, advice: Advice) -> list[RaisedCaution]:
    """The warnings of the first choice: the graver topics first, then those that only it has, then those of all."""
    warned = [c for c in advice.cautions if c.severity == "warn"]
    if advice.recommended:
        bit = engine.rules.bit[advice.recommended[0].ranked.finish]
        warned = [c for c in warned if c.mask & bit]
        grave = engine.base.role("graver-warnings")
        warned.sort(key=lambda c: (f"topic-{c.topic}" not in grave, c.mask == engine.rules.everything))
    return warned[:MOST_WARNINGS]


def _order(engine: Engine, advice: Advice, first: Recommended | None) -> tuple[str, ...]:
    if first is None:
        return ()
    base = engine.base
    finish = base.finishes[first.ranked.finish]
    written = [d.write for d in written_today(finish)]
    name = base.phrase("look-order-as", finish=finish.name, text=written[0]) if written else finish.name
    requires = dict.fromkeys(first_sentence(r.text) for r in (*first.requires, *advice.requires))
    held = supplies_for(engine, advice.case, engine.rules.bit[first.ranked.finish])[:1]
    listed = [base.phrase("supply-line", layer=base.layer_of(s.id), entry=supply_words(engine, s)) for s in held]
    return (name, *listed, *list(requires)[:MOST_ORDERED])


def _figures(base: Base, r: Recommended | None, hot: bool) -> tuple[str, ...]:
    """Life, price, torque, hours, and where heat was told its limit: two a line."""
    if r is None:
        return ()
    f = r.figures
    out: list[str] = []
    if "life_years" in f:
        low, high = f["life_years"].low, f["life_years"].high
        out.append(base.phrase("look-life", span=years_span(low, high)))
    elif r.ranked.level == 0:
        out.append(base.phrase("look-life-short"))
    if "relative_cost" in f:
        low, high = f["relative_cost"].low, f["relative_cost"].high
        out.append(base.phrase("look-price", about=round_factor(low, high), span=span(low, high)))
    if "torque_nm" in f:
        out.append(base.phrase("look-torque", set=f"{f['torque_nm'].low:g}"))
    if "salt_spray_red_h" in f and f["salt_spray_red_h"].high > 0:
        out.append(base.phrase("look-hours", value=span(f["salt_spray_red_h"].low, f["salt_spray_red_h"].high)))
    if "temperature_limit_c" in f and hot:
        out.append(base.phrase("look-heat", value=f"{f['temperature_limit_c'].low:g}"))
    return tuple(out)


def _why(base: Base, r: Recommended | None) -> tuple[str, ...]:
    """The first two reasons with the documents behind them."""
    if r is None:
        return ()
    return tuple(_cited(base, x) for x in r.reasons[:REASONS_SHOWN])


def _cited(base: Base, reason: Reason) -> str:
    # a document without a number is named by the head of its title
    names = list(dict.fromkeys(in_short(base, i).split(" - ")[0] for i in reason.cites))[:MOST_CITED]
    return first_sentence(reason.text) + (f" [{'; '.join(names)}]" if names else "")


def _others(base: Base, advice: Advice) -> tuple[str, ...]:
    """One or two alternatives, each with what is different."""
    if not advice.recommended:
        return ()
    first = advice.recommended[0]
    lines = [other_line(base, first, r) for r in advice.recommended[1 : 1 + MOST_OTHERS]]
    if len(lines) == MOST_OTHERS:
        lines = [base.phrase("look-or", one=lines[0], other=lines[1])]
    return tuple(capital(x) for x in lines)


def other_line(base: Base, first: Recommended, r: Recommended) -> str:
    """An alternative with what is different: life, price, a short life."""
    parts: list[str] = []
    ours, theirs = first.figures.get("life_years"), r.figures.get("life_years")
    if theirs and (ours is None or theirs[:2] != ours[:2]):
        parts.append(base.phrase("look-other-life", count=round_years(theirs.low)))
    price = r.figures.get("relative_cost")
    if price:
        parts.append(base.phrase("look-other-price", about=round_factor(price.low, price.high)))
    if r.ranked.level == 0:
        parts.append(base.phrase("say-brief-weak"))
    name = inside(base.families[r.ranked.family].name)
    return base.phrase("look-other", finish=name, parts=", ".join(parts)) if parts else name


def _taken(base: Base, advice: Advice) -> tuple[str, ...]:
    """What was taken without being told, where safety hangs on it."""
    spoken = [
        worded(base, a.slot, a.value)
        for a in (advice.assumed if advice.recommended else ())
        if base.slots[a.slot].safety and a.value and a.slot not in ("part", "duty")
    ]
    return (base.phrase("look-taken-line", parts="; ".join(spoken)),) if spoken else ()


def _open(base: Base, advice: Advice) -> tuple[str, ...]:
    q = advice.next_question
    return (base.decisions[q.decision].text,) if q else ()
