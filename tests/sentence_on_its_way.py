"""One sentence on its way through the rooms, for DEVELOPERS.md; `python -m tests.sentence_on_its_way` writes it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from advisor.dialogue.facts import merge
from advisor.language.line import normalise
from advisor.language.reading import read
from advisor.reasoning.advice import advise
from advisor.reasoning.engine import Judged
from advisor.reasoning.enquiry import Enquiry
from advisor.shells.opening import Opened, open_all
from tests.examples import ROOT

SENTENCE = "zinc plated 12.9 cap screws M10, painted rails by the quay"
BEGIN, END = "<!-- sentence: begin -->\n", "<!-- sentence: end -->"
GUIDE = ROOT / "DEVELOPERS.md"


def walk(opened: Opened) -> str:
    """The stages as Markdown: what each room makes of the sentence."""
    engine = opened.engine
    reading = read(SENTENCE, opened.vocabulary)
    enquiry, _ = merge(opened.base, Enquiry(), reading)
    judged = engine.judge(enquiry)
    advice = advise(engine, enquiry)
    question = advice.next_question
    stages = [
        ("`language.line.normalise`", " ".join(t.key for t in normalise(SENTENCE).tokens)),
        ("`language.reading.read`", listed({s: u.value for s, u in reading.understood.items()})),
        ("`dialogue.facts.merge`", listed({s: v.value for s, v in enquiry.said.items()})),
        ("`reasoning.case.Casework`: derived", listed(added(judged.case.told, judged.case.known))),
        ("the same: assumed for silence", listed(added(judged.case.known, judged.case.full))),
        ("`reasoning.judging.Judging`", f"{len({e.rule for e in judged.screened.effects})} rules speak"),
        ("`reasoning.screening.combine`", spoken(judged)),
        ("`reasoning.ranking.stand`", ", ".join(r.finish for r in judged.ranked[:3])),
        ("`reasoning.questions.next_question`", question.decision if question else "nothing left to ask"),
        ("`reasoning.advice.advise`: warns of", ", ".join(c.topic for c in advice.cautions[:4])),
    ]
    rows = "\n".join(f"| {room} | {made} |" for room, made in stages)
    return f'"{SENTENCE}" becomes, room by room:\n\n| room | what it makes of it |\n| --- | --- |\n{rows}\n'


def spoken(judged: Judged) -> str:
    """How many actions of each verb spoke."""
    verbs = [e.verb for e in judged.screened.effects]
    return ", ".join(f"{verbs.count(v)} {v}" for v in dict.fromkeys(verbs))


def added(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """What a later stage knows more."""
    return {s: v for s, v in after.items() if before.get(s) != v and v not in ([], ())}


def listed(values: Mapping[str, Any]) -> str:
    """Slots and values in one line."""
    return ", ".join(f"{s} = {'/'.join(map(str, v)) if isinstance(v, (list, tuple)) else v}" for s, v in values.items())


def written() -> str:
    """What the guide shows today."""
    return GUIDE.read_text("utf-8").split(BEGIN)[1].split(END)[0]


if __name__ == "__main__":
    text = GUIDE.read_text("utf-8")
    GUIDE.write_text(text.replace(written(), walk(open_all())), "utf-8")
