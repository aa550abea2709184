"""What an application inherits from the broader things it belongs to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Record = Mapping[str, Any]

INHERITED = (
    "environment",
    "environment_ask",
    "circumstance",
    "mating",
    "part",
    "wetted",
    "temperature_c",
    "temperature_min_c",
    "cathodic_protection",
    "duty",
    "endangered",
    "chemical",
    "decides",
    "usual",
    "never",
)
"""Fields that pass from the broader thing; words, name, text and source are a thing's own."""

PLACE = ("environment", "environment_ask")
"""A thing that tells its own place, or asks for it, takes neither from above."""


def with_inherited(applications: Mapping[str, Record]) -> dict[str, Record]:
    """Every application with what it inherits; what it writes itself replaces what comes from above.

    >>> roof = {"is_a": [], "environment": ["outdoor"], "never": ["bare"]}
    >>> known = with_inherited({"roof": roof, "purlin": {"is_a": ["roof"], "environment_ask": ["indoor-damp"]}})
    >>> known["purlin"]
    {'is_a': ['roof'], 'environment_ask': ['indoor-damp'], 'never': ['bare']}
    """
    done: dict[str, Record] = {}
    for i in applications:
        _told(i, applications, done, ())
    return done


def _told(i: str, applications: Mapping[str, Record], done: dict[str, Record], below: tuple[str, ...]) -> Record:
    """One application with what it inherits. `below`: the things on the way down, so that a ring ends."""
    if i in done:
        return done[i]
    own = applications[i]
    told = dict(own)
    placed = any(name in own for name in PLACE)
    for parent in own.get("is_a", ()):
        if parent in below or parent == i or parent not in applications:
            continue
        above = _told(parent, applications, done, (*below, i))
        for name in INHERITED:
            if name in above and name not in told and not (placed and name in PLACE):
                told[name] = above[name]
    done[i] = told
    return told
