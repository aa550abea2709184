"""ask: one answer to one text, or one answer a line from standard input."""

from __future__ import annotations

from advisor.dialogue.one_shot import OneShot, answer
from advisor.dialogue.state import Advise, Compute, Diagnose, Say
from advisor.graph.base import Base
from advisor.graph.wording import worded
from advisor.shells.given import Call
from advisor.shells.opening import Opened, open_told, opened
from advisor.shells.screen import encoded, width, write
from advisor.shells.stream import stream
from advisor.shells.values import one_text, set_options
from advisor.views import data
from advisor.views.layout import wrap
from advisor.views.replies import reply_lines, understood_line
from advisor.views.reply_data import answer_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

FORMS = ("all", "sources", "more")
"""What may be asked for beyond the one look."""


def run(call: Call) -> int:
    """advisor ask TEXT… [--set SLOT=VALUE]… [--json] [--brief] [--sources]"""
    desk = opened(open_told(call.settings))
    words = call.many("text")
    as_json, brief = call.has("json"), call.has("brief")
    form = next((f for f in FORMS if call.has(f)), "look")

    def shown(found: OneShot) -> str:
        if as_json:
            return encoded(answer_json(desk.engine, found, brief))
        return "\n".join(answer_text(desk, found, form))

    if words == ["-"]:

        def one(text: str, values: dict[str, Any], answering: str | None) -> str:
            return shown(answer(desk.desk, text, values, answering)) + "\n" * (not as_json)

        return stream(desk.base, one, lambda: data.envelope(desk.base, "clarify"), as_json)
    values = set_options(desk.base, call.many("set"))
    found = answer(desk.desk, one_text(words, bool(values)), values)
    write(shown(found))
    return exit_code(found)


def exit_code(found: OneShot) -> int:
    """3 where nothing may be recommended and an engineer must decide."""
    if any(isinstance(r, Diagnose) and r.diagnosis.stop for r in found.replies):
        return 3
    advice = found.advice if found.kind in ("advice", "diagnosis") else None
    return 3 if advice is not None and not advice.recommended and advice.refer else 0


def answer_text(opened: Opened, found: OneShot, form: str) -> list[str]:
    """Any answer as text: what was understood, then the replies; it ends with the closing."""
    base, w = opened.base, width()
    out = [x for line in _heard(base, found) for x in wrap(line, w)]
    closed = False
    for r in found.replies:
        if isinstance(r, Say) and found.advice is not None and found.kind != "diagnosis":
            continue
        if out:
            out.append("")
        out += reply_lines(opened.engine, r._replace(form=form) if isinstance(r, Advise) else r, w)
        closed = closed or isinstance(r, (Advise, Compute, Diagnose))
    return out if closed else [*out, "", *wrap(base.phrase("look-closing"), w)]


def _heard(base: Base, found: OneShot) -> list[str]:
    """What was understood, what is doubtful, what was not used."""
    out = [understood_line(base, found.enquiry)]
    waiting = found.reading.to_come
    if waiting and found.advice is not None and found.kind != "diagnosis":
        out.insert(0, base.phrase("say-still-to-come", count=len(waiting) + 1, rest="; ".join(waiting)))
    if found.advice is not None:
        for u in found.reading.unclear:
            values = " / ".join(worded(base, u.slot, c) for c in u.candidates)
            out.append(base.phrase("say-which-one", words=u.words, values=values))
        if found.reading.unused:
            out.append(base.phrase("say-unused-words", words=", ".join(found.reading.unused)))
    return [x for x in out if x]
