"""The few exceptions of the program; each message says what was wrong, where, and what to do."""

from __future__ import annotations

from advisor.records import NamedTuple


class AdvisorError(Exception):
    """Any fault that is shown to the user as one sentence. `exit_code` as in the contract."""

    exit_code = 1


class UsageError(AdvisorError):
    """The words typed cannot be used: unknown size, unit, option, or unreadable input (exit code 2)."""

    exit_code = 2


class Fault(NamedTuple):
    """One fault in the knowledge: its place, the code of the check, what is wrong, what to do.

    The hundreds of the code say what was looked at. KB0 is the files: KB00 reading them, KB01 shapes of fields, KB02
    references, KB03 citations, KB04 conditions and actions, KB05 fields that must fit each other, KB06 what a branch's
    layer may say; the audit has others.

    >>> str(Fault("rules.yaml", 3, 5, "KB021", "'te-99' does not exist", "name a rule"))
    "rules.yaml:3:5: KB021 'te-99' does not exist; name a rule"
    """

    file: str
    line: int
    column: int
    code: str
    text: str
    remedy: str = ""

    def __str__(self) -> str:
        """The one place where a fault is written out."""
        remedy = f"; {self.remedy}" if self.remedy else ""
        return f"{self.file}:{self.line}:{self.column}: {self.code} {self.text}{remedy}"


class KnowledgeError(AdvisorError):
    """The knowledge base cannot be used; `faults` lists every fault found (exit code 1)."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        super().__init__(f"the knowledge base has a fault: {faults[0]}{more}; run `advisor audit` for the whole list")


PREPARING = "preparing the knowledge, once"
"""Told before a base is compiled, which takes some seconds."""
BASE_FOREIGN = "{path} belongs to somebody else or others may write it, so it is not used; take it away."
BASE_STALE = "{path} does not fit the program and its knowledge, which was prepared anew; reinstall the program."
BASE_NOT_KEPT = "{folder} cannot be written, so every start prepares the knowledge; set ADVISOR_CACHE to a folder."
