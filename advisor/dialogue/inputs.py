"""From what a line tells to the inputs of the calculation that it asks for."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.calculations.registry import inputs_from, run
from advisor.errors import AdvisorError
from advisor.graph.base import Base
from advisor.language.requests import Request


def calculation_of(base: Base, request: Request) -> Calculation | None:
    """The calculation that a request asks for; None when what was told is not enough for it."""
    command = "decode" if request.kind == "decode" else request.about
    inputs = inputs_of(command, request)
    if inputs is None:
        return None
    try:
        return run(base, command, inputs)
    except AdvisorError:
        return None


def inputs_of(command: str, request: Request) -> dict[str, str | list[str]] | None:
    """The inputs of a calculation as far as the line tells them; None when one that it needs was not told."""
    if request.kind == "decode":
        return {"callout": [request.about or request.words]}
    return inputs_from(command, request.inputs)
