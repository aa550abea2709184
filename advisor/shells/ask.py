"""ask and lookup: one answer to one text, or one answer a line from standard input."""

from __future__ import annotations

import json
import sys
from typing import Any

from advisor.dialogue.one_shot import OneShot, answer
from advisor.dialogue.state import Advise, Compute, Say, Show
from advisor.dialogue.working_out import look_up
from advisor.errors import UsageError
from advisor.shells.arguments import Helped, Parser
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.opening import Opened, open_all
from advisor.shells.screen import width, write
from advisor.shells.values import one_text, set_options, stream
from advisor.views import data
from advisor.views.data import understanding


def ask(settings: Settings, argv: list[str]) -> int:
    """advisor ask TEXT… [--set SLOT=VALUE]… [--json]"""
    p = Parser("ask", COMMANDS["ask"].does, 'example: advisor ask "M12 8.8 by the sea, 15 years" --set quantity=50')
    p.add_argument("text", nargs="*", help="the enquiry in plain words; - reads one a line from standard input")
    p.add_argument(
        "--set", action="append", default=[], metavar="SLOT=VALUE", help="a slot of the enquiry set outright"
    )
    p.add_argument("--json", action="store_true", help="answer as JSON")
    p.add_argument("--sources", action="store_true", help="everything, with all citations")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    opened = _open(settings)
    if n.text == ["-"]:

        def one(words: str, values: dict[str, Any], answering: str | None) -> str:
            found = answer(opened.desk, words, values, answering)
            if n.json:
                return json.dumps(answer_json(opened, found), ensure_ascii=False)
            return "\n".join(answer_text(opened, found, 2)) + "\n"

        return stream(opened.base, one, lambda: data.envelope(opened.base, "clarify"), n.json)
    words = one_text(n.text, bool(n.set))
    values = set_options(opened.base, n.set)
    found = answer(opened.desk, words, values)
    if n.json:
        write(json.dumps(answer_json(opened, found), ensure_ascii=False))
    else:
        for line in answer_text(opened, found, 3 if n.sources else 2):
            write(line)
    return exit_code(found)


def lookup(settings: Settings, argv: list[str]) -> int:
    """advisor lookup WORDS… [--json]"""
    p = Parser("lookup", COMMANDS["lookup"].does, "example: advisor lookup zinc flake")
    p.add_argument("text", nargs="+", help="what to look up")
    p.add_argument("--json", action="store_true", help="answer as JSON")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    opened = _open(settings)
    words = one_text(n.text)
    from advisor.views.layout import wrap
    from advisor.views.text import cards_text

    cards = look_up(opened.desk, words)
    if not cards:
        raise UsageError(
            f"nothing is known about '{words[:60]}'; try other words, for example: advisor lookup zinc flake"
        )
    if n.json:
        out = data.envelope(opened.base, "lookup")
        data.add_cards(opened.base, out, cards)
        write(json.dumps(out, ensure_ascii=False))
    else:
        for line in cards_text(opened.base, cards, width()):
            write(line)
        write("")
        for line in wrap(opened.base.phrase("say-closing"), width()):
            write(line)
    return 0


def _open(settings: Settings) -> Opened:
    opened = open_all(settings.knowledge, settings.overlays)
    if opened.base.notice:
        print(f"advisor: {opened.base.notice}", file=sys.stderr)
    return opened


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
    out.update(understanding(found.reading))
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
