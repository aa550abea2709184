"""Calculations in plain words: what is left out comes from the talk or is asked; a follow-up changes one value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.calculations.options import Calculation, Option
from advisor.calculations.registry import choices_of, inputs_told, missing_of, options, run
from advisor.dialogue.explaining import alternatives_in
from advisor.dialogue.going_on import remind
from advisor.dialogue.hearing import Heard
from advisor.dialogue.state import Compute, Desk, Reckoned, State, Turn
from advisor.dialogue.telling import Told
from advisor.errors import AdvisorError
from advisor.graph.base import Base
from advisor.language.grammar.conversion import figures_beside, unit_wanted
from advisor.language.line import normalise
from advisor.language.reading import Reading, read
from advisor.language.requests import Request
from advisor.reasoning.enquiry import UNKNOWN

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

ASKED_FOR = frozenset(("torque", "quantity", "life", "fit"))
"""Calculations of which what is missing is asked for; the others are worked out where the line tells all."""
FOLLOW_UP_WORDS, FEW_WORDS = 9, 6
COUNT = "quantity"
Inputs = Mapping[str, str | list[str]]


def reckon(desk: Desk, told: Told, request: Request) -> Turn | None:
    """The calculation that a line asks for; None where its words do not bear one."""
    command = request.about
    inputs = {**_from_talk(desk, told.before, command), **_as_offered(desk, told, _own(command, request.inputs))}
    question = bool(told.reading.asks) or len(told.heard.text.split()) <= FEW_WORDS
    return _worked_out(desk, told.state, command, inputs, told.asks, question)


def follow_up(desk: Desk, state: State, heard: Heard) -> Turn | None:
    """The answer to what was asked for a calculation, another value or another unit; None for any other line."""
    before = state.reckoned
    if before is None:
        return None
    text = normalise(heard.text, desk.vocabulary.numbers).text
    if before.wants:
        slots = next(o.slots for o in options(before.command) if o.name == before.wants)
        reading = read(heard.text, desk.vocabulary, slots[0] if slots[0] in desk.base.slots else None)
        fresh = _fresh(desk, before.command, reading, text)
        return _changed(desk, state, before, fresh) if before.wants in fresh else None
    words = text.split()
    if len(words) > FOLLOW_UP_WORDS or words[:1] == []:
        return None
    free = read(heard.text, desk.vocabulary)
    if any(r.kind == "lookup" for r in free.intents):
        return None  # "what is zinc-nickel?" asks after a thing, it changes no value
    unit = unit_wanted(desk.vocabulary.lexicon, text, desk.vocabulary.units)
    if unit and not free.understood:
        return _in_unit(desk, state, before, unit)
    own = {s for o in options(before.command) for s in o.slots}
    if not free.understood and COUNT in own:
        free = read(heard.text, desk.vocabulary, COUNT)  # a bare number is how many
    fresh = _fresh(desk, before.command, free, text)
    leads = words[0] in desk.base.role_words("follow-up") or text.endswith("?") or not state.asked
    return _changed(desk, state, before, fresh) if fresh and leads and free.understood.keys() <= own else None


def _own(command: str, told: Mapping[str, Any]) -> dict[str, str | list[str]]:
    """The inputs that a line tells, without what is only usual."""
    usual = {o.name for o in options(command) if o.usual and not any(s in told for s in o.slots)}
    return {k: v for k, v in inputs_told(command, told).items() if k not in usual}


def _fresh(desk: Desk, command: str, reading: Reading, text: str) -> dict[str, str | list[str]]:
    values = {s: x.value for s, x in reading.understood.items() if x.value not in (UNKNOWN, [])}
    return _own(command, {**values, **figures_beside(desk.vocabulary.lexicon, text)})


def _from_talk(desk: Desk, state: State, command: str) -> dict[str, str | list[str]]:
    """What the talk has told, what was recommended last, and the inputs of the last calculation of the kind."""
    said = {s: x.value for s, x in state.enquiry.said.items() if x.value not in (None, UNKNOWN, [])}
    out = inputs_told(command, said)
    if "finish" not in out and state.advice is not None and state.advice.recommended:
        if any(o.name == "finish" for o in options(command)):
            out["finish"] = state.advice.recommended[0].ranked.finish
    if state.reckoned is not None and state.reckoned.command == command:
        out.update(state.reckoned.inputs)
    return out


def _changed(desk: Desk, state: State, before: Reckoned, fresh: Inputs) -> Turn | None:
    """The calculation with some values changed; what stood in for a changed one goes."""
    rivals = {n for choice in choices_of(before.command) for c in choice for n in c}
    gone = rivals if rivals & fresh.keys() else set()
    kept = {k: v for k, v in before.inputs.items() if k not in gone}
    return _worked_out(desk, state, before.command, {**kept, **fresh}, True, True)


def _worked_out(
    desk: Desk, state: State, command: str, inputs: Mapping[str, str | list[str]], asks: bool, question: bool
) -> Turn | None:
    inputs = _chosen(command, _of_the_metal(desk.base, command, inputs))
    wanted = missing_of(command, inputs)
    taken = ""
    if wanted is not None:
        usual = _usual(desk.base, command, wanted)
        if usual and (not asks or command == "fit"):
            inputs = {**inputs, wanted.name: usual}
            taken = wanted.name if command != "fit" else ""
            wanted = missing_of(command, inputs)
    if wanted is not None:
        if command not in ASKED_FOR or not question or (command == "fit" and not inputs):
            return None
        state = state._replace(reckoned=Reckoned(command, inputs, wanted.name))
        return state, (desk.say(f"reckon-{command}-{wanted.name}"),)
    found = _run(desk.base, command, inputs)
    if found is None:
        return None
    found = found._replace(aside=tuple(_asides(desk.base, command, inputs, taken)))
    return state._replace(reckoned=Reckoned(command, inputs)), (Compute(found), *remind(desk, state))


def _asides(base: Base, command: str, inputs: Inputs, taken: str) -> Iterator[str]:
    """What is said with the result: a finish that was only taken, the torque of the usual friction window."""
    finish = _one(inputs.get("finish"))
    if command != "torque" or not finish:
        return
    node = base.finish(base.resolve_finish(finish))
    if taken == "finish":
        yield base.phrase("reckoned-taken-finish", finish=node["name"])
    if not (node.get("lubricated") and node.get("top_coat")) or "torque" in inputs:
        return
    windows = []
    ends = base.role_words("usual-friction-window")
    for mu in ends:
        found = _run(base, command, {**_without(inputs, "finish"), "mu-thread": mu, "mu-head": mu})
        window = found.results.get("torque_nm") if found is not None else None
        windows += [float(window[0])] if isinstance(window, list) else []
    if len(windows) == len(ends):
        low, high = f"{windows[0]:.0f}", f"{windows[-1]:.0f}"
        yield base.phrase("reckoned-window", mu_low=ends[0], mu_high=ends[-1], set=low, low=low, high=high)


def _one(value: str | list[str] | None) -> str:
    """The one value of an input, or the first of several."""
    return (value[0] if value else "") if isinstance(value, list) else value or ""


def _without(inputs: Inputs, name: str) -> dict[str, str | list[str]]:
    return {k: v for k, v in inputs.items() if k != name}


def _as_offered(desk: Desk, told: Told, inputs: dict[str, str | list[str]]) -> dict[str, str | list[str]]:
    """The inputs with the finish that would be offered of the family that was named: a torque is that of one coat."""
    choices = alternatives_in(desk, told.reading) if "finish" in inputs else ()
    if not choices:
        return inputs
    named = choices[0][0]
    ranked = desk.engine.judge(told.enquiry).ranked
    offered = next((r.finish for r in ranked if r.family == named), named)
    return {**inputs, "finish": offered}


def _run(base: Base, command: str, inputs: Inputs) -> Calculation | None:
    try:
        return run(base, command, inputs)
    except AdvisorError:
        return None


def _chosen(command: str, inputs: Inputs) -> dict[str, str | list[str]]:
    """The inputs with one of every choice: the first that is complete."""
    out = dict(inputs)
    for choice in choices_of(command):
        taken = next((c for c in choice if out.keys() >= set(c)), None)
        if taken is not None:
            for name in {n for c in choice for n in c} - set(taken):
                out.pop(name, None)
    return out


def _usual(base: Base, command: str, wanted: Option) -> str:
    """What is taken where nobody can be asked; empty where nothing may be."""
    for line in base.role_words("reckoned-with"):
        of, _, value = line.partition("=")
        if of == f"{command}.{wanted.name}":
            return value
    return ""


def _of_the_metal(base: Base, command: str, inputs: Inputs) -> Inputs:
    """A class of stainless steel tells the metal, which has its own friction."""
    strength = inputs.get("strength")
    if command != "torque" or not isinstance(strength, str):
        return inputs
    steel = strength.upper().split("-")[0]
    finish = inputs.get("finish")
    named = _one(finish)
    for family in base.families.values():
        if family.process != "base-material":
            continue
        grade = str(base.finish(base.resolve_finish(family.id)).get("grade", ""))
        if grade.split("-")[0] == steel and "-" in strength and (named is None or named != family.id):
            return {**inputs, "finish": family.id}
    return inputs


def _in_unit(desk: Desk, state: State, before: Reckoned, unit: str) -> Turn | None:
    """The figure of the last calculation in another unit."""
    found = _run(desk.base, before.command, before.inputs)
    figure = _main_figure(found) if found is not None else None
    if figure is None:
        return None
    converted = _run(desk.base, "convert", {"value": f"{figure[0]:.4g}", "unit": figure[1], "to": unit})
    return (state, (Compute(converted), *remind(desk, state))) if converted is not None else None


def _main_figure(found: Calculation) -> tuple[float, str] | None:
    """The figure of a calculation that people want in another unit, with its unit."""
    for key, unit in (("torque_nm", "N.m"), ("greatest_thickness_um", "um"), ("coating_g_each", "g")):
        value = found.results.get(key)
        value = value[0] if isinstance(value, list) and value else value
        if isinstance(value, (int, float)):
            return float(value), unit
    return None
