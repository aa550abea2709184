"""All commands in one table: the module that runs each, what it does, its options and an example."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.options import Option
from advisor.records import NamedTuple

JSON = Option("json", "answer as JSON", flag=True)


class Command(NamedTuple):
    """One command. A calculation takes its options from the calculation itself."""

    module: str
    does: str
    example: str
    options: tuple[Option, ...] = ()
    calculation: bool = False


def _text(help_: str, required: bool = False) -> Option:
    return Option("text", help_, positional=True, many=True, required=required)


COMMANDS: Mapping[str, Command] = {
    "chat": Command(
        "chat.terminal",
        "a conversation; --resume NAME goes on with an earlier one",
        "advisor chat --resume 2026-11-25-0930",
        (
            Option("resume", "go on with a kept conversation (see advisor history)"),
            Option("json", "for a program: one utterance a line in, one JSON object a turn out", flag=True),
        ),
    ),
    "ask": Command(
        "ask",
        "one answer to one enquiry",
        'advisor ask "M12 8.8 by the sea, 15 years" --set quantity=50',
        (
            _text("the enquiry in plain words; - reads one a line from standard input"),
            Option("set", "a slot of the enquiry set outright, as SLOT=VALUE; may stand several times", many=True),
            Option("more", "what did not fit into the first sixteen lines", flag=True),
            Option("sources", "where each figure and reason is from", flag=True),
            Option("all", "everything about every finish, with all sources", flag=True),
            Option("brief", "with --json: only what is recommended and the next question", flag=True),
            JSON,
        ),
    ),
    "read": Command(
        "read",
        "how a text is understood, without advice",
        'advisor read "no sorry, 12.9" --answering strength',
        (
            _text("the words to read; - reads one a line from standard input"),
            Option("answering", "the slot whose question the words answer"),
            JSON,
        ),
    ),
    "lookup": Command(
        "lookup",
        "cards of finishes, facts, cautions, documents and words",
        "advisor lookup zinc flake",
        (_text("what to look up", required=True), JSON),
    ),
    "finishes": Command(
        "finishes",
        "the finishes by name, and how each is written after --finish",
        "advisor finishes yellow zinc",
        (_text("words for a finish; none: all of them"), JSON),
    ),
    "decode": Command(
        "calculate", "what a drawing or order code means", "advisor decode 'Fe/Zn 5C per ASTM F1941'", calculation=True
    ),
    "specify": Command(
        "calculate",
        "the designation and the order lines for a finish",
        "advisor specify zinc-flake-720-lubricated --size M10 --strength 10.9",
        calculation=True,
    ),
    "fit": Command(
        "calculate",
        "thread limits before and after coating",
        "advisor fit --size M10 --class 6g --thickness 12",
        calculation=True,
    ),
    "torque": Command(
        "calculate",
        "preload and tightening torque",
        "advisor torque --size M12 --strength 10.9 --finish zinc-flake",
        calculation=True,
    ),
    "hydrogen": Command(
        "calculate",
        "could plating make it crack?",
        "advisor hydrogen --strength 12.9 --finish zinc-electroplate",
        calculation=True,
    ),
    "life": Command(
        "calculate", "corrosion rates and years to first rust", "advisor life --site C4 --zinc 50", calculation=True
    ),
    "couple": Command(
        "calculate",
        "do two metals get along?",
        "advisor couple stainless-steel aluminium --site coastal",
        calculation=True,
    ),
    "quantity": Command(
        "calculate",
        "surface, mass, coating mass and lot cost",
        "advisor quantity --part hex-bolt --size M10 --length 40 --count 200 --thickness 8",
        calculation=True,
    ),
    "convert": Command(
        "calculate",
        "hardness, thickness, torque and other units",
        "advisor convert 39 HRC --to HV",
        calculation=True,
    ),
    "report": Command(
        "report",
        "the written recommendation as a page, Markdown, text or JSON",
        'advisor report "M12 8.8 by the sea, 15 years" --out quay.html',
        (
            _text("an enquiry in plain words, or the name of a kept conversation"),
            Option("out", "the file to write: .html, .md, .txt or .json", required=True),
            Option("set", "a slot of the enquiry set outright, as SLOT=VALUE; may stand several times", many=True),
            Option("force", "write over a file that is there", flag=True),
        ),
    ),
    "parts": Command(
        "parts_list",
        "a parts list: a recommendation a line, and the fewest finishes that serve it",
        'advisor parts list.csv "all by the sea, RoHS" --out answered.csv --plan',
        (
            Option("file", "the list: CSV or XLSX with a row of headings", positional=True, required=True),
            _text("what holds for the whole list, in plain words"),
            Option("site", "where all of it lives: a place such as coastal, or a class such as C4"),
            Option("set", "a slot of every line set outright, as SLOT=VALUE; may stand several times", many=True),
            Option(
                "out", "the file to write: .csv, .jsonl, .xlsx or .html; the same command goes on where it was stopped"
            ),
            Option("plan", "the fewest finishes that serve the whole list", flag=True),
            Option("jobs", "how many processes work on it"),
            Option("all_cores", "a process for each core", flag=True),
            JSON,
        ),
    ),
    "audit": Command(
        "audit",
        "checks the knowledge base",
        "advisor audit --quick",
        (
            Option("quick", "without the walks and proofs (a few seconds)", flag=True),
            Option("notes", "list every note, not only their number", flag=True),
            Option("schema", "write the JSON Schema of the knowledge files to this file and end"),
            Option("rules", "write the catalogue of rules to this file and end"),
            Option("compare", "how the advice differs from that of another knowledge folder"),
            Option("json", "the whole report as JSON", flag=True),
        ),
    ),
    "map": Command(
        "map",
        "draws or exports the graph",
        "advisor map zinc-flake --out zinc-flake.svg",
        (
            Option("node", "a node; its neighbourhood is drawn, else the whole graph by kinds", positional=True),
            Option("out", "the file to write: .svg, .graphml, .json or .mmd", required=True),
            Option("depth", "how many edges away (1 to 3)"),
            Option("most", "how many nodes at most (5 to 300)"),
        ),
    ),
    "replay": Command(
        "chat.replay",
        "runs demo conversations and compares every line",
        "advisor replay transcripts_demo/*.txt",
        (
            Option("files", "demo conversations", positional=True, many=True, required=True),
            Option("write", "put what is printed now into the files", flag=True),
        ),
    ),
    "history": Command(
        "chat.history",
        "lists or prints kept conversations",
        "advisor history 2026-11-25-0930 --out talk.txt",
        (
            Option("name", "a kept conversation; none: list them", positional=True),
            Option("out", "write it to a file instead of the screen"),
            JSON,
        ),
    ),
}
