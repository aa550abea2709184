"""One thing that a check of the audit found, in a form that every check shares."""

from __future__ import annotations

from collections.abc import Callable

from advisor.errors import Fault
from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Progress = Callable[[str], None]
"""Called with a few words about what is being proved."""


class Finding(NamedTuple):
    """One thing found: the node it concerns, the code of the check, what is wrong, what to do about it.

    A note (`fault` is false) is worth knowing but no fault. The hundreds of the code say what was looked at:
    KB1 structure, KB2 slots and words, KB3 evidence, KB4 the rules' own cases, KB5 walks and questions, KB6 safety,
    KB7 finishes that can be recommended, KB8 reference enquiries.
    """

    node: str
    code: str
    text: str
    remedy: str = ""
    fault: bool = True


def placed(base: Base, found: Finding) -> Fault:
    """A finding with the file and line of its node."""
    place = base.section("places").get(found.node) if found.node else None
    file, line = (str(place[1]), int(place[2])) if place else ("knowledge", 1)
    named = f"{found.node.removeprefix('slot/')}: " if found.node else ""
    return Fault(file, line, 1, found.code, f"{named}{found.text}", found.remedy)


def listed(value: Any) -> list[Any]:
    """A value as a list: nothing is empty, one value stands alone.

    >>> listed(None), listed("a"), listed(["a", "b"])
    ([], ['a'], ['a', 'b'])
    """
    return [] if value is None else value if isinstance(value, list) else [value]
