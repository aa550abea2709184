"""Runs demo conversations kept as plain text and compares every printed line."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Save, State
from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.shells.given import Call
from advisor.shells.opening import open_told, opened
from advisor.shells.screen import write
from advisor.views.turns import turn_lines

PROMPT = "> "
WIDTH = 80
SAVED_AS = "recommendation.html"
"""A replayed conversation saves nothing; the line says what a real one would."""


class Turn(NamedTuple):
    """One utterance of a demo and the lines that should follow."""

    line: int
    said: str
    shown: tuple[str, ...]


class Demo(NamedTuple):
    """A demo conversation: the words before it begins, and its turns."""

    head: tuple[str, ...]
    turns: tuple[Turn, ...]


def parse(text: str) -> Demo:
    """A demo from its text: what stands before the first `> ` is the introduction.

    >>> parse("About it.\\n\\n> M10\\nI see.\\n").turns[0].said
    'M10'
    """
    head: list[str] = []
    turns: list[Turn] = []
    shown: list[str] | None = None
    for n, line in enumerate(text.splitlines(), 1):
        if line.startswith(PROMPT):
            if turns and shown is not None:
                turns[-1] = turns[-1]._replace(shown=_trim(shown))
            turns.append(Turn(n, line[len(PROMPT) :], ()))
            shown = []
        elif shown is None:
            head.append(line)
        else:
            shown.append(line)
    if turns and shown is not None:
        turns[-1] = turns[-1]._replace(shown=_trim(shown))
    return Demo(tuple(head), tuple(turns))


def _trim(lines: list[str]) -> tuple[str, ...]:
    """Lines without the blank ones at both ends."""
    first = next((i for i, x in enumerate(lines) if x.strip()), len(lines))
    last = next((i for i in range(len(lines), 0, -1) if lines[i - 1].strip()), 0)
    return tuple(lines[first:last])


def run_demo(guide: Guide, utterances: Iterable[str], width: int = WIDTH) -> list[tuple[str, ...]]:
    """What the conversation prints after each utterance."""
    state = State()
    out: list[tuple[str, ...]] = []
    for said in utterances:
        state, replies = guide.step(state, said)
        lines = turn_lines(guide.engine, replies, width)
        lines += [guide.base.phrase("say-saved", file=SAVED_AS) for r in replies if isinstance(r, Save)]
        out.append(_trim(lines))
    return out


def compare(demo: Demo, printed: list[tuple[str, ...]], name: str) -> list[str]:
    """A readable difference between a demo and what is printed now; empty when they agree."""
    from difflib import unified_diff

    out: list[str] = []
    for turn, now in zip(demo.turns, printed, strict=True):
        if turn.shown != now:
            out.append(f"{name}:{turn.line}: after '{turn.said}'")
            out += list(unified_diff(turn.shown, now, "in the file", "now", lineterm="", n=1))[2:]
    return out


def written(demo: Demo, printed: list[tuple[str, ...]]) -> str:
    """The demo as text with what is printed now."""
    parts = ["\n".join(demo.head).rstrip()]
    for turn, now in zip(demo.turns, printed, strict=True):
        parts.append("\n".join([PROMPT + turn.said, "", *now]))
    return "\n\n".join(parts) + "\n"


def run(call: Call) -> int:
    """advisor replay FILE… [--write]"""
    base = open_told(call.settings)
    desk = opened(base)
    guide = Guide(desk.engine, desk.vocabulary)
    files = call.many("files")
    differing = sum(not _replayed(guide, name, call.has("write")) for name in files)
    if differing:
        told = base.phrase("say-demos-differ", differing=differing, total=len(files))
        print(f"advisor: {told}", file=sys.stderr)
    return 1 if differing else 0


def _replayed(guide: Guide, name: str, rewrite: bool) -> bool:
    """Run one demo; False where it prints something else than its file."""
    path = Path(name)
    try:
        demo = parse(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as e:
        raise UsageError(f"'{name}' cannot be read ({e})") from None
    if not demo.turns:
        raise UsageError(f"'{name}' holds no utterance (a line beginning with '> ')")
    printed = run_demo(guide, [t.said for t in demo.turns])
    if rewrite:
        path.write_text(written(demo, printed), encoding="utf-8")
        write(f"{name}: written, {len(demo.turns)} turns")
        return True
    difference = compare(demo, printed, name)
    for line in difference or [f"{name}: same, {len(demo.turns)} turns"]:
        write(line)
    return not difference
