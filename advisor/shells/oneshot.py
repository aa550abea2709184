"""ask, read and lookup: one answer to one text, or one answer a line from standard input."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from typing import Any

from advisor.dialogue.answering import Answer, answer, look_up
from advisor.errors import UsageError
from advisor.graph.compiled import Base
from advisor.language.reading import Reading, read
from advisor.shells.arguments import Helped, Parser
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.opening import Opened, open_all
from advisor.shells.screen import width, write
from advisor.views import data, text
from advisor.views.layout import clean, wrap

LONGEST = 2000
"""Longer texts are no enquiry; they are refused before they are read."""


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
        return _stream(opened, "ask", n.json)
    words = _text(n.text, bool(n.set))
    values = set_options(opened.base, n.set)
    found = answer(opened.engine, opened.vocabulary, words, values)
    if n.json:
        write(json.dumps(answer_json(opened, found), ensure_ascii=False))
    else:
        for line in answer_text(opened, found, 3 if n.sources else 2):
            write(line)
    return exit_code(found)


def read_command(settings: Settings, argv: list[str]) -> int:
    """advisor read TEXT… [--answering SLOT] [--json]"""
    p = Parser("read", COMMANDS["read"].does, 'example: advisor read "no sorry, 12.9" --answering strength')
    p.add_argument("text", nargs="*", help="the words to read; - reads one a line from standard input")
    p.add_argument("--answering", metavar="SLOT", help="the slot whose question the words answer")
    p.add_argument("--json", action="store_true", help="answer as JSON")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    opened = _open(settings)
    if n.text == ["-"]:
        return _stream(opened, "read", n.json)
    words = _text(n.text)
    if n.answering and n.answering not in opened.base.kind("slot"):
        raise UsageError(f"'{n.answering}' is no slot; slots are {', '.join(opened.base.kind('slot'))}")
    reading = read(words, opened.vocabulary, n.answering)
    if n.json:
        write(json.dumps(reading_json(opened.base, reading), ensure_ascii=False))
    else:
        for line in reading_text(opened.base, reading):
            write(line)
    return 0


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
    words = _text(n.text)
    cards = look_up(opened.engine, words)
    if not cards:
        raise UsageError(
            f"nothing is known about '{words[:60]}'; try other words, for example: advisor lookup zinc flake"
        )
    if n.json:
        out = data.envelope(opened.base, "lookup")
        data.add_cards(opened.base, out, cards)
        write(json.dumps(out, ensure_ascii=False))
    else:
        for line in text.cards_text(opened.base, cards, width()):
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


def _text(words: list[str], may_be_empty: bool = False) -> str:
    joined = " ".join(words).strip()
    if not joined and not may_be_empty:
        raise UsageError('nothing was asked; put the enquiry in quotes, for example: advisor ask "M10 bolts outside"')
    if len(joined) > LONGEST:
        raise UsageError(f"the text has {len(joined)} characters; put it in a few sentences (at most {LONGEST})")
    return joined


def set_options(base: Base, options: list[str]) -> dict[str, Any]:
    """The slot values of --set options."""
    out: dict[str, Any] = {}
    for option in options:
        slot, eq, value = option.partition("=")
        if not eq:
            raise UsageError(f"--set {option}: write SLOT=VALUE, for example --set life_years=15")
        out[slot.strip()] = slot_value(base, slot.strip(), value.strip())
    return out


def slot_value(base: Base, slot: str, value: Any) -> Any:
    """A value for a slot from text or JSON, checked against the slot; UsageError says what is allowed."""
    node = base.kind("slot").get(slot)
    if node is None:
        raise UsageError(
            f"'{slot}' is no slot; slots are {', '.join(s for s, d in base.kind('slot').items() if not d.get('derived'))}"
        )
    if value == "unknown":
        return value
    kind = node["type"]
    if kind == "choices":
        listed = value
        if isinstance(value, str):
            try:
                listed = (
                    json.loads(value) if value.startswith("[") else [v.strip() for v in value.split(",") if v.strip()]
                )
            except ValueError as e:
                raise UsageError(f'{slot}: the list cannot be read ({e}); write it as a,b or ["a", "b"]') from None
        if not isinstance(listed, list) or any(not isinstance(v, str) for v in listed):
            raise UsageError(f"{slot} takes a list of words")
        _allowed(slot, node, listed)
        return listed
    if kind == "number":
        try:
            number = float(value)
        except (TypeError, ValueError):
            raise UsageError(f"{slot} takes a number, not '{value}'") from None
        low, high = node.get("low"), node.get("high")
        if number != number or (low is not None and number < low) or (high is not None and number > high):
            raise UsageError(f"{slot} = {value} is outside {low} to {high}")
        return int(number) if number == int(number) else number
    if not isinstance(value, (str, int, float)) or isinstance(value, bool):
        raise UsageError(f"{slot} takes one word, not {json.dumps(value)[:40]}")
    _allowed(slot, node, [str(value)])
    return str(value)


def _allowed(slot: str, node: Mapping[str, Any], values: list[str]) -> None:
    allowed = node.get("values")
    for v in values:
        if allowed and v not in allowed:
            raise UsageError(f"'{v}' is not a value of {slot}; allowed: {', '.join(allowed)}")


def exit_code(found: Answer) -> int:
    """3 where nothing may be recommended and an engineer must decide."""
    if found.kind == "advice" and found.advice is not None and not found.advice.recommended and found.advice.refer:
        return 3
    return 0


# streams -----------------------------------------------------------------------------------------------------------


def _lines() -> Iterator[str]:
    for raw in sys.stdin.buffer:
        yield raw.decode("utf-8", errors="replace").rstrip("\r\n")


def _stream(opened: Opened, command: str, as_json: bool) -> int:
    """One enquiry a line; a bad line gives an object with `error` and does not stop the rest."""
    for line in _lines():
        if not line.strip():
            continue
        try:
            words, values, answering = _item(opened.base, line)
            if len(words) > LONGEST:
                raise UsageError(f"the text has {len(words)} characters; at most {LONGEST}")
            if command == "read":
                reading = read(words, opened.vocabulary, answering)
                write(
                    json.dumps(reading_json(opened.base, reading), ensure_ascii=False)
                    if as_json
                    else "\n".join(reading_text(opened.base, reading))
                )
            else:
                found = answer(opened.engine, opened.vocabulary, words, values, answering)
                write(
                    json.dumps(answer_json(opened, found), ensure_ascii=False)
                    if as_json
                    else "\n".join(answer_text(opened, found, 2)) + "\n"
                )
        except UsageError as e:
            write(
                json.dumps({**data.envelope(opened.base, "clarify"), "error": str(e)}, ensure_ascii=False)
                if as_json
                else str(e)
            )
        sys.stdout.flush()
    return 0


def _item(base: Base, line: str) -> tuple[str, dict[str, Any], str | None]:
    """Text, set values and the slot answered, from plain text or a JSON object."""
    if not line.lstrip().startswith("{"):
        return line, {}, None
    try:
        given = json.loads(line)
    except (ValueError, RecursionError) as e:
        raise UsageError(f"the line is not valid JSON ({e})") from None
    if not isinstance(given, dict) or not isinstance(given.get("text", ""), str):
        raise UsageError('the line must be a JSON object {"text": …, "set": {…}, "answering": …}')
    unknown = set(given) - {"text", "set", "answering"}
    if unknown:
        raise UsageError(f"unknown key {', '.join(sorted(unknown))}; a line has text, set and answering")
    values = given.get("set") or {}
    if not isinstance(values, dict):
        raise UsageError("'set' must be an object of slots and values")
    answering = given.get("answering")
    if answering is not None and answering not in base.kind("slot"):
        raise UsageError(f"'{answering}' is no slot")
    return given.get("text", ""), {s: slot_value(base, s, v) for s, v in values.items()}, answering


# views of one answer -------------------------------------------------------------------------------------------------


def reading_json(base: Base, reading: Reading) -> dict[str, Any]:
    """How a text was understood, as JSON."""
    return {
        "schema": "advisor/reading/1",
        **_understanding(reading),
        "asks": [{"kind": i.kind, "words": i.words, "about": i.about} for i in reading.intents],
        "corrections": sorted(reading.corrections),
        "spans": [s._asdict() for s in reading.spans],
        "closing": base.phrase("say-closing"),
    }


def _understanding(reading: Reading) -> dict[str, Any]:
    return {
        "understood": {
            s: {"value": i.value, "words": i.words, "certainty": round(i.certainty, 2)}
            for s, i in reading.understood.items()
        },
        "unclear": [{"slot": u.slot, "words": u.words, "candidates": list(u.candidates)} for u in reading.unclear],
        "noticed": [{"value": c.slug, "words": c.words} for c in reading.circumstances],
        "unused": list(reading.unused),
    }


def reading_text(base: Base, reading: Reading) -> list[str]:
    """How a text was understood, for whoever curates the words."""
    out = []
    for slot, i in reading.understood.items():
        out.append(f"{slot}: {i.value}  <- '{i.words}' ({i.certainty:.2f})")
    out += [f"unclear {u.slot}: '{u.words}' could be {', '.join(map(str, u.candidates))}" for u in reading.unclear]
    out += [f"noticed: {c.slug}  <- '{c.words}'" for c in reading.circumstances]
    out += [f"asks: {i.kind} {i.about}".rstrip() for i in reading.intents]
    if reading.unused:
        out.append("not used: " + ", ".join(reading.unused))
    return [clean(x) for x in out] or [base.phrase("say-understood-nothing")]


def answer_json(opened: Opened, found: Answer) -> dict[str, Any]:
    """Any answer in the contract's envelope."""
    base = opened.base
    if found.advice is not None:
        out = data.advice_json(opened.engine, found.advice)
        out["kind"] = found.kind
    else:
        out = data.envelope(base, found.kind)
    if found.kind == "lookup":
        out["recommended"], out["conditional"] = [], []
        data.add_cards(base, out, found.cards)
    if found.calculation is not None:
        data.add_calculation(base, out, found.calculation)
    if found.sentence:
        out["sentence"] = found.sentence
    out.update(_understanding(found.reading))
    for slot, said in found.enquiry.said.items():
        if said.origin == "set":
            out["understood"][slot] = {"value": said.value, "words": "", "certainty": 1.0}
    return out


def answer_text(opened: Opened, found: Answer, layer: int) -> list[str]:
    """Any answer as text."""
    base, w = opened.base, width()
    out: list[str] = []
    echo = text.understood_line(base, {s: i.value for s, i in found.enquiry.said.items()})
    if echo:
        out += wrap(echo, w)
    for u in found.reading.unclear:
        values = " / ".join(str(c) for c in u.candidates)
        out += wrap(base.phrase("say-which-one", words=u.words, values=values), w)
    if found.reading.unused and found.kind == "advice":
        out += wrap(base.phrase("say-unused-words", words=", ".join(found.reading.unused)), w)
    if out:
        out.append("")
    if found.calculation is not None:
        return out + text.calculation_text(base, found.calculation, w)
    if found.kind == "lookup":
        return [*out, *text.cards_text(base, found.cards, w), "", *wrap(base.phrase("say-closing"), w)]
    if found.advice is not None:
        return out + text.advice_text(opened.engine, found.advice, w, layer)
    return [*out, *wrap(found.sentence, w), "", *wrap(base.phrase("say-closing"), w)]
