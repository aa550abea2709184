"""The conversation for a program: one utterance a line in, one JSON object a turn out, flushed at once."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.shells.chat.session import Session, one_line
from advisor.shells.screen import encoded, write
from advisor.views.reply_data import turn_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class ForProgram(Session):
    """A conversation whose turns come out as objects; journaled like any other, complaints go to standard error."""

    def _tell(self, text: str) -> None:
        print(f"advisor: {text}", file=sys.stderr)


def converse(base: Base, raw: Iterable[bytes], resume: str) -> int:
    """Answer every line; a line that cannot be read gives an object with `error` and changes nothing."""
    session = ForProgram(base, interactive=False, keeps=True)
    turn = 0
    if resume:
        turn = sum(e.event == "turn" for e in session.replay(resume).entries)
    for data in raw:
        line = data.decode("utf-8", errors="replace").rstrip("\r\n")
        if not line.strip():
            continue
        try:
            said = one_line(_utterance(line))
        except UsageError as e:
            _out({"schema": "advisor/turn/1", "turn": turn, "conversation": session.keeper.name, "error": str(e)})
            continue
        turn += 1
        before, replies, _ = session.turn(said)
        _out(turn_json(session.guide.desk, session.keeper.name, turn, before, session.state, replies))
        if session.state.done:
            break
    session.keeper.close()
    return 0


def _utterance(line: str) -> str:
    """The words of a line: as they stand, or the `text` of an object."""
    if not line.lstrip().startswith("{"):
        return line
    try:
        given = json.loads(line)
    except (ValueError, RecursionError) as e:
        raise UsageError(f"the line is not valid JSON ({e})") from None
    if not isinstance(given, dict) or set(given) != {"text"} or not isinstance(given["text"], str):
        raise UsageError('the line must be words or an object {"text": …}')
    return given["text"]


def _out(turn: dict[str, Any]) -> None:
    write(encoded(turn))
    sys.stdout.flush()
