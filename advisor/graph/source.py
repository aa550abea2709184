"""Reads one knowledge file into values that remember their line and column; refuses what YAML would let slip.

Only plain mappings, lists and scalars: no anchors, aliases or tags, no duplicate keys, no control characters,
bounded size and depth. `yes`, `no`, `on`, dates, octal and sexagesimal numbers stay text; a number is what JSON
calls a number, a boolean is `true` or `false`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Protocol

from advisor.errors import Fault
from advisor.records import NamedTuple

MAX_BYTES = 1_000_000
MAX_DEPTH = 24
_NUMBER_BEGINS = frozenset("-0123456789")
_WORDS_THAT_ARE_VALUES: Mapping[str, bool | None] = {"true": True, "false": False, "": None, "null": None, "~": None}
_MAY_STAND = "\n\t\u00a0\u202f"
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]{0,17})(?:\.[0-9]{1,17})?(?:[eE][-+]?[0-9]{1,2})?\Z")


class Item(NamedTuple):
    """One value with its place (1-based). Containers hold Items: dict[str, Item] or list[Item]."""

    value: Any
    line: int
    column: int


class TellFault(Protocol):
    """Called with the faulty place, the code of the check, what is wrong and what to do."""

    def __call__(self, where: Item, code: str, text: str, remedy: str = "") -> None: ...


class SourceFault(Exception):
    """A fault that makes the file unreadable as a whole."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(str(fault))


def strip_marks(item: Item) -> Any:
    """The plain value below an item.

    >>> strip_marks(Item([Item(1, 1, 1), Item("a", 1, 4)], 1, 1))
    [1, 'a']
    """
    v = item.value
    if isinstance(v, dict):
        return {k: strip_marks(x) for k, x in v.items()}
    if isinstance(v, list):
        return [strip_marks(x) for x in v]
    return v


def read_file(path: Path, shown: str) -> tuple[Item | None, list[Fault]]:
    """The document in a file (None when it is empty or unreadable) and the faults found; `shown` names the file."""
    try:
        data = path.read_bytes()
    except OSError as e:
        return None, [Fault(shown, 1, 1, "KB001", f"the file cannot be read ({e.strerror})", "check its permissions")]
    return read_text(data, shown)


def read_text(data: bytes, shown: str) -> tuple[Item | None, list[Fault]]:
    """As read_file, from bytes.

    >>> doc, faults = read_text(b"a: 1\\na: 2\\n", "x.yaml")
    >>> str(faults[0])
    "x.yaml:2:1: KB005 the key 'a' stands twice; remove one"
    """
    import yaml

    if len(data) > MAX_BYTES:
        return None, [Fault(shown, 1, 1, "KB001", f"the file is larger than {MAX_BYTES} bytes", "split it")]
    faults: list[Fault] = []
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as e:
        line = data[: e.start].count(b"\n") + 1
        return None, [Fault(shown, line, 1, "KB001", "the file is not UTF-8", "save it as UTF-8")]
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    try:
        return _Reader(loader(text), yaml, shown, faults).document(), faults
    except SourceFault as e:
        return None, [*faults, e.fault]
    except yaml.MarkedYAMLError as e:
        mark = e.problem_mark or e.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        return None, [
            *faults,
            Fault(
                shown, line, column, "KB002", f"not valid YAML: {e.problem or e.context}", "check quotes and indents"
            ),
        ]
    except yaml.YAMLError as e:
        line = text[: getattr(e, "position", 0) or 0].count("\n") + 1
        return None, [*faults, Fault(shown, line, 1, "KB002", f"not valid YAML: {str(e).splitlines()[0]}")]
    except RecursionError:
        return None, [*faults, Fault(shown, 1, 1, "KB003", "the file is nested too deeply", "flatten it")]


