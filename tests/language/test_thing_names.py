"""The names of things, alone and in the plural: a name that is heard as something else only is no name."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary

HEARD_AS_ANOTHER = 0.004
"""Names that stand for two things ("strut channel") may be heard as the other; so few that nobody is surprised."""


def test_a_plural_that_names_a_part_names_the_thing_too(vocabulary: Vocabulary) -> None:
    """Wheel studs are studs, and they hold a wheel: a vehicle's safety hangs on them."""
    understood = read("wheel studs for a van", vocabulary).understood
    assert understood["part"].value == "stud"
    assert understood["application"].value == "wheel-bolt"
    assert understood["duty"].value == ["vehicle-safety"]


def test_a_plural_inside_longer_phrases_is_the_thing(vocabulary: Vocabulary) -> None:
    assert read("bolts for trucks", vocabulary).understood["application"].value == "commercial-vehicle"
    assert read("screws for kegs", vocabulary).understood["application"].value == "brewery"


def test_several_sizes_are_no_plural(vocabulary: Vocabulary) -> None:
    assert read("galv M16s", vocabulary).understood["size"].value == "M16"


def test_every_name_of_a_thing_is_heard_as_it_or_as_something_narrower(base: Base, vocabulary: Vocabulary) -> None:
    def above(thing: str) -> set[str]:
        return {thing}.union(*(above(broader) for broader in base.applications[thing].is_a))

    names = [
        (a.id, name) for a in base.applications.values() if not a.beside for say in a.say for name in (say, f"{say}s")
    ]
    assert len(names) > 5000
    heard = {(thing, name): read(name, vocabulary).understood.get("application") for thing, name in names}
    missed = [k for k, got in heard.items() if got is None or k[0] not in above(got.value)]
    assert len(missed) <= HEARD_AS_ANOTHER * len(names), missed
