"""The real prompt through a pseudo-terminal, the plain one, and the pipe."""

from __future__ import annotations

import os
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from advisor.graph.base import Base
from advisor.shells.chat import prompt
from advisor.shells.chat.terminal import Opening

if sys.platform == "win32":
    pytest.skip("pseudo-terminals are a Unix thing", allow_module_level=True)

import fcntl
import pty
import struct
import termios

COMMAND = [sys.executable, "-m", "advisor"]
ESCAPE = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b[=>]|\x1b\][^\x07]*\x07")


class Terminal:
    """A program on a pseudo-terminal of 80 by 24."""

    def __init__(self, *argv: str, **environment: str) -> None:
        self.raw = b""
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", PROMPT_TOOLKIT_NO_CPR="1", **environment)
            os.environ.pop("COLUMNS", None)
            os.execv(COMMAND[0], [*COMMAND, *argv])
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))

    def wait_for(self, text: str, seconds: float = 20.0) -> str:
        """What is on the screen once `text` has appeared after the last wait."""
        end = time.monotonic() + seconds
        start = getattr(self, "_seen", 0)
        while time.monotonic() < end:
            if text in self.text()[start:]:
                self._seen = self.text().index(text, start) + len(text)
                return self.text()[start:]
            try:
                if select.select([self.fd], [], [], 0.05)[0]:
                    self.raw += os.read(self.fd, 65536)
            except OSError:
                break
        raise AssertionError(f"'{text}' did not appear; on the screen: {self.text()[start:][-1500:]}")

    def text(self) -> str:
        return ESCAPE.sub("", self.raw.decode("utf-8", errors="replace")).replace("\r", "").replace("\x08", "")

    def ready(self) -> None:
        """Wait for the prompt and until it takes keys."""
        self.wait_for(">")
        time.sleep(0.3)

    def send(self, text: str) -> None:
        os.write(self.fd, text.encode())

    def end(self) -> int:
        """Wait for the program to end; its exit code."""
        try:
            while select.select([self.fd], [], [], 10)[0]:
                data = os.read(self.fd, 65536)
                if not data:
                    break
                self.raw += data
        except OSError:
            pass
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])

    def kill(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)


@pytest.fixture
def history(tmp_path: Path, base: Base) -> str:
    """Conversations of one test alone; the compiled base is warm."""
    return str(tmp_path)


def test_a_consultation_at_the_prompt(history: str) -> None:
    t = Terminal(ADVISOR_HISTORY=history)
    t.wait_for("Tell me what the fastener is")
    t.ready()
    t.send("M12 8.8 bolts outside in the country\r")
    t.wait_for("class 8.8")
    t.wait_for("1. no")
    t.ready()
    t.send("1\r")
    t.wait_for("understood: nobody is hurt")
    t.ready()
    t.send("\x04")
    t.wait_for("The conversation is kept as")
    assert t.end() == 0
    assert len(list(Path(history).glob("*.journal"))) == 1


def test_ctrl_c_drops_the_line_and_the_talk_goes_on(history: str) -> None:
    t = Terminal(ADVISOR_HISTORY=history)
    t.ready()
    t.send("M99 by the mo")
    time.sleep(0.3)
    t.send("\x03")
    time.sleep(0.3)
    t.send("M8 screws by the sea\r")
    t.wait_for("M8; on the coast")
    t.ready()
    t.send("\x04")
    t.wait_for("Goodbye")
    assert t.end() == 0


def test_a_pasted_block_is_read_whole(history: str) -> None:
    t = Terminal(ADVISOR_HISTORY=history)
    t.ready()
    t.send("\x1b[200~M16 bolts\n10.9\ngritted road, 15 years\x1b[201~\r")
    screen = t.wait_for("wanted")
    assert "M16; class" in screen
    assert "class 10.9" in " ".join(screen.split())
    t.ready()
    t.send("\x04")
    t.wait_for("Goodbye")
    t.end()


def test_a_long_reply_comes_by_pages_and_the_next_words_may_stand_for_enter(history: str) -> None:
    t = Terminal(ADVISOR_HISTORY=history)
    t.ready()
    t.send("M10 8.8 hot dip bolts for a gate in town\r")
    t.wait_for("qualified engineer decides")
    t.send("more\r")
    t.wait_for("lines more: Enter goes on")
    t.send("\r")
    t.wait_for("lines more: Enter goes on")
    t.send("M12\r")
    t.wait_for("now M12")
    t.send("leave\r")
    assert t.end() == 0


