"""What must stand in a note before a pattern can match: found when the base is compiled, looked up in each note.

Two hundred patterns describe the codes and their words. Compiling them all costs a tenth of a second, and nearly every
one of them needs some letters or a number that most notes do not hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Gates = Mapping[str, Sequence[str]]
"""Pattern -> the strings of which one stands in every text it matches; a pattern without an entry is always tried."""

NO_GATES: Gates = {}
"""Every pattern is tried."""

LEAST = 2
"""A single letter is in nearly every note and holds nothing back."""


def gates_of(patterns: Iterable[str]) -> dict[str, list[str]]:
    """The gate of every pattern that has one.

    >>> gates_of([r"(?:astm ?-?)?f ?-?1941m?", r"fe/(?P<metal>zn|cd) ?[0-9]+", r"[a-z][0-9][a-z]"])
    {'(?:astm ?-?)?f ?-?1941m?': ['1941'], 'fe/(?P<metal>zn|cd) ?[0-9]+': ['fe/']}
    """
    # the parser of the standard library: only there when a base is compiled, and without it every pattern is tried
    from importlib import import_module

    parse = import_module("re._parser").parse
    out: dict[str, list[str]] = {}
    for pattern in dict.fromkeys(patterns):
        held = _held(parse(pattern))
        if held and min(map(len, held)) >= LEAST:
            out[pattern] = sorted(held)
    return out


def may_match(gates: Gates, pattern: str, text: str) -> bool:
    """Whether a text holds what a pattern needs.

    >>> may_match({"f ?1941": ["1941"]}, "f ?1941", "b633"), may_match({}, "[a-z]", "b633")
    (False, True)
    """
    held = gates.get(pattern)
    return held is None or any(h in text for h in held)


def choices(pattern: str) -> list[str]:
    """The choices of a pattern that stand side by side, so that each can have a gate of its own.

    >>> choices(r"from|the|iso ?(?:261|262)|[a|b]\\|")
    ['from', 'the', 'iso ?(?:261|262)', '[a|b]\\\\|']
    """
    out, depth, in_class, start, i = [], 0, False, 0, 0
    while i < len(pattern):
        c = pattern[i]
        if c == "\\":
            i += 1
        elif in_class:
            in_class = c != "]"
        elif c == "[":
            in_class = True
        elif c in "()":
            depth += 1 if c == "(" else -1
        elif c == "|" and not depth:
            out.append(pattern[start:i])
            start = i + 1
        i += 1
    return [*out, pattern[start:]]


def _held(items: Any) -> frozenset[str]:
    """The strings of which every match of a parsed pattern holds one: the set whose shortest is longest."""
    best: frozenset[str] = frozenset()
    run = ""
    for op, argument in [*items, (None, None)]:
        if str(op) == "LITERAL":
            run += chr(argument)
            continue
        found = [frozenset((run,))] if run else []
        run = ""
        inner = _inner(str(op), argument)
        for choice in [*found, *([inner] if inner else [])]:
            if not best or min(map(len, choice)) > min(map(len, best)):
                best = choice
    return best


def _inner(op: str, argument: Any) -> frozenset[str]:
    """What a group, a choice or a repetition holds; nothing where it may be left out."""
    if op == "SUBPATTERN":
        return _held(argument[-1])
    if op == "BRANCH":
        branches = [_held(b) for b in argument[1]]
        return frozenset().union(*branches) if all(branches) else frozenset()
    if op == "MAX_REPEAT" and argument[0] >= 1:
        return _held(argument[2])
    return frozenset()
