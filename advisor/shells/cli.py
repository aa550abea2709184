"""The command line: finds the command, keeps the contract's exit codes, prints every error as one sentence."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable

from advisor.calculations.options import Option
from advisor.errors import AdvisorError, UsageError
from advisor.shells.commands import COMMANDS, JSON, Command
from advisor.shells.given import Call, Settings, help_page, read_options

GLOBALS = """  --knowledge DIR  use another knowledge base
  --overlay DIR    put a layer of your own on top (may stand several times)
  --plain          no colour, no completion
  --version        print the version
  --help           print this page; after a command: its own page"""

EXAMPLES = """Examples:
  advisor
  advisor ask "200 M10 bolts 10.9 for a trailer on salted roads, RoHS"
  advisor ask "M12 8.8 by the sea" --set life_years=15 --json
  advisor lookup hot dip
  echo "M8 outside" | advisor"""

EXIT_CODES = (
    "Exit codes: 0 answered, 1 fault in the knowledge, 2 bad usage, 3 an engineer must decide, 130 interrupted."
)


def run(argv: list[str]) -> int:
    """Run one command line; returns the exit code and never lets a traceback out."""
    try:
        code = _run(argv)
        sys.stdout.flush()
        return code
    except AdvisorError as e:
        return _complain(str(e), e.exit_code)
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        return 0
    except RecursionError:
        return _complain("that is nested too deeply to read; simplify it", 2)
    except Exception as e:
        if os.environ.get("ADVISOR_TRACEBACK"):
            raise
        return _complain(f"the program stumbled ({type(e).__name__}: {e}); please report it with the words typed", 1)


def _complain(text: str, code: int) -> int:
    from advisor.views.layout import clean

    line = clean(" ".join(text.split()))
    print(f"advisor: {line[:600]}", file=sys.stderr)
    return code


def _run(argv: list[str]) -> int:
    settings, rest = _globals(argv)
    if rest and rest[0] in ("-h", "--help"):
        print(_help())
        return 0
    if rest and rest[0] == "--version":
        from advisor import __version__

        print(f"advisor {__version__}")
        return 0
    name = rest[0] if rest else "chat"
    command = COMMANDS.get(name)
    if command is None:
        if name.startswith("-"):
            raise UsageError(f"unknown option {name}; see advisor --help")
        hint = f'see advisor --help, or ask: advisor ask "{name} …"'
        raise UsageError(f"unknown command '{name}'{_near(name)}; {hint}")
    words = rest[1:]
    options = _options(name, command)
    if "-h" in words or "--help" in words:
        print("\n".join(help_page(name, command.does, options, command.example)))
        return 0
    call = Call(name, settings, read_options(options, words, name))
    function: Callable[[Call], int] = __import__(f"advisor.shells.{command.module}", fromlist=["run"]).run
    return function(call)


def _options(name: str, command: Command) -> tuple[Option, ...]:
    if not command.calculation:
        return command.options
    from advisor.calculations import registry

    return (*registry.options(name), JSON)


def _near(name: str) -> str:
    from difflib import get_close_matches

    close = get_close_matches(name, COMMANDS, 1)
    return f", did you mean {close[0]}?" if close else ""


def _globals(argv: list[str]) -> tuple[Settings, list[str]]:
    """The global options, wherever they stand, and what is left."""
    knowledge: str | None = None
    overlays: list[str] = []
    plain = bool(os.environ.get("NO_COLOR"))
    rest: list[str] = []
    i = 0
    while i < len(argv):
        word = argv[i]
        name, eq, value = word.partition("=")
        if word == "--":
            rest.extend(argv[i:])
            break
        if word == "--plain":
            plain = True
        elif name in ("--knowledge", "--overlay"):
            if not eq:
                i += 1
                if i >= len(argv):
                    raise UsageError(f"{name} needs a folder")
                value = argv[i]
            if name == "--knowledge":
                knowledge = value
            else:
                overlays.append(value)
        else:
            rest.append(word)
        i += 1
    return Settings(knowledge, tuple(overlays), plain), rest


def _help() -> str:
    width = max(len(c) for c in COMMANDS) + 2
    listed = "\n".join(f"  {name.ljust(width)}{c.does}" for name, c in COMMANDS.items())
    return (
        "advisor - an offline adviser on the corrosion protection of threaded fasteners\n\n"
        "Usage: advisor [COMMAND] [options]\n\n"
        f"Commands (none: a conversation on a terminal, else one enquiry a line):\n{listed}\n\n"
        f"Options everywhere:\n{GLOBALS}\n\n{EXAMPLES}\n\n{EXIT_CODES}"
    )
