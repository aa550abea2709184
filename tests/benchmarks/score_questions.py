"""Scores answers against statements of what they need and what they never may say: python score_questions.py FILE [-v].

FILE holds one enquiry a line with `answer_needs` and `answer_never`. A need counts as met by its facts, not by its
wording: its numbers, its standards, its yes or no, and most of its nouns stand somewhere in what the program prints.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

from advisor.dialogue.one_shot import answer
from advisor.shells.ask import answer_text
from advisor.shells.opening import open_knowledge, opened

ENOUGH = 0.5
"""Share of the nouns of a statement that must stand in the answer."""
PLAIN = frozenset(
    """
    about above after again against agree also answer another before below better between both can cannot does
    done each else from given have here into itself more must near need never none not offered only order other
    over same says should still such than that their them then there these they this those through today under
    until used very when where which while with without would your
    """.split()  # noqa: SIM905
)


def facts_of(statement: str) -> tuple[set[str], set[str]]:
    """The figures and standards of a statement, and its nouns cut to their stems.

    >>> facts_of("ISO 4042: no bake below 390 HV")
    ({'4042', '390'}, {'bake'})
    """
    low = statement.lower()
    return set(re.findall(r"\d+(?:\.\d+)?", low)), {w[:6] for w in re.findall(r"[a-zµ]{4,}", low) if w not in PLAIN}


def met(statement: str, text: str) -> bool:
    """Whether a text holds the facts of a statement: every figure, and enough of its nouns."""
    figures, nouns = facts_of(statement)
    low = text.lower()
    there = set(re.findall(r"\d+(?:\.\d+)?", low))
    opens = re.match(r"(?:answers )?(yes|no)\b", statement.lower())
    if opens and not re.search(rf"(?:^|\n|stop\. ){opens[1]}\b", low):
        return False
    return figures <= there and sum(n in low for n in nouns) >= ENOUGH * len(nouns)


def said_ill(statement: str, direct: str) -> bool:
    """Whether the first answer says what it never may: all facts of the statement stand in it, undenied."""
    figures, nouns = facts_of(statement)
    low = direct.lower()
    if re.search(r"\b(?:no|not|never|nor)\b", low):
        return False
    return figures <= set(re.findall(r"\d+(?:\.\d+)?", low)) and all(n in low for n in nouns) and bool(nouns)


def main(path: Path, verbose: bool) -> None:
    """Print how many lines hold all they need, and how many say what they may not."""
    desk = opened(open_knowledge())
    rows: list[dict[str, Any]] = [json.loads(line) for line in path.read_text("utf-8").splitlines() if line.strip()]
    for kind in ("question", "opening"):
        asked = [r for r in rows if r["kind"] == kind and (r.get("answer_needs") or r.get("answer_never"))]
        full = needs = hit = ill = 0
        for r in asked:
            text = "\n".join(answer_text(desk, answer(desk.desk, r["utterance"]), "all"))
            missing = [n for n in r.get("answer_needs") or () if not met(n, text)]
            bad = [
                n for n in r.get("answer_never") or () if said_ill(n, text.split("\n\n")[1] if "\n\n" in text else text)
            ]
            needs += len(r.get("answer_needs") or ())
            hit += len(r.get("answer_needs") or ()) - len(missing)
            full += not missing
            ill += bool(bad)
            if verbose and (missing or bad):
                print(r["id"], r["utterance"], "| missing:", missing, "| says:", bad)
        print(
            f"{kind}: lines with all they need {full}/{len(asked)}, needs met {hit}/{needs}, lines that say ill {ill}"
        )


if __name__ == "__main__":
    main(Path(sys.argv[1]), "-v" in sys.argv[2:])
