"""The sections of a compiled base as bytes: whole ones, and such of many entries that are read one entry at a time.

Written with marshal, the interpreter's own form for compiled modules: reading it back is four times as fast as JSON and
needs no import. It is as trustworthy as a compiled module, and guarded in the same way (see store.py).
"""

from __future__ import annotations

import marshal
from _imp import source_hash
from collections.abc import Callable, Iterator, Mapping

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

ReadAt = Callable[[int, int], bytes]
"""The bytes at an offset, of a length."""
Place = tuple[int, ...]
"""Where a section lies: (offset, length); one of entries (offset, length, buckets, entries, length of its keys)."""

_WIDTH = 4
_SALT = 0x60D


class Entries(dict[str, "Any"]):
    """A section of many entries of which few are wanted at a time: it is read entry by entry."""


def pack(sections: Mapping[str, Any]) -> tuple[dict[str, Place], bytes]:
    """Where each section lies, and all of them one after another.

    >>> places, body = pack({"one": [1, 2], "many": Entries(a=1, b={"c": 2})})
    >>> held = Sections(places, lambda at, length: body[at : at + length])
    >>> held.load("one"), held.load("many")["b"], list(held.load("many"))
    ([1, 2], {'c': 2}, ['a', 'b'])
    """
    places: dict[str, Place] = {}
    parts: list[bytes] = []
    at = 0
    for name, value in sections.items():
        if isinstance(value, Entries):
            data, buckets, keys = _buckets(value)
            places[name] = (at, len(data), buckets, len(value), keys)
        else:
            data = marshal.dumps(value)
            places[name] = (at, len(data))
        parts.append(data)
        at += len(data)
    return places, b"".join(parts)


def _bucket_of(key: str, buckets: int) -> int:
    # the interpreter's hash for source files: the same in every process, and there without an import
    return int.from_bytes(source_hash(_SALT, key.encode())[:_WIDTH], "little") % buckets


def _buckets(entries: Mapping[str, Any]) -> tuple[bytes, int, int]:
    """Table of offsets, buckets, keys in order; then the number of buckets and the length of the keys."""
    count = max(1, len(entries))
    held: list[list[Any]] = [[] for _ in range(count)]
    for key, value in entries.items():
        held[_bucket_of(key, count)] += (key, marshal.dumps(value))
    ends, parts, at = [0], [], 0
    for bucket in held:
        parts.append(marshal.dumps(tuple(bucket)) if bucket else b"")
        at += len(parts[-1])
        ends.append(at)
    table = b"".join(end.to_bytes(_WIDTH, "little") for end in ends)
    keys = marshal.dumps(tuple(entries))
    return b"".join((table, *parts, keys)), count, len(keys)


class Sections:
    """The sections of one base, each read when it is asked for."""

    def __init__(self, places: Mapping[str, Place], read: ReadAt) -> None:
        self._places = places
        self._read = read

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def load(self, name: str) -> Any:
        """A section, read now; KeyError when there is none of the name."""
        place = self._places[name]
        if len(place) == 2:
            return marshal.loads(self._read(*place))
        return StoredEntries(self._read, place)


class Unwritten(Sections):
    """The sections of a base that is being compiled, as they are."""

    def __init__(self, sections: Mapping[str, Any]) -> None:
        self._made = sections

    def __iter__(self) -> Iterator[str]:
        return iter(self._made)

    def load(self, name: str) -> Any:
        """A section; KeyError when there is none of the name yet."""
        return self._made[name]


class StoredEntries(Mapping[str, "Any"]):
    """A section of entries: opening it costs nothing, each entry is read when it is asked for, and kept."""

    def __init__(self, read: ReadAt, place: Place) -> None:
        self._read = read
        self._at, self._length, self._count, self._entries, self._keys = place
        self._table: memoryview | None = None
        self._held: dict[str, Any] = {}
        self._order: tuple[str, ...] | None = None

    def _bucket(self, key: str) -> tuple[Any, ...]:
        if self._table is None:
            self._table = memoryview(self._read(self._at, (self._count + 1) * _WIDTH)).cast("I")
        n = _bucket_of(key, self._count)
        start, end = self._table[n], self._table[n + 1]
        if start == end:
            return ()
        first = self._at + (self._count + 1) * _WIDTH
        found: tuple[Any, ...] = marshal.loads(self._read(first + start, end - start))
        return found

    def __getitem__(self, key: str) -> Any:
        if key in self._held:
            return self._held[key]
        bucket = self._bucket(key)
        for i in range(0, len(bucket), 2):
            if bucket[i] == key:
                value = self._held[key] = marshal.loads(bucket[i + 1])
                return value
        raise KeyError(key)

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and (key in self._held or key in self._bucket(key)[::2])

    def __iter__(self) -> Iterator[str]:
        if self._order is None:
            self._order = marshal.loads(self._read(self._at + self._length - self._keys, self._keys))
        return iter(self._order)

    def __len__(self) -> int:
        return self._entries
