"""The inputs of a calculation as typed: trimmed, checked for their range, refused with what to write instead."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.errors import UsageError


def typed(inputs: Mapping[str, str | list[str]]) -> dict[str, str]:
    """The inputs that are one text each and not empty, trimmed."""
    return {k: v.strip() for k, v in inputs.items() if isinstance(v, str) and v.strip()}


def text_number(
    given: Mapping[str, str], name: str, low: float, high: float, unit: str, default: float | None = None
) -> float:
    """A number as typed, within its range; UsageError says the valid range.

    >>> text_number({"target": "75 %"}, "target", 1, 100, "%"), text_number({}, "target", 1, 100, "%", 90)
    (75.0, 90)
    """
    if name not in given and default is not None:
        return default
    text = given[name].replace(",", ".").replace("\u2212", "-").removesuffix("%").strip()
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        raise UsageError(
            f"--{name} {given[name]} is not usable; give a number from {low:g} to {high:g} {unit}".rstrip()
        )
    return value
