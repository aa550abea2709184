"""Types of the fields in the knowledge files: what a value may be, checked with its place in the file."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from advisor.graph.source import Item, TellFault
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, TypeAlias

ID = re.compile(r"[a-z0-9]+(?:[-/._][a-z0-9]+)*\Z")


class Str(NamedTuple):
    """Text. `choices` closes the vocabulary; `slug` asks for lower-case words joined by hyphens."""

    choices: tuple[str, ...] = ()
    slug: bool = False


class Num(NamedTuple):
    """A finite number within [low, high]."""

    low: float | None = None
    high: float | None = None
    whole: bool = False


class Bool(NamedTuple):
    """true or false, nothing else."""


class Range(NamedTuple):
    """A number, or [low, high] in ascending order."""


class Ref(NamedTuple):
    """The id of a node of one of the kinds; resolved when the graph is built."""

    kinds: tuple[str, ...]


class Names(NamedTuple):
    """A list of names of sets, families and finishes (resolved when the graph is built)."""


class ListOf(NamedTuple):
    """A list of values of one type."""

    item: Type
    least: int = 0


class MapOf(NamedTuple):
    """A mapping with free keys of one kind (`keys`: allowed words, or empty for any slug) and values of one type."""

    value: Type
    keys: tuple[str, ...] = ()


class Struct(NamedTuple):
    """A mapping with named fields."""

    fields: Mapping[str, Type]
    required: tuple[str, ...] = ()


class OneOf(NamedTuple):
    """Any of several types, told apart by the shape of the value."""

    types: tuple[Type, ...]


class Anything(NamedTuple):
    """A plain JSON value (cells of tables, enquiries); conditions are checked in the build step."""


Type: TypeAlias = Str | Num | Bool | Range | Ref | Names | ListOf | MapOf | Struct | OneOf | Anything


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _shape_fits(t: Type, item: Item) -> bool:
    """Whether the outer shape of a value is that of the type, so that OneOf can choose."""
    v = item.value
    match t:
        case Str() | Ref():
            return isinstance(v, str)
        case Num():
            return _is_number(v)
        case Bool():
            return isinstance(v, bool)
        case Range():
            return _is_number(v) or (isinstance(v, list) and len(v) == 2 and all(_is_number(x.value) for x in v))
        case ListOf() | Names():
            return isinstance(v, list)
        case MapOf() | Struct():
            return isinstance(v, dict)
        case OneOf():
            return any(_shape_fits(x, item) for x in t.types)
        case Anything():
            return True


def describe(t: Type) -> str:
    """A type in words, for a fault message."""
    match t:
        case Str(choices=c) if c:
            return "one of " + ", ".join(c)
        case Str(slug=True):
            return "a name in lower-case words joined by hyphens"
        case Str():
            return "text (put it in quotes if it looks like a number)"
        case Num(whole=True):
            return "a whole number"
        case Num():
            return "a number"
        case Bool():
            return "true or false"
        case Range():
            return "a number or [low, high]"
        case Ref(kinds=k):
            return "the id of a " + " or ".join(k)
        case Names():
            return "a list of sets, families or finishes"
        case ListOf(item=i):
            return f"a list, each {describe(i)}"
        case MapOf():
            return "a mapping"
        case Struct(fields=f):
            return "a mapping with " + ", ".join(f)
        case OneOf(types=ts):
            return " or ".join(describe(x) for x in ts)
        case Anything():
            return "any value"


def check(t: Type, item: Item, report: TellFault) -> None:
    """Report every place where a value is not of the type; recursive, never raises."""
    v = item.value
    if not _shape_fits(t, item):
        report(item, "KB012", f"expected {describe(t)}, found {_found(v)}")
        return
    match t:
        case Str(choices=choices, slug=slug):
            if choices and v not in choices:
                report(item, "KB012", f"'{v}' is not allowed here", f"expected {describe(t)}")
            elif slug and not ID.match(v):
                report(item, "KB012", f"'{v}' is not {describe(t)}")
            elif not v.strip():
                report(item, "KB014", "the text is empty", "write it or leave the key out")
        case Num(low=low, high=high, whole=whole):
            if not math.isfinite(v):
                report(item, "KB015", "the number is not finite")
            elif (low is not None and v < low) or (high is not None and v > high):
                report(item, "KB015", f"{v} is outside {low} to {high}")
            elif whole and int(v) != v:
                report(item, "KB015", f"{v} is not a whole number")
        case Range():
            ends = [x.value for x in v] if isinstance(v, list) else [v, v]
            if not all(math.isfinite(x) for x in ends):
                report(item, "KB015", "the number is not finite")
            elif ends[0] > ends[1]:
                report(item, "KB015", f"the range {ends[0]} to {ends[1]} is upside down")
        case ListOf(item=inner, least=least):
            if len(v) < least:
                report(item, "KB014", f"the list needs at least {least} entries")
            for x in v:
                check(inner, x, report)
        case Names():
            for x in v:
                check(Str(slug=True), x, report)
        case MapOf(value=inner, keys=keys):
            for key, x in v.items():
                if keys and key not in keys:
                    report(x, "KB011", f"unknown key '{key}'", f"allowed: {', '.join(keys)}")
                else:
                    check(inner, x, report)
        case Struct(fields=fields, required=required):
            for key, x in v.items():
                if key not in fields:
                    report(x, "KB011", f"unknown key '{key}'", f"allowed: {', '.join(fields)}")
                else:
                    check(fields[key], x, report)
            for key in required:
                if key not in v:
                    report(item, "KB016", f"the key '{key}' is missing")
        case OneOf(types=types):
            for x in types:
                if _shape_fits(x, item):
                    check(x, item, report)
                    break
        case _:
            pass


def _found(v: Any) -> str:
    match v:
        case bool():
            return f"{'true' if v else 'false'} (true/false)"
        case str():
            return f"the text '{v[:60]}'"
        case int() | float():
            return f"the number {v}"
        case list():
            return "a list"
        case dict():
            return "a mapping"
        case _:
            return "nothing (null)"