class _Reader:
    """Builds Items from the parser's events.

    It pulls them from the parser itself and compares classes, not instances: a knowledge of three megabytes has three
    hundred thousand events, and a generator between them with five checks for each costs a third of a compile.
    """

    def __init__(self, parser: Any, yaml: Any, shown: str, faults: list[Fault]) -> None:
        self._next: Callable[[], Any] = parser.get_event
        self._scalar_event, self._list_event, self._list_end, self._mapping_event, self._mapping_end, self._alias = (
            yaml.ScalarEvent,
            yaml.SequenceStartEvent,
            yaml.SequenceEndEvent,
            yaml.MappingStartEvent,
            yaml.MappingEndEvent,
            yaml.AliasEvent,
        )
        self._document_event = yaml.DocumentStartEvent
        self._shown = shown
        self._faults = faults

    def _fault(self, mark: Any, code: str, text: str, remedy: str = "") -> Fault:
        return Fault(self._shown, mark.line + 1, mark.column + 1, code, text, remedy)

    def _fail(self, mark: Any, code: str, text: str, remedy: str = "") -> SourceFault:
        return SourceFault(self._fault(mark, code, text, remedy))

    def document(self) -> Item | None:
        """The one document of the file; None when it holds none."""
        result: Item | None = None
        seen = 0
        while (event := self._next()) is not None:
            kind = type(event)
            if kind is self._document_event:
                seen += 1
                if seen > 1:
                    raise self._fail(event.start_mark, "KB003", "a second document begins here", "keep one a file")
            elif kind in (self._scalar_event, self._list_event, self._mapping_event, self._alias):
                result = self._value(event, 0)
        return result

    def _value(self, event: Any, depth: int) -> Item:
        kind = type(event)
        mark = event.start_mark
        if kind is self._alias or event.anchor or event.tag is not None or depth > MAX_DEPTH:
            self._refuse(event, depth)
        if kind is self._scalar_event:
            return Item(self._scalar(event), mark.line + 1, mark.column + 1)
        if kind is self._list_event:
            items: list[Item] = []
            while type(e := self._next()) is not self._list_end:
                items.append(self._value(e, depth + 1))
            return Item(items, mark.line + 1, mark.column + 1)
        return Item(self._mapping(depth), mark.line + 1, mark.column + 1)

    def _mapping(self, depth: int) -> dict[str, Item]:
        found: dict[str, Item] = {}
        while type(e := self._next()) is not self._mapping_end:
            if type(e) is not self._scalar_event:
                raise self._fail(e.start_mark, "KB003", "a key must be a plain word")
            key = e.value
            value = self._value(self._next(), depth + 1)
            if key in found:
                self._faults.append(self._fault(e.start_mark, "KB005", f"the key '{key}' stands twice", "remove one"))
            elif not key.isprintable():
                raise self._fail(e.start_mark, "KB006", "the key holds a control character", "remove it")
            found[key] = value
        return found

    def _refuse(self, event: Any, depth: int) -> None:
        """Raise for what YAML can do and knowledge must not; a quoted text's `!` says nothing and may stand."""
        mark = event.start_mark
        if type(event) is self._alias:
            raise self._fail(mark, "KB004", "aliases (*) are not allowed", "write the value out")
        if event.anchor:
            raise self._fail(mark, "KB004", "anchors (&) are not allowed", "write the value out")
        if event.tag not in (None, "!") or (event.tag == "!" and event.implicit == (False, False)):
            raise self._fail(mark, "KB004", f"the tag {event.tag} is not allowed", "write a plain value")
        if depth > MAX_DEPTH:
            raise self._fail(mark, "KB003", f"nested deeper than {MAX_DEPTH} levels", "flatten it")

    def _scalar(self, event: Any) -> str | int | float | bool | None:
        text: str = event.value
        if not text.isprintable() and any(not c.isprintable() and c not in _MAY_STAND for c in text):
            bad = next(c for c in text if not c.isprintable() and c not in _MAY_STAND)
            self._faults.append(
                self._fault(
                    event.start_mark, "KB006", f"the text holds the control character U+{ord(bad):04X}", "remove it"
                )
            )
            return "".join(c for c in text if c.isprintable() or c in "\n\t")
        if event.style or not event.implicit[0]:
            return text
        return _plain(text)


def _plain(text: str) -> str | int | float | bool | None:
    """What a text without quotes is.

    >>> [_plain(t) for t in ("12", "-1.5", "010", "true", "yes", "~", "M10")]
    [12, -1.5, '010', True, 'yes', None, 'M10']
    """
    if text[:1] in _NUMBER_BEGINS and _NUMBER.match(text):
        return float(text) if any(c in text for c in ".eE") else int(text)
    return _WORDS_THAT_ARE_VALUES.get(text, text)
