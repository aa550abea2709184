"""report: the written recommendation on a text or a kept conversation, as page, Markdown, text or JSON."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from advisor.dialogue.conversation import Guide
from advisor.dialogue.going_on import current_advice
from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Diagnose, State
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.reasoning.diagnosis import diagnose
from advisor.reasoning.engine import Engine
from advisor.shells.ask import exit_code
from advisor.shells.chat import kept
from advisor.shells.files import save
from advisor.shells.given import Call
from advisor.shells.opening import Opened, open_told, opened
from advisor.shells.screen import write
from advisor.shells.values import one_text, set_options
from advisor.views.report_parts import Imprint, WrittenReport
from advisor.views.report_whole import REPORTED, Matter, matter_of, report_on

ENDINGS = (".html", ".md", ".txt", ".json")
STAMP = "%Y-%m-%d %H:%M"


def run(call: Call) -> int:
    """advisor report NAME_or_TEXT --out FILE.(html|md|txt|json) [--set SLOT=VALUE]… [--force]"""
    out = Path(call.one("out"))
    check_file(out, call.has("force"))
    desk = opened(open_told(call.settings))
    words = call.many("text")
    values = set_options(desk.base, call.many("set"))
    if len(words) == 1 and kept.is_name(words[0]):
        if values:
            raise UsageError("--set goes with a text; a kept conversation is reported as it was said")
        matter, code = told(desk, words[0])
    else:
        found = answer(desk.desk, one_text(words, bool(values)), values)
        said = " ".join(words).strip()
        matter = matter_of(desk.engine, found.kind, (said,) if said else (), found.enquiry, found.advice, found.replies)
        code = exit_code(found)
    if matter.kind not in REPORTED:
        raise UsageError("that gives no advice to write down; say what the fastener is and where it lives")
    save(out, written(desk.engine, matter, out.suffix.lower(), time.strftime(STAMP)))
    write(desk.base.phrase("say-saved", file=str(out)))
    return code


def check_file(out: Path, force: bool) -> None:
    """UsageError for an ending that names no form, and for a file that is there already."""
    if out.suffix.lower() not in ENDINGS:
        raise UsageError(f"'{out.name}' names no known form; end it in {', '.join(ENDINGS)}")
    if out.exists() and not force:
        raise UsageError(f"'{out}' is there already and is left as it is; name another file, or add --force")


def told(desk: Opened, name: str) -> tuple[Matter, int]:
    """What a kept conversation came to, and the exit code that it stands for."""
    guide = Guide(desk.engine, desk.vocabulary)
    state = State()
    words: list[str] = []
    for e in kept.load(name).entries:
        if e.event == "turn":
            words.append(str(e.data["said"]))
            state, _ = guide.step(state, words[-1])
            state = state._replace(done=False)
    if not state.something:
        raise UsageError(f"the conversation '{name}' holds no enquiry to write down; see advisor history {name}")
    matter = matter_of_state(guide, state, tuple(words))
    advice = matter.advice
    stopped = matter.diagnosis is not None and matter.diagnosis.stop
    return matter, 3 if stopped or (advice is not None and not advice.recommended and advice.refer) else 0


def matter_of_state(guide: Guide, state: State, words: tuple[str, ...]) -> Matter:
    """What a conversation has come to: the diagnosis of trouble, else the advice."""
    engine = guide.engine
    advice = current_advice(guide.desk, state)
    if state.troubled:
        replies = (Diagnose(diagnose(engine, state.enquiry)),)
        return matter_of(engine, "diagnosis", words, state.enquiry, advice, replies)
    return matter_of(engine, "advice", words, state.enquiry, advice, ())


def written(engine: Engine, matter: Matter, ending: str, at: str) -> str:
    """The report in the form that an ending names; `at`: date and time to print."""
    base = engine.base
    report = report_on(engine, matter, Imprint(at, base.version, base.version, base.digest))
    if ending == ".json":
        from advisor.shells.screen import encoded
        from advisor.views.report_data import report_json

        stopped = matter.diagnosis is not None and matter.diagnosis.stop
        return encoded(report_json(report, stopped or (matter.advice is not None and bool(matter.advice.refer)))) + "\n"
    return _form(ending)(base, report)


def _form(ending: str) -> Callable[[Base, WrittenReport], str]:
    """What writes a report for an ending."""
    from advisor.views.page import page_of
    from advisor.views.report_markdown import markdown_of
    from advisor.views.report_text import text_of

    return {".html": page_of, ".md": markdown_of, ".txt": text_of}[ending]
