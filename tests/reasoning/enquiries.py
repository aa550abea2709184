"""Enquiries drawn from the questions of the knowledge: answers of a person who tells some things and not others."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

from advisor.graph.base import Base


def some_enquiries(base: Base, count: int, seed: int = 7) -> Iterator[dict[str, Any]]:
    """Slot values of so many enquiries, from none told to six told, the same at every run."""
    choose = random.Random(seed)
    decisions = list(base.kind("decision").values())
    for _ in range(count):
        values: dict[str, Any] = {}
        for d in choose.sample(decisions, choose.choice((0, 1, 2, 3, 4, 6))):
            value = choose.choice(d["options"])["value"]
            if d["slot"] == "circumstance":
                listed = value if isinstance(value, list) else [value]
                values["circumstance"] = [*values.get("circumstance", []), *listed]
            else:
                values[d["slot"]] = value
        yield values
