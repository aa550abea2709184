"""The calculations an application engineer works out by hand, as the command line and the conversation call them."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.records import NamedTuple


class Option(NamedTuple):
    """One input of a calculation: `name` without dashes; `positional` inputs come without a flag.

    `slots` are the told figures that fill it, of several the first told; `last` takes the upper end of a range.
    `needed` inputs must be told where nobody can type them; `usual` stands in for one that was not; `least` is how many
    an input of many needs.
    """

    name: str
    help: str
    positional: bool = False
    required: bool = False
    many: bool = False
    flag: bool = False
    slots: tuple[str, ...] = ()
    last: bool = False
    needed: bool = False
    usual: str = ""
    least: int = 0


class Calculation(NamedTuple):
    """What a calculation answers, in the contract's terms.

    `results` holds JSON-ready values keyed as in the contract; `lines` is the readable answer, one fact a line;
    `aside` are sentences to say with the result (what was taken, what a narrower window gives);
    `cites` are ids of facts and tables; `cautions` are ids of caution nodes.
    """

    command: str
    inputs: Mapping[str, object]
    results: Mapping[str, object]
    method: str
    lines: tuple[str, ...]
    cites: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
