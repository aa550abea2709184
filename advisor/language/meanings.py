"""What a phrase stands for, and how a slot is read: the records that the vocabulary keeps."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Meaning(NamedTuple):
    """What one phrase stands for; the fields are those of a term."""

    id: str
    slot: str = ""
    value: Any = None
    also: Mapping[str, Any] | None = None
    circumstance: str = ""
    intent: str = ""
    certainty: float = 1.0
    exact: bool = False
    answering: str = ""
    gives_way: bool = False
    from_object: bool = False
    application: str = ""


class SlotReading(NamedTuple):
    """How a slot is read, as its node in the knowledge says."""

    type: str = "text"
    safety: bool = False
    denial: Mapping[str, str] = {}
    may_be_denied: bool = False
    two_told: str = "last"
    bare: Mapping[str, Any] | None = None
    nothing_means: str = "unknown"

    @property
    def deniable(self) -> bool:
        """Whether a denial beside it says something of it."""
        return self.may_be_denied or bool(self.denial)


def if_there(section: Callable[[str], Any], name: str) -> Mapping[str, Any]:
    """A section of the base; an empty one where words are tried alone."""
    try:
        held: Mapping[str, Any] = section(name)
    except KeyError:
        return {}
    return held
