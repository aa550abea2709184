"""A whole turn on one screen: what several replies say together is cut down where it would run over."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.dialogue.state import Advise, Diagnose, Reply, Say
from advisor.reasoning.engine import Engine
from advisor.views.diagnosis_text import diagnosis_text
from advisor.views.one_look import one_look
from advisor.views.replies import reply_lines

MOST_ON_A_SCREEN = 21
"""Lines of a turn on a screen of twenty-four, with what was typed above and the prompt below."""
LEAST_LOOK = 9
SHORT = 2
"""A sentence no longer than this joins the sentence before it."""


def turn_lines(engine: Engine, replies: Sequence[Reply], width: int) -> list[str]:
    """The replies of a turn, with blank lines between; a look or a diagnosis gives way to what stands beside it."""
    blocks = [reply_lines(engine, r, width) for r in replies]
    sentences = [isinstance(r, Say) for r in replies]
    over = len(_joined(blocks, sentences)) - MOST_ON_A_SCREEN
    if over > 0:
        for n, r in enumerate(replies):
            room = max(LEAST_LOOK, len(blocks[n]) - over)
            if isinstance(r, Advise) and r.form == "look":
                blocks[n] = one_look(engine, r.advice, width, room)
            elif isinstance(r, Diagnose):
                blocks[n] = diagnosis_text(engine, r, width, room)
    return _joined(blocks, sentences)


def _joined(blocks: Sequence[list[str]], sentences: Sequence[bool]) -> list[str]:
    out: list[str] = []
    for n, block in enumerate(blocks):
        if n and block and not (len(block) <= SHORT and sentences[n] and sentences[n - 1]):
            out.append("")
        out += block
    return out