@pytest.mark.parametrize("how", ["plain", "dumb"])
def test_simple_terminals_get_linear_text(history: str, how: str) -> None:
    t = (
        Terminal("chat", "--plain", ADVISOR_HISTORY=history)
        if how == "plain"
        else Terminal(ADVISOR_HISTORY=history, ADVISOR_PLAIN="1")
    )
    t.wait_for("> ")
    t.send("M8 screws by the sea\r")
    t.wait_for("M8; on the coast")
    t.ready()
    t.send("\x04")
    t.wait_for("Goodbye")
    t.end()
    assert b"\x1b" not in t.raw


@pytest.mark.parametrize("turns", [1, 2])
def test_a_killed_conversation_resumes_with_every_turn(history: str, turns: int) -> None:
    said = ["M12 10.9 bolts for a trailer, gritted roads", "ten years"]
    shown = ["class 10.9", "understood: 10 years"]
    t = Terminal("chat", "--plain", ADVISOR_HISTORY=history)
    t.wait_for("> ")
    for line, seen in zip(said[:turns], shown, strict=False):
        t.send(line + "\r")
        t.wait_for(seen)
    t.send("half a li")
    t.kill()
    name = next(Path(history).glob("*.journal")).stem
    again = Terminal("chat", "--plain", "--resume", name, ADVISOR_HISTORY=history)
    again.wait_for(f"{turns} turns")
    again.wait_for("M12; class")
    again.wait_for("> ")
    again.send("no sorry, 12.9\r")
    again.wait_for("12.9")
    again.ready()
    again.send("\x04")
    again.wait_for("Goodbye")
    assert again.end() == 0


def piped(data: bytes, history: str) -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "ADVISOR_HISTORY": history}
    return subprocess.run(COMMAND, input=data, capture_output=True, env=environment, check=False, timeout=60)


def test_a_pipe_works_without_prompts_and_ends_with_the_advice(history: str) -> None:
    done = piped(b"M8 screws by the sea\n", history)
    out = done.stdout.decode()
    assert done.returncode == 0
    assert b"\x1b" not in done.stdout
    assert not re.search(r"^> ", out, re.MULTILINE)
    assert "Stainless A4" in out
    assert "engineer decides" in out
    assert not list(Path(history).glob("*.journal"))


@pytest.mark.parametrize("data", [b"", b"\n\n", b"\xff\xfe\x00\x80\n", b"x" * 50_000 + b"\n"])
def test_odd_pipes_are_survived(history: str, data: bytes) -> None:
    done = piped(data, history)
    assert done.returncode == 0
    assert b"Traceback" not in done.stdout + done.stderr


@pytest.fixture
def keys() -> Iterator[object]:
    with create_pipe_input() as pipe:
        yield pipe


class Ready:
    """A session that is ready at once."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.ready = True

    def prepare(self) -> None:
        """Nothing to do."""


def test_lines_come_from_the_prompt(base: Base, keys: object) -> None:
    keys.send_text("M10 outside\r")  # type: ignore[attr-defined]
    typed = prompt.lines(Ready(base), keys, DummyOutput())  # type: ignore[arg-type]
    assert next(typed) == "M10 outside"
    keys.send_text("half\x03")  # type: ignore[attr-defined]
    keys.send_text("whole\r")  # type: ignore[attr-defined]
    assert next(typed) == "whole"
    keys.send_text("\x04")  # type: ignore[attr-defined]
    with pytest.raises(StopIteration):
        next(typed)


def test_completion_waits_for_a_few_letters(base: Base) -> None:
    from prompt_toolkit.completion import CompleteEvent
    from prompt_toolkit.document import Document

    words = prompt.PhraseCompleter(Ready(base))
    event = CompleteEvent(text_inserted=True)
    assert list(words.get_completions(Document("ga"), event)) == []
    offered = [c.text for c in words.get_completions(Document("bolts galv"), event)]
    assert 0 < len(offered) <= prompt.MOST_OFFERED
    assert all(x.lower().startswith("galv") for x in offered)


def test_a_console_that_cannot_carry_the_prompt_gets_the_plain_one(base: Base, monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor.shells.chat import terminal
    from advisor.shells.given import Settings

    class NoConsole(Exception):
        """As the library raises on some Windows consoles."""

    def refuse(*args: object, **named: object) -> object:
        raise NoConsole("no screen buffer")

    monkeypatch.setattr(prompt, "PromptSession", refuse)
    monkeypatch.setenv("TERM", "xterm")
    lines = iter(["M10 outside"])
    monkeypatch.setattr("builtins.input", lambda _: next(lines))
    typed = terminal._typed(Settings(), Opening(Settings(), interactive=True))
    assert next(typed) == "M10 outside"
