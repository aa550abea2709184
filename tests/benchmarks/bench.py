"""The project's own benchmark, apart from the tests: `python tests/benchmarks/bench.py [--runs 15]`.

Every figure is held against the bare interpreter or a stated floor of the same run, so that it means the same on any
machine. Budgets stand beside; a figure over its budget is marked, and the exit code is 1.
"""

from __future__ import annotations

import argparse
import json
import os
import pty
import select
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

PY = sys.executable
SENTENCE = "need 200 of the m10 10.9 bolts in yellow zinc for a trailer in salty winters, has to be rohs"


def median_ms(run: Callable[[], object], times: int) -> float:
    """Median of wall-clock milliseconds."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        found.append((time.perf_counter() - start) * 1000)
    return statistics.median(found)


def process(*argv: str) -> Callable[[], object]:
    """A fresh process with its output thrown away."""
    return lambda: subprocess.run(argv, check=True, stdout=subprocess.DEVNULL, stdin=subprocess.DEVNULL)


def until_prompt(argv: list[str], mark: bytes) -> float:
    """Milliseconds from the start of a process on a terminal until `mark` is on the screen."""
    start = time.perf_counter()
    pid, fd = pty.fork()
    if pid == 0:
        os.environ.update(TERM="xterm-256color", PROMPT_TOOLKIT_NO_CPR="1")
        os.execv(argv[0], argv)
    import fcntl
    import struct
    import termios

    fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    seen = b""
    try:
        while mark not in seen and time.perf_counter() - start < 20:
            if select.select([fd], [], [], 0.05)[0]:
                seen += os.read(fd, 65536)
    except OSError:
        pass
    took = (time.perf_counter() - start) * 1000
    os.kill(pid, 9)
    os.waitpid(pid, 0)
    os.close(fd)
    return took


def resident_mib(*argv: str) -> float:
    """Peak memory of a process, MiB."""
    code = (
        "import resource,subprocess,sys;subprocess.run(sys.argv[1:],check=True,stdout=subprocess.DEVNULL);"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss/1024)"
    )
    return float(subprocess.run([PY, "-c", code, *argv], check=True, capture_output=True, text=True).stdout)


def main() -> int:
    """Measure everything and print one line a figure."""
    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("--runs", type=int, default=15)
    p.add_argument("--json", action="store_true")
    n = p.parse_args()
    os.environ["ADVISOR_CACHE"] = tempfile.mkdtemp()
    os.environ["ADVISOR_HISTORY"] = tempfile.mkdtemp()
    # an installed program has its bytecode; a shell that forbids writing it would have every start compile the source
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = tempfile.mkdtemp()
    rows: list[dict[str, object]] = []

    def row(what: str, value: float, unit: str, budget: float | None, note: str = "") -> None:
        rows.append(
            {
                "what": what,
                "value": round(value, 3),
                "unit": unit,
                "budget": budget,
                "over": budget is not None and value > budget,
                "note": note,
            }
        )

    advisor = [PY, "-m", "advisor"]
    start = time.perf_counter()
    subprocess.run([*advisor, "read", "M10"], check=True, stdout=subprocess.DEVNULL)
    cold = (time.perf_counter() - start) * 1000
    knowledge = Path(__file__).resolve().parents[2] / "knowledge"
    size_kb = sum(f.stat().st_size for f in knowledge.rglob("*.yaml")) / 1024
    bare = median_ms(process(PY, "-c", "pass"), n.runs)
    row("bare interpreter", bare, "ms", None)
    row("compiling the base, per KB of YAML", cold / size_kb, "ms/KB", 1.0, f"{size_kb:.0f} KB in {cold:.0f} ms")
    ask = median_ms(process(*advisor, "ask", SENTENCE, "--json"), n.runs)
    row("one-shot ask / bare", ask / bare, "x", 4.5, f"{ask:.0f} ms")
    reading = median_ms(process(*advisor, "read", SENTENCE), n.runs)
    row("one-shot read / bare", reading / bare, "x", None, f"{reading:.0f} ms")
    plain = "import sys;from prompt_toolkit import PromptSession;PromptSession().prompt('> ')"
    floor = statistics.median(until_prompt([PY, "-c", plain], b">") for _ in range(n.runs))
    shown = statistics.median(until_prompt([*advisor], b">") for _ in range(n.runs))
    row("prompt visible / bare prompt", shown / floor, "x", 1.15, f"{shown:.0f} ms against {floor:.0f} ms")
    simple = statistics.median(until_prompt([*advisor, "chat", "--plain"], b"> ") for _ in range(n.runs))
    row("plain prompt / bare interpreter", simple / bare, "x", 4.5, f"{simple:.0f} ms")
    row(
        "memory of one-shot over bare",
        resident_mib(*advisor, "ask", SENTENCE) - resident_mib(PY, "-c", "pass"),
        "MiB",
        30,
    )
    _inside(row)
    if n.json:
        print(json.dumps(rows))
    else:
        for r in rows:
            mark = "OVER" if r["over"] else ""
            budget = f"budget {r['budget']}" if r["budget"] is not None else ""
            print(f"{r['what']:<44} {r['value']:>10} {r['unit']:<6} {budget:<14} {mark:<5} {r['note']}")
    return 1 if any(r["over"] for r in rows) else 0


def _inside(row: Callable[..., None]) -> None:
    """Figures inside one process."""
    from advisor.dialogue.conversation import Guide
    from advisor.dialogue.facts import merge
    from advisor.dialogue.state import State
    from advisor.language.reading import read
    from advisor.reasoning.advice import advise
    from advisor.reasoning.enquiry import Enquiry
    from advisor.reasoning.questions import open_questions
    from advisor.shells.opening import open_all

    opened = open_all()
    engine, words = opened.engine, opened.vocabulary
    enquiry, _ = merge(opened.base, Enquiry(), read(SENTENCE, words))
    case = engine.complete(enquiry)
    judged = engine.judge(enquiry)
    row("reading one 17-word utterance", median_ms(lambda: read(SENTENCE, words), 200), "ms", 1.0)
    row(
        "screening with all reasons",
        median_ms(lambda: engine.screen(case, engine.rules.voices.all_said(engine.state_of(case))), 100),
        "ms",
        None,
        f"{len(engine.rules.finishes)} finishes x {len(engine.rules.voices.ids)} rules",
    )

    def advised(ask: bool) -> None:
        # every part of an advice is made when it is looked at
        advice = advise(engine, enquiry, ask=ask)
        _ = advice.recommended, advice.cautions, advice.refer, advice.next_question

    row("advice without questions", median_ms(lambda: advised(False), 50), "ms", 3.0)
    row(
        "next question (every answer to every question)",
        median_ms(lambda: open_questions(engine, judged), 20),
        "ms",
        50.0,
    )
    row("advice with the next question", median_ms(lambda: advised(True), 20), "ms", 2.0)
    guide = Guide(engine, words)
    turns = []
    for said in (SENTENCE, "by the sea", "no sorry, 12.9", "don't know", "why", "M8", "what if it is indoors"):
        for _ in range(15):
            start = time.perf_counter()
            guide.step(State(enquiry=enquiry), said)
            turns.append((time.perf_counter() - start) * 1000)
    row("a turn, 99th percentile", sorted(turns)[int(len(turns) * 0.99) - 1], "ms", 20.0)


if __name__ == "__main__":
    sys.exit(main())
