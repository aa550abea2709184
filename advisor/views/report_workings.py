"""The calculations behind an advice: worked out once for the finish to use, shown with method, and drawn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.calculations.options import Calculation
from advisor.calculations.registry import inputs_from, run
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.reasoning.advice import Advice, Recommended
from advisor.reasoning.case import Case, classes_of
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import listed, usable
from advisor.reasoning.figures import UNTIGHTENED
from advisor.records import NamedTuple
from advisor.views.report_lines import LINES, typed
from advisor.views.report_numbers import Numbering
from advisor.views.report_parts import Section, Sentence, Working

HARMLESS = ("none", "low")
"""What a steel risks from hydrogen where nobody need look at a picture of it."""
BAR = "|"
"""First letter of a line that draws with letters: a report has real pictures."""


class Workings(NamedTuple):
    """What was worked out: order lines, tightening, thread, hydrogen, life, a couple for every metal that it
    touches; None where the enquiry gives no inputs.

    `left_out`: what was told and the order lines could not take (the sizes of wood screws).
    Hydrogen is that of the finish asked for where that one is out, else of the one to use.
    """

    specify: Calculation | None = None
    left_out: tuple[str, ...] = ()
    torque: Calculation | None = None
    fit: Calculation | None = None
    hydrogen: Calculation | None = None
    life: Calculation | None = None
    couples: tuple[Calculation, ...] = ()


def workings_of(engine: Engine, advice: Advice) -> Workings:
    """All that can be worked out for the first choice."""
    first = advice.recommended[0] if advice.recommended else None
    if first is None:
        return Workings(hydrogen=hydrogen_of(engine, advice.case, _asked(engine, advice)))
    finish = first.ranked.finish
    told = {s: v for s, v in advice.case.told.items() if usable(advice.case.told, s)}
    node = engine.base.finishes[finish]
    own_metal = engine.rules.process[engine.rules.index[finish]] == "base-material"
    if own_metal:
        told["strength"] = node.grade or None
    told = {**{s: v for s, v in told.items() if v is not None}, "finish_asked": finish}
    coated = not own_metal and "thickness_um" in first.figures
    threaded = usable(told, "size") and told.get("part") not in engine.base.role(UNTIGHTENED)
    return Workings(
        *_specified(engine, told),
        _worked(engine, "torque", told) if "torque_nm" in first.figures else None,
        _worked(engine, "fit", _classed(advice, told)) if coated and threaded else None,
        hydrogen_of(engine, advice.case, _asked(engine, advice) or finish),
        _life(engine, advice, first),
        _couples(engine, advice.case, first.ranked.family),
    )


def _worked(engine: Engine, command: str, told: Mapping[str, object], **more: str) -> Calculation | None:
    """A calculation from what was told; None where something is missing or does not fit."""
    inputs = inputs_from(command, told)
    if inputs is None:
        return None
    for name, value in more.items():
        inputs[name] = value
    try:
        return run(engine.base, command, inputs)
    except UsageError:
        return None


def _specified(engine: Engine, told: Mapping[str, object]) -> tuple[Calculation | None, tuple[str, ...]]:
    """The order lines for what was told; without the size, then without the class, where these are of another trade."""
    for left_out in ((), ("size", "length_mm"), ("size", "length_mm", "strength")):
        less = {s: v for s, v in told.items() if s not in left_out}
        found = _worked(engine, "specify", less, **_demands(told))
        if found is not None:
            return found, tuple(s for s in left_out if s in told)
    return None, ()


def _demands(told: Mapping[str, object]) -> dict[str, str]:
    """What an order must say beside the part: how many, how many hours to which rust."""
    slots = {"quantity": "quantity", "salt_spray_hours": "hours", "rust": "rust"}
    return {name: named_number(told[s]) for s, name in slots.items() if usable(told, s)}


def named_number(value: object) -> str:
    """A told value as it is typed.

    >>> named_number(200.0), named_number("red")
    ('200', 'red')
    """
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)


def _classed(advice: Advice, told: Mapping[str, object]) -> Mapping[str, object]:
    """What was told with the thread class, the usual one where none was."""
    return {"thread_class": advice.case.full.get("thread_class"), **told}


def _asked(engine: Engine, advice: Advice) -> str:
    """The usual finish of a family that was asked for and is out; empty where none is."""
    asked = listed(advice.case.told.get("finish_asked"))
    return next((h.finish for h in advice.excluded if h.family in asked), "")


def _couples(engine: Engine, case: Case, family: str) -> tuple[Calculation, ...]:
    """The finish against every metal that was told to touch it."""
    found = []
    for metal in listed(case.told.get("mating")):
        places = listed(case.told.get("environment"))
        given: dict[str, str | list[str]] = {"metals": [family, str(metal)], **({"site": places[0]} if places else {})}
        try:
            found.append(run(engine.base, "couple", given))
        except UsageError:
            continue  # timber and the like make no couple
    return tuple(found)


def hydrogen_of(engine: Engine, case: Case, finish: str) -> Calculation | None:
    """What hydrogen does to the steel with a finish; None where the class or hardness was not told, or is harmless."""
    told = case.told
    keys = ("hardness_hrc",) if usable(told, "hardness_hrc") else ("strength",)
    given = {s: told[s] for s in keys if usable(told, s)}
    if not given or not finish:
        return None
    found = _worked(engine, "hydrogen", {**given, "finish_asked": finish})
    return None if found is None or found.results.get("susceptibility") in HARMLESS else found


def _life(engine: Engine, advice: Advice, first: Recommended) -> Calculation | None:
    """The life of the first choice; only where it comes out as the figure that is shown."""
    shown = first.figures.get("life_years")
    classes = classes_of(advice.case)
    if shown is None or not classes:
        return None
    given: dict[str, str | list[str]] = {"site": classes[-1], "finish": first.ranked.finish}
    wanted = advice.case.told.get("life_years")
    if isinstance(wanted, (int, float)):
        given["years"] = f"{wanted:g}"
    try:
        found = run(engine.base, "life", given)
    except UsageError:
        return None
    years = found.results.get("years_to_first_rust")
    return found if isinstance(years, list) and years and abs(float(years[0]) - shown.low) < 1 else None


def workings_section(engine: Engine, workings: Workings, numbers: Numbering) -> Section:
    """The calculations: what came out, by which method, and how to see every step."""
    say = engine.base.phrase
    found = (workings.torque, workings.fit, workings.hydrogen, workings.life, *workings.couples)
    blocks = tuple(summed_up(engine.base, c, numbers) for c in found if c is not None)
    return Section("workings", say("report-head-workings"), blocks)


def summed_up(base: Base, c: Calculation, numbers: Numbering) -> Working:
    """A calculation in two or three lines, its method, and how to see every step."""
    lines = _marked(LINES[c.command](base, c), c, numbers)
    step = base.phrase("report-every-step", command=typed(c))
    return Working(base.phrase(f"report-working-{c.command}"), lines, c.method, step)


def working(name: str, c: Calculation, numbers: Numbering) -> Working:
    """One calculation with all its lines; what it rests on is marked at the first."""
    return Working(name, _marked([x for x in c.lines if BAR not in x], c, numbers), c.method)


def _marked(lines: Iterable[str], c: Calculation, numbers: Numbering) -> tuple[Sentence, ...]:
    return tuple(numbers.sentence(x, c.cites if n == 0 else ()) for n, x in enumerate(lines))
