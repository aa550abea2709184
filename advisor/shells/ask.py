"""ask: one answer to one text, or one answer a line from standard input."""

from __future__ import annotations

import json
from typing import Any

from advisor.dialogue.one_shot import OneShot, answer
from advisor.dialogue.state import Advise, Compute, Say, Show
from advisor.shells.given import Call
from advisor.shells.opening import Opened, open_told, opened
from advisor.shells.screen import width, write
from advisor.shells.values import one_text, set_options, stream
from advisor.views import data


def run(call: Call) -> int:
    """advisor ask TEXT… [--set SLOT=VALUE]… [--json] [--brief] [--sources]"""
    desk = opened(open_told(call.settings))
    words = call.many("text")
    as_json, layer = call.has("json"), 3 if call.has("sources") else 2

    def shown(found: OneShot) -> str:
        if as_json:
            return json.dumps(answer_json(desk, found), ensure_ascii=False)
        return "\n".join(answer_text(desk, found, layer))

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
    if found.kind == "advice" and found.advice is not None and not found.advice.recommended and found.advice.refer:
        return 3
    return 0


def answer_json(opened: Opened, found: OneShot) -> dict[str, Any]:
    """Any answer in the contract's envelope."""
    base = opened.base
    if found.advice is not None:
        out = data.advice_json(opened.engine, found.advice)
        out["kind"] = found.kind
    else:
        out = data.envelope(base, found.kind)
    if found.kind == "lookup":
        out["recommended"], out["conditional"] = [], []
    for r in found.replies:
        if isinstance(r, Show):
            data.add_cards(base, out, r.cards)
        elif isinstance(r, Compute):
            data.add_calculation(base, out, r.calculation)
        elif isinstance(r, Say) and found.advice is None:
            out["sentence"] = r.text
    out.update(data.understanding(found.reading))
    for slot, said in found.enquiry.said.items():
        if said.origin == "set":
            out["understood"][slot] = {"value": said.value, "words": "", "certainty": 1.0}
    return out


def answer_text(opened: Opened, found: OneShot, layer: int) -> list[str]:
    """Any answer as text."""
    from advisor.views import text
    from advisor.views.layout import wrap
    from advisor.views.replies import reply_lines

    base, w = opened.base, width()
    out: list[str] = []
    echo = text.understood_line(base, {s: i.value for s, i in found.enquiry.said.items()})
    if echo:
        out += wrap(echo, w)
    for u in found.reading.unclear if found.advice else ():
        values = " / ".join(str(c) for c in u.candidates)
        out += wrap(base.phrase("say-which-one", words=u.words, values=values), w)
    if found.reading.unused and found.kind in ("advice", "answer"):
        out += wrap(base.phrase("say-unused-words", words=", ".join(found.reading.unused)), w)
    closed = False
    for r in found.replies:
        if isinstance(r, Say) and found.advice is not None:
            continue
        if out:
            out.append("")
        out += reply_lines(opened.engine, r._replace(layer=layer) if isinstance(r, Advise) else r, w)
        closed = closed or isinstance(r, (Advise, Compute))
    return out if closed else [*out, "", *wrap(base.phrase("say-closing"), w)]
