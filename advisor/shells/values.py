"""What comes in on the command line and in streams: texts, slot values, one enquiry a line; each checked."""

from __future__ import annotations

from advisor.errors import UsageError
from advisor.graph.base import Base

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.graph.nodes import Slot

LONGEST = 2000
"""Longer texts are no enquiry; they are refused before they are read."""


def one_text(words: list[str], may_be_empty: bool = False) -> str:
    joined = " ".join(words).strip()
    if not joined and not may_be_empty:
        raise UsageError('nothing was asked; put the enquiry in quotes, for example: advisor ask "M10 bolts outside"')
    if len(joined) > LONGEST:
        raise UsageError(f"the text has {len(joined)} characters; put it in a few sentences (at most {LONGEST})")
    return joined


def set_options(base: Base, options: list[str]) -> dict[str, Any]:
    """The slot values of --set options."""
    out: dict[str, Any] = {}
    for option in options:
        slot, eq, value = option.partition("=")
        if not eq:
            raise UsageError(f"--set {option}: write SLOT=VALUE, for example --set life_years=15")
        out[slot.strip()] = slot_value(base, slot.strip(), value.strip())
    return out


def slot_value(base: Base, slot: str, value: Any) -> Any:
    """A value for a slot from text or JSON, checked against the slot; UsageError says what is allowed."""
    node = base.slots.get(slot)
    # most worked-out slots (hardness band, diameter …) are no one's to set: they would switch safety rules off
    if node is None or not node.settable:
        settable = ", ".join(i for i, s in base.slots.items() if s.settable and not s.derived)
        raise UsageError(f"'{slot}' is no slot; slots are {settable}")
    if value == "unknown":
        return value
    if node.type == "choices":
        return _several(base, node, value)
    if node.type == "number":
        return _number(node, value)
    if not isinstance(value, (str, int, float)) or isinstance(value, bool):
        import json

        raise UsageError(f"{slot} takes one word, not {json.dumps(value)[:40]}")
    _allowed(node, [str(value)])
    if slot == "strength":
        return _strength(base, str(value))
    return _size(base, str(value)) if node.type == "size" else _plain(slot, str(value))


def _several(base: Base, slot: Slot, value: Any) -> list[str]:
    """A list of words, from a list or from words with commas between."""
    listed = value
    if isinstance(value, str):
        import json  # few set a list outright: a cold answer does without it

        try:
            listed = json.loads(value) if value.startswith("[") else [v.strip() for v in value.split(",") if v.strip()]
        except ValueError as e:
            raise UsageError(f'{slot.id}: the list cannot be read ({e}); write it as a,b or ["a", "b"]') from None
    if not isinstance(listed, list) or any(not isinstance(v, str) for v in listed):
        raise UsageError(f"{slot.id} takes a list of words")
    _allowed(slot, listed)
    return _families(base, slot.id, listed) if slot.id in ("finish_asked", "exclude") else listed


def _number(slot: Slot, value: Any) -> float:
    """A number in the slot's unit and range."""
    try:
        if isinstance(value, bool):
            raise TypeError
        number = float(value)
    except (TypeError, ValueError):
        raise UsageError(f"{slot.id} takes a number, not '{value}'") from None
    low, high = slot.low, slot.high
    if number != number or (low is not None and number < low) or (high is not None and number > high):
        raise UsageError(f"{slot.id} = {value} is outside {low} to {high} {slot.unit}".rstrip())
    return int(number) if number == int(number) else number


def _strength(base: Base, value: str) -> str:
    """The slug of a class; a class that nobody knows must not pass as a soft one."""
    from advisor.calculations.strengths import find_strength

    return str(base.kind("strength")[find_strength(base, _plain("strength", value).replace(",", "."))]["grade"])


def _size(base: Base, value: str) -> str:
    from advisor.reasoning.measures import diameter_mm

    slot = base.slots["diameter_mm"]
    diameter = diameter_mm(base, _plain("size", value))
    if diameter is None or not (slot.low or 0) <= diameter <= (slot.high or diameter):
        raise UsageError(f"'{value[:40]}' is not a thread size; write it as M10, M10x1.25, 3/8-16 or #10-32")
    return value


def _plain(slot: str, value: str) -> str:
    if not value.strip():
        raise UsageError(f"{slot} is empty; give a value, or 'unknown'")
    if len(value) > LONGEST:
        raise UsageError(f"{slot} has {len(value)} characters; at most {LONGEST}")
    return value


def _families(base: Base, slot: str, values: list[str]) -> list[str]:
    """The families that some values name; a single finish stands for its family."""
    families, finishes = base.kind("family"), base.kind("finish")
    out: list[str] = []
    for v in values:
        if v not in families and v not in finishes:
            raise UsageError(f"'{v}' is no finish family for {slot}; families are {', '.join(families)}")
        out.append(v if v in families else str(finishes[v]["family"]))
    return out


def _allowed(slot: Slot, values: list[str]) -> None:
    for v in values:
        if slot.values and v not in slot.values:
            raise UsageError(f"'{v}' is not a value of {slot.id}; allowed: {', '.join(slot.values)}")
