"""Reads the words after a command with argparse, and says what is wrong in one sentence."""

from __future__ import annotations

import argparse
from typing import Any, NoReturn

from advisor.errors import UsageError


class Parser(argparse.ArgumentParser):
    """argparse with the contract's manners: no usage block on an error, no abbreviations, exit code 2."""

    def __init__(self, command: str, does: str, examples: str = "") -> None:
        super().__init__(
            prog=f"advisor {command}",
            description=does,
            epilog=examples or None,
            allow_abbrev=False,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message}; see {self.prog} --help")

    def parse(self, argv: list[str]) -> Any:
        """The parsed options; --help prints the page and ends."""
        try:
            return self.parse_args(argv)
        except SystemExit as e:
            if e.code in (0, None):
                raise Helped from None
            raise UsageError(f"see {self.prog} --help") from None


class Helped(Exception):
    """The help page was printed; nothing is left to do."""
