"""What stands after a command: read against its options, complained about in one sentence, explained by --help."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from advisor.calculations.options import Option
from advisor.errors import UsageError
from advisor.records import NamedTuple


class Settings(NamedTuple):
    """The global options."""

    knowledge: str | None = None
    overlays: tuple[str, ...] = ()
    plain: bool = False


class Call(NamedTuple):
    """One call of a command: its name, the global options, and its own options as typed (a flag is `yes`)."""

    command: str
    settings: Settings
    given: Mapping[str, str | list[str]]

    def has(self, flag: str) -> bool:
        """Whether a flag was set."""
        return flag in self.given

    def one(self, name: str, otherwise: str = "") -> str:
        """The value of an option."""
        value = self.given.get(name, otherwise)
        return value if isinstance(value, str) else " ".join(value)

    def many(self, name: str) -> list[str]:
        """The values of an option that may stand several times."""
        value = self.given.get(name, [])
        return [value] if isinstance(value, str) else list(value)

    def whole(self, name: str, otherwise: int, low: int, high: int) -> int:
        """A whole number within limits."""
        typed = self.one(name, str(otherwise))
        if not typed.lstrip("-").isdigit() or not low <= int(typed) <= high:
            raise UsageError(f"--{name} {typed} is outside {low} to {high}")
        return int(typed)


def read_options(known: Iterable[Option], words: Sequence[str], command: str) -> dict[str, str | list[str]]:
    """The options from the words after a command; UsageError names one that is unknown, missing or without its value.

    No abbreviations; `--` ends the options; `--name=value` and `--name value` are the same.

    >>> known = [Option("text", "", positional=True, many=True), Option("set", "", many=True)]
    >>> read_options(known, ["a", "--set", "b=1"], "ask")
    {'set': ['b=1'], 'text': ['a']}
    """
    by_name = {o.name: o for o in known}
    out: dict[str, str | list[str]] = {}
    loose: list[str] = []
    rest = iter(words)
    for word in rest:
        if word == "--":
            loose.extend(rest)
        elif word.startswith("--") and len(word) > 2:
            name, _, value = word[2:].partition("=")
            option = _option(by_name, name, command)
            if not option.flag and not value:
                value = next(rest, "")
            _put(out, option, value)
        else:
            loose.append(word)
    _put_loose(out, [o for o in by_name.values() if o.positional], loose, command)
    for o in by_name.values():
        if o.required and o.name not in out:
            name = o.name.upper() if o.positional else "--" + o.name
            raise UsageError(f"{command} needs {name}: {o.help}; see advisor {command} --help")
    return out


def _option(by_name: Mapping[str, Option], name: str, command: str) -> Option:
    option = by_name.get(name) or by_name.get(name.replace("-", "_"))
    if option is None or option.positional:
        allowed = ", ".join("--" + o.name for o in by_name.values() if not o.positional)
        raise UsageError(f"{command} has no option --{name}; it has {allowed}; see advisor {command} --help")
    return option


def _put(out: dict[str, str | list[str]], option: Option, value: str) -> None:
    if option.flag:
        out[option.name] = "yes"
        return
    if not value:
        raise UsageError(f"--{option.name} needs a value: {option.help}")
    held = out.get(option.name)
    if option.many:
        out[option.name] = [*held, value] if isinstance(held, list) else [value]
    else:
        out[option.name] = value


def _put_loose(out: dict[str, str | list[str]], positional: Sequence[Option], loose: list[str], command: str) -> None:
    """Words without a flag go to the positional options in order; one that takes many takes the rest."""
    for n, o in enumerate(positional):
        if o.many:
            if loose[n:]:
                out[o.name] = loose[n:]
            return
        if n < len(loose):
            out[o.name] = loose[n]
    if len(loose) > len(positional):
        raise UsageError(f"{command} cannot use '{' '.join(loose[len(positional) :])}'; see advisor {command} --help")


def help_page(command: str, does: str, options: Sequence[Option], example: str) -> list[str]:
    """The page of one command: usage, what it does, its options, an example."""
    usage = " ".join(_usage(o) for o in options)
    shown = [(o.name.upper() if o.positional else f"--{o.name}" + _value(o), o.help) for o in options]
    longest = max((len(name) for name, _ in shown), default=0) + 2
    return [
        f"usage: advisor {command} {usage}".rstrip(),
        "",
        does,
        "",
        *(f"  {name.ljust(longest)}{text}" for name, text in shown),
        "",
        f"example: {example}",
    ]


def _value(o: Option) -> str:
    return "" if o.flag or o.positional else f" {o.name.upper()}"


def _usage(o: Option) -> str:
    shown = o.name.upper() if o.positional else f"--{o.name}{_value(o)}"
    if o.many:
        shown += "…"
    return shown if o.required else f"[{shown}]"
