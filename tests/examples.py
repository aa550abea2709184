"""The examples of the documents, as the tests run them."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent


def yaml_blocks(path: Path) -> list[str]:
    """Every fenced block of YAML in a document."""
    return re.findall(r"```yaml\n(.*?)```", path.read_text("utf-8"), re.DOTALL)


def commands(path: Path) -> list[str]:
    """Every whole `advisor …` command in a document: in code spans and in indented or fenced lines.

    Commands with a blank to fill in (a word in capitals, an ellipsis, a bracket) are left out.
    """
    text = path.read_text("utf-8")
    found = re.findall(r"`(advisor [^`\n]+)`", text) + re.findall(r"^ {4}(advisor [^\n#]+)", text, re.MULTILINE)
    whole = (
        c.strip()
        for c in found
        if not re.search(r"…|\[|\b[A-Z]{2,}(?![a-z0-9.])\b", c.replace("HRC", "").replace("HV", ""))
    )
    return [c for c in dict.fromkeys(whole) if " " in c.removeprefix("advisor ")]


def paths_named(path: Path) -> list[str]:
    """Every file, folder or module of the project that a document names in a code span."""
    text = path.read_text("utf-8")
    return [
        p
        for p in re.findall(r"`([^`\s]+)`", text)
        if re.match(r"(advisor|tests|knowledge|transcripts_demo|\.ci)/", p) and "…" not in p and "*" not in p
    ]


def functions_named(path: Path) -> list[str]:
    """Every function or class of the program that a document names as `room.module.name`."""
    rooms = "|".join(p.name for p in (ROOT / "advisor").iterdir() if p.is_dir() and not p.name.startswith("_"))
    return re.findall(rf"`((?:{rooms})(?:\.[a-z_]+)+(?:\.[A-Z]\w*)?)`", path.read_text("utf-8"))
