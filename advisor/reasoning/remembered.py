"""A bounded store of results that are asked again and again."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeVar

    K = TypeVar("K")
    V = TypeVar("V")


class Remembered(dict["K", "V"]):
    """A dictionary that is emptied when it is full: the memory of a long list of enquiries stays flat.

    >>> kept = Remembered(2)
    >>> kept[1] = kept[2] = kept[3] = "x"
    >>> list(kept)
    [3]
    """

    __slots__ = ("_most",)

    def __init__(self, most: int) -> None:
        self._most = most

    def __setitem__(self, key: K, value: V) -> None:
        if len(self) >= self._most:
            self.clear()
        super().__setitem__(key, value)
