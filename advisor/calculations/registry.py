"""The calculations by name, loaded when asked for, and their inputs read from words on a command line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.calculations.options import Calculation, Option
from advisor.errors import UsageError
from advisor.graph.base import Base

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

COMMANDS = ("fit", "torque", "hydrogen", "life", "couple", "quantity", "convert", "decode", "specify")


def built(command: str) -> bool:
    """Whether a calculation is part of this version."""
    from importlib.util import find_spec

    return command in COMMANDS and find_spec(f"{__package__}.{command}") is not None


def module(command: str) -> Any:
    """The module of a calculation; it has OPTIONS and run."""
    if not built(command):
        raise UsageError(f"'{command}' is not a calculation; there are {', '.join(c for c in COMMANDS if built(c))}")
    from importlib import import_module

    return import_module(f"{__package__}.{command}")


def options(command: str) -> tuple[Option, ...]:
    """The inputs of a calculation."""
    listed: tuple[Option, ...] = module(command).OPTIONS
    return listed


def run(base: Base, command: str, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """Run a calculation on inputs as typed."""
    result: Calculation = module(command).run(base, inputs)
    return result


def inputs_from(command: str, told: Mapping[str, Any]) -> dict[str, str | list[str]] | None:
    """The inputs of a calculation from figures told by slot; None when one that it needs was not told.

    Which slot fills an input, and which inputs stand in for each other, the calculation says itself: of every choice in
    its `EITHER` the first that is complete is taken and the others left out.
    """
    out = inputs_told(command, told)
    if missing_of(command, out) is not None:
        return None
    for choice in choices_of(command):
        taken = next(c for c in choice if out.keys() >= set(c))
        for name in {n for c in choice for n in c} - set(taken):
            out.pop(name, None)
    return out


def inputs_told(command: str, told: Mapping[str, Any]) -> dict[str, str | list[str]]:
    """The inputs of a calculation as far as they were told, and what is usual where nothing was."""
    out: dict[str, str | list[str]] = {}
    for option in options(command):
        value = next((told[s] for s in option.slots if s in told), option.usual or None)
        if value is None:
            continue
        values = [_told(v) for v in value] if isinstance(value, (list, tuple)) else [_told(value)]
        if len(values) >= option.least and values:
            out[option.name] = values if option.many else values[-1 if option.last else 0]
    return out


def choices_of(command: str) -> tuple[tuple[tuple[str, ...], ...], ...]:
    """The groups of inputs of which one is enough."""
    groups: tuple[tuple[tuple[str, ...], ...], ...] = getattr(module(command), "EITHER", ())
    return groups


def missing_of(command: str, inputs: Mapping[str, object]) -> Option | None:
    """The first input that is still wanted: one that it needs, or the one people know best of a choice."""
    listed = options(command)
    by_name = {o.name: o for o in listed}
    lacking = [o for o in listed if (o.required or o.needed) and o.name not in inputs]
    for choice in choices_of(command):
        if not any(inputs.keys() >= set(c) for c in choice):
            lacking.append(by_name[choice[-1][-1]])
    return lacking[0] if lacking else None


def _told(value: Any) -> str:
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)


def run_words(base: Base, words: Iterable[str]) -> Calculation:
    """Run a calculation given as on the command line: its name, then words and --options."""
    command, *rest = words
    return run(base, command, parse(options(command), rest, command))


def parse(known: Iterable[Option], words: list[str], command: str) -> dict[str, str | list[str]]:
    """The inputs from words; UsageError names an unknown option or a missing one."""
    by_name = {o.name: o for o in known}
    positional = [o for o in by_name.values() if o.positional]
    out: dict[str, str | list[str]] = {}
    loose: list[str] = []
    i = 0
    while i < len(words):
        w = words[i]
        if w.startswith("--") and len(w) > 2:
            name, _, value = w[2:].partition("=")
            option = by_name.get(name) or by_name.get(name.replace("-", "_"))
            if option is None or option.positional:
                allowed = ", ".join("--" + o.name for o in by_name.values() if not o.positional)
                raise UsageError(f"{command} has no option --{name}; it has {allowed}")
            if option.flag:
                out[option.name] = "yes"
            else:
                if not value:
                    i += 1
                    if i >= len(words):
                        raise UsageError(f"--{name} needs a value: {option.help}")
                    value = words[i]
                out[option.name] = value
        else:
            loose.append(w)
        i += 1
    for n, o in enumerate(positional):
        if o.many:
            if loose[n:]:
                out[o.name] = loose[n:]
            loose = loose[:n]
            break
        if n < len(loose):
            out[o.name] = loose[n]
    if len(loose) > len(positional):
        raise UsageError(f"{command} cannot use '{' '.join(loose[len(positional) :])}'; see advisor {command} --help")
    for o in by_name.values():
        if o.required and o.name not in out:
            name = o.name.upper() if o.positional else "--" + o.name
            raise UsageError(f"{command} needs {name}: {o.help}")
    return out
