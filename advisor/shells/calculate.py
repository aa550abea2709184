"""The calculations on the command line: fit, torque, hydrogen, life, couple, quantity, convert, decode, specify."""

from __future__ import annotations

import json
import sys

from advisor.calculations import registry
from advisor.calculations.options import Option
from advisor.errors import UsageError
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.opening import open_knowledge
from advisor.shells.screen import width, write
from advisor.views.data import calculation_json
from advisor.views.text import calculation_text


def _calculate(command: str, settings: Settings, argv: list[str]) -> int:
    if not registry.built(command):
        raise UsageError(f"'{command}' is not part of this version; see advisor --help")
    options = registry.options(command)
    if any(a in ("-h", "--help") for a in argv):
        for line in _help(command, options):
            write(line)
        return 0
    as_json = "--json" in argv
    words = [a for a in argv if a != "--json"]
    inputs = registry.parse(options, words, command)
    base = open_knowledge(settings.knowledge, settings.overlays)
    if base.notice:
        print(f"advisor: {base.notice}", file=sys.stderr)
    found = registry.run(base, command, inputs)
    if as_json:
        write(json.dumps(calculation_json(base, found), ensure_ascii=False))
    else:
        for line in calculation_text(base, found, width()):
            write(line)
    return 0


def _help(command: str, options: tuple[Option, ...]) -> list[str]:
    usage = " ".join(
        (o.name.upper() + ("…" if o.many else "")) if o.positional else f"--{o.name}" if o.required else f"[--{o.name}]"
        for o in options
    )
    out = [f"usage: advisor {command} {usage} [--json]", "", COMMANDS[command].does, ""]
    longest = max(len(o.name) for o in options) + 4
    for o in options:
        name = o.name.upper() if o.positional else f"--{o.name}"
        out.append(f"  {name.ljust(longest)}  {o.help}")
    example = getattr(registry.module(command), "EXAMPLE", "")
    return [*out, "", f"example: {example}"] if example else out


def decode(settings: Settings, argv: list[str]) -> int:
    """advisor decode CALLOUT…"""
    return _calculate("decode", settings, argv)


def specify(settings: Settings, argv: list[str]) -> int:
    """advisor specify FINISH"""
    return _calculate("specify", settings, argv)


def fit(settings: Settings, argv: list[str]) -> int:
    """advisor fit --size S"""
    return _calculate("fit", settings, argv)


def torque(settings: Settings, argv: list[str]) -> int:
    """advisor torque --size S --strength G"""
    return _calculate("torque", settings, argv)


def hydrogen(settings: Settings, argv: list[str]) -> int:
    """advisor hydrogen --strength G"""
    return _calculate("hydrogen", settings, argv)


def life(settings: Settings, argv: list[str]) -> int:
    """advisor life --site C3"""
    return _calculate("life", settings, argv)


def couple(settings: Settings, argv: list[str]) -> int:
    """advisor couple METAL METAL"""
    return _calculate("couple", settings, argv)


def quantity(settings: Settings, argv: list[str]) -> int:
    """advisor quantity --part P --size S --length MM"""
    return _calculate("quantity", settings, argv)


def convert(settings: Settings, argv: list[str]) -> int:
    """advisor convert VALUE UNIT"""
    return _calculate("convert", settings, argv)
