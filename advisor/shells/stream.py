"""One enquiry a line from standard input, one answer a line out, in order and as each is done."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Iterator

from advisor.errors import AdvisorError, UsageError
from advisor.graph.base import Base
from advisor.reasoning.remembered import Remembered
from advisor.shells.screen import encoded, write
from advisor.shells.values import LONGEST, slot_value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

MOST_KEPT = 60
"""Answers kept for lines that come again, as the lines of a parts list do."""


def _lines() -> Iterator[str]:
    for raw in sys.stdin.buffer:
        yield raw.decode("utf-8", errors="replace").rstrip("\r\n")


def stream(
    base: Base,
    one: Callable[[str, dict[str, Any], str | None], str],
    empty: Callable[[], dict[str, Any]],
    as_json: bool,
) -> int:
    """One enquiry a line through `one`; a bad line gives an object (from `empty`) with `error`, and the rest goes
    on."""
    # what was opened stays for good: the collector need not look at it after every few lines
    gc.freeze()
    kept: Remembered[str, str] = Remembered(MOST_KEPT)
    for line in _lines():
        if not line.strip():
            continue
        try:
            if line not in kept:
                words, values, answering = _item(base, line)
                if len(words) > LONGEST:
                    raise UsageError(f"the text has {len(words)} characters; at most {LONGEST}")
                kept[line] = one(words, values, answering)
            write(kept[line])
        except (AdvisorError, RecursionError) as e:
            fault = base.phrase("say-too-nested") if isinstance(e, RecursionError) else str(e)
            write(encoded({**empty(), "error": fault}) if as_json else fault)
        sys.stdout.flush()
    return 0


def _item(base: Base, line: str) -> tuple[str, dict[str, Any], str | None]:
    """Text, set values and the slot answered, from plain text or a JSON object."""
    if not line.lstrip().startswith("{"):
        return line, {}, None
    import json

    try:
        given = json.loads(line)
    except (ValueError, RecursionError) as e:
        raise UsageError(f"the line is not valid JSON ({e})") from None
    if not isinstance(given, dict) or not isinstance(given.get("text", ""), str):
        raise UsageError('the line must be a JSON object {"text": …, "set": {…}, "answering": …}')
    unknown = set(given) - {"text", "set", "answering"}
    if unknown:
        raise UsageError(f"unknown key {', '.join(sorted(unknown))}; a line has text, set and answering")
    values = given.get("set") or {}
    if not isinstance(values, dict):
        raise UsageError("'set' must be an object of slots and values")
    answering = given.get("answering")
    if answering is not None and (not isinstance(answering, str) or answering not in base.kind("slot")):
        raise UsageError(f"'{str(answering)[:40]}' is no slot")
    return given.get("text", ""), {s: slot_value(base, s, v) for s, v in values.items()}, answering
