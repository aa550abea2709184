"""An enquiry: what the customer told, as it was told; immutable."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

UNKNOWN = "unknown"
_NOTHING: Mapping[str, Any] = MappingProxyType({})


class Said(NamedTuple):
    """One thing the customer said: value, words, certainty, and how it came (words, answer, object, set)."""

    value: Any
    words: str = ""
    certainty: float = 1.0
    origin: str = "words"


class Enquiry(NamedTuple):
    """What was said so far. `mentioned` are families named without being wished (fitted now, offered elsewhere)."""

    said: Mapping[str, Said] = _NOTHING
    circumstances: Mapping[str, str] = _NOTHING
    mentioned: tuple[str, ...] = ()

    def with_slot(self, slot: str, said: Said) -> Enquiry:
        """The enquiry with one slot said anew."""
        return self._replace(said={**self.said, slot: said})

    def without(self, slot: str) -> Enquiry:
        """The enquiry with one slot unsaid."""
        return self._replace(said={k: v for k, v in self.said.items() if k != slot})


def from_values(values: Mapping[str, Any], origin: str = "set") -> Enquiry:
    """An enquiry from plain slot values (references, rule cases); `circumstance` and `named` go to their place."""
    said: dict[str, Said] = {}
    circumstances: dict[str, str] = {}
    mentioned: tuple[str, ...] = ()
    for slot, value in values.items():
        if slot == "circumstance":
            circumstances = dict.fromkeys(value if isinstance(value, list) else [value], "")
        elif slot == "named":
            mentioned = tuple(value)
        else:
            said[slot] = Said(value, "", 1.0, origin)
    return Enquiry(said, circumstances, mentioned)


def listed(value: Any) -> list[Any]:
    """The values of a slot: none, one or several.

    >>> listed(None), listed("unknown"), listed("C3"), listed(("C3", "C4"))
    ([], [], ['C3'], ['C3', 'C4'])
    """
    if value is None or value == UNKNOWN:
        return []
    return list(value) if isinstance(value, (list, tuple)) else [value]


def usable(values: Mapping[str, Any], slot: str) -> bool:
    """Whether a slot holds more than "unknown"."""
    return values.get(slot) not in (None, UNKNOWN)
