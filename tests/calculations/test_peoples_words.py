"""A finish on the command line may be named as people name it."""

from __future__ import annotations

import pytest

from advisor.calculations import decode
from advisor.graph.base import Base
from advisor.shells.calculate import in_ids


@pytest.mark.parametrize(
    ("typed", "family"),
    [("galvanised", "hot-dip-galvanized"), ("hot dip", "hot-dip-galvanized"), ("zinc", "zinc-electroplate"),
     ("zinc-plated", "zinc-electroplate"), ("zinc nickel", "zinc-nickel"), ("a4-70", "stainless-a4")],
)  # fmt: skip
def test_a_finish_is_understood_in_peoples_words(base: Base, typed: str, family: str) -> None:
    named = str(in_ids(base, {"finish": typed})["finish"])
    assert base.finish(base.resolve_finish(named))["family"] == family


def test_a_word_nobody_knows_stays_for_the_error(base: Base) -> None:
    assert in_ids(base, {"finish": "banana", "size": "M10"}) == {"finish": "banana", "size": "M10"}


@pytest.mark.parametrize("callout", ["Fe/Zn 8 c 2C", "what does Fe/Zn 8 c 2C mean", "FE / ZN 8 C2C"])
def test_blanks_inside_a_code_change_nothing(base: Base, callout: str) -> None:
    # ISO 4042:1999 system B: class 2, type C is yellow iridescent chromate
    readings = decode.run(base, {"callout": callout}).results["readings"]
    assert isinstance(readings, list)
    assert (readings[0]["thickness_um"], readings[0]["passivation"]) == (8, "yellow iridescent")
