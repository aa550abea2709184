"""Bad input of every kind: one sentence on standard error, the right exit code, never a traceback."""

from __future__ import annotations

import io
import json
import os
import random
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from advisor.shells.cli import run

Run = Callable[..., tuple[int, str, str]]
ROOT = Path(__file__).parent.parent

ACTS_ON_A_SCREEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""Control characters, escape, C1 and turners of the writing direction; line feed and tab are harmless."""


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs one command line in this process: (exit code, standard output, standard error)."""

    def call(*argv: str, stdin: bytes = b"") -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        code = run(list(argv))
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        assert "stumbled" not in err
        return code, out, err

    return call


def objects(out: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in out.splitlines()]


REFUSED = [
    ["ask", "M8", "--set", "life_years=inf"],
    ["ask", "M8", "--set", "life_years=nan"],
    ["ask", "M8", "--set", "life_years=-1"],
    ["ask", "M8", "--set", "quantity=0"],
    ["ask", "M8", "--set", "quantity=1e400"],
    ["ask", "M8", "--set", "temperature_c=-300"],
    ["ask", "M8", "--set", "hardness_hrc=hard"],
    ["ask", "M8", "--set", "length_mm=0"],
    ["ask", "M8", "--set", "size=M9999"],
    ["ask", "M8", "--set", "size="],
    ["ask", "M8", "--set", "size=\x1b[31mred"],
    ["ask", "M8", "--set", "strength=bogus"],
    ["ask", "M8", "--set", "strength="],
    ["ask", "M8", "--set", "finish_asked=moon-dust"],
    ["ask", "M8", "--set", "exclude=moon-dust"],
    ["ask", "M8", "--set", "environment=" + "[" * 5000],
    ["ask", "M8", "--set", 'environment=["coastal"'],
    ["ask", "M8", "--set", "environment=[1, 2]"],
    ["ask", "M8", "--set", "part=spaceship"],
    ["ask", "M8", "--set", "cadmium=maybe"],
    ["ask", "M8", "--set"],
    ["ask", "M8", "--set", "=5"],
    ["ask", "   "],
    ["ask", "\t\n"],
    ["ask"],
    ["read", ""],
    ["lookup"],
    ["lookup", ""],
    ["lookup", "x" * 5000],
    ["decode"],
    ["decode", ""],
    ["specify"],
    ["specify", "moon-dust"],
    ["fit"],
    ["fit", "--size"],
    ["fit", "--size", "M10", "--thickness", "-3"],
    ["fit", "--size", "M10", "--thickness", "nan"],
    ["fit", "--size", "M10", "--colour", "red"],
    ["torque", "--size", "M10", "--strength", "bogus", "--k", "0.2"],
    ["torque", "--size", "M10", "--strength", "8.8", "--k", "inf"],
    ["hydrogen", "--strength", "12.9", "--finish", "moon-dust"],
    ["life", "--site", "moon", "--zinc", "5"],
    ["life", "--site", "C3", "--zinc", "inf"],
    ["couple", "steel"],
    ["couple", "unobtainium", "kryptonite"],
    ["quantity", "--part", "hex-bolt", "--size", "M10", "--length", "1e308"],
    ["convert"],
    ["convert", "nan", "HRC"],
    ["convert", "8", "furlongs"],
    ["convert", "-5", "mm"],
    ["map", "--out", "picture.txt"],
    ["map", "--out", "/nowhere/at/all/picture.svg"],
    ["map", "zinc-flake", "--out", "x.svg", "--depth", "99"],
    ["map", "no-such-node", "--out", "x.svg"],
    ["replay"],
    ["replay", "/nowhere/at/all.txt"],
    ["history", "../../etc/passwd"],
    ["chat", "--resume", "../../etc/passwd"],
    ["audit", "--knowledge", "/nowhere/at/all"],
    ["ask", "M8", "--overlay", "/nowhere/at/all"],
    ["--knowledge"],
    ["\x1b[31mred"],
    ["--\x1b[31mred"],
    ["askk", "M8"],
]


@pytest.mark.parametrize("argv", REFUSED, ids=lambda a: ascii(" ".join(a))[:50])
def test_bad_usage_is_one_sentence_and_exit_code_2(command: Run, argv: list[str]) -> None:
    code, out, err = command(*argv)
    assert code == 2, err
    assert out == ""
    assert err.startswith("advisor: ")
    assert err.count("\n") == 1
    assert not ACTS_ON_A_SCREEN.search(err)


def test_a_mistyped_command_is_told_the_nearest(command: Run) -> None:
    assert "did you mean lookup" in command("lokup", "zinc")[2]


@pytest.mark.parametrize("slot", ["band", "band_told", "diameter_mm", "thread_system", "lot_kg"])
def test_what_the_program_works_out_itself_cannot_be_set(command: Run, slot: str) -> None:
    value = {"band": "H0", "band_told": "no", "thread_system": "metric"}.get(slot, "5")
    code, _, err = command("ask", "12.9 socket screws zinc plated", "--set", f"{slot}={value}")
    assert code == 2
    assert slot in err


@pytest.mark.parametrize(
    ("written", "meant"), [("a490", "A490"), ("12,9", "12.9"), ("Grade 8", "gr8"), ("ASTM A325", "A325")]
)
def test_a_class_written_another_way_is_the_same_class(command: Run, written: str, meant: str) -> None:
    code, out, err = command("ask", "zinc plated screws outside", "--set", f"strength={written}", "--json")
    assert code in (0, 3), err
    answer = json.loads(out)
    assert answer["understood"]["strength"]["value"] == meant
    if meant != "gr8":
        assert "zinc-electroplate" not in [r["family"] for r in answer["recommended"]]


@pytest.mark.parametrize(
    "text", ["asdf qwer zxcv", "!!!", "....", "0", "\U0001f529", "水", "-1", "' OR 1=1 --", "%s%n"]
)
def test_nonsense_is_answered_without_a_finish(command: Run, text: str) -> None:
    code, out, err = command("ask", "--json", "--", text)
    assert code == 0, err
    answer = json.loads(out)
    assert answer["kind"] in ("clarify", "out-of-scope", "lookup")
    assert answer["recommended"] == []
    assert answer["closing"]


HOSTILE = [
    "\x1b[2J\x1b[H",
    "\x1b]0;owned\x07",
    "\x1b]8;;http://example.invalid\x1b\\link",
    "\x9b31m",
    "\r\x1b[K",
    "\x08\x08\x08",
    "\u202egnp.exe",
    "\u2066x\u2069",
    "\x00\x01\x7f",
]


@pytest.mark.parametrize("hostile", HOSTILE, ids=ascii)
@pytest.mark.parametrize("name", ["ask", "read", "lookup", "decode"])
def test_escape_sequences_never_come_back(command: Run, name: str, hostile: str) -> None:
    _, out, err = command(name, f"zinc flake M10 {hostile} outside")
    assert not ACTS_ON_A_SCREEN.search(out + err)


@pytest.mark.parametrize("hostile", HOSTILE, ids=ascii)
def test_escape_sequences_never_come_back_from_a_pipe(command: Run, hostile: str) -> None:
    for argv in ([], ["ask", "-"], ["read", "-"]):
        code, out, err = command(*argv, stdin=f"M10 8.8 {hostile} bolts outside\n".encode())
        assert code in (0, 3)
        assert not ACTS_ON_A_SCREEN.search(out + err), argv


def test_values_set_outright_never_act_on_the_screen(command: Run) -> None:
    for slot in ("thread_class", "callout", "friction_window"):
        code, out, err = command("ask", "M8 bolts outside", "--set", f"{slot}=\x1b[31mred\x07")
        assert code in (0, 2, 3)
        assert not ACTS_ON_A_SCREEN.search(out + err), slot


BAD_LINES = [
    "{broken",
    "{",
    '{"text": 5}',
    '{"text": null}',
    '{"text": "M8", "colour": 1}',
    '{"text": "M8", "set": {"moon": 1}}',
    '{"text": "M8", "set": [1]}',
    '{"text": "M8", "set": {"environment": "moon"}}',
    '{"text": "M8", "set": {"environment": 5}}',
    '{"text": "M8", "set": {"life_years": true}}',
    '{"text": "M8", "set": {"life_years": {}}}',
    '{"text": "M8", "set": {"life_years": NaN}}',
    '{"text": "M8", "set": {"life_years": 1e999}}',
    '{"text": "M8", "set": {"strength": "bogus"}}',
    '{"text": "M8", "set": {"strength": ["8.8"]}}',
    '{"text": "M8", "set": {"band": "H0"}}',
    '{"text": "M8", "answering": "moon"}',
    '{"text": "M8", "answering": ["size"]}',
    '{"text": ' * 50_000,
    '{"text": "M8", "set": {"environment": ' + "[" * 3000 + "]" * 3000 + "}}",
    "x" * 200_000,
    '{"text": "' + "x" * 200_000 + '"}',
]


@pytest.mark.parametrize("name", ["ask", "read"])
def test_every_bad_line_is_one_error_and_the_rest_goes_on(command: Run, name: str) -> None:
    lines = [x for bad in BAD_LINES for x in (bad, "M10 outside")]
    code, out, _ = command(name, "-", "--json", stdin="".join(x + "\n" for x in lines).encode())
    assert code == 0
    got = objects(out)
    assert len(got) == len(lines)
    for bad, refused, answered in zip(BAD_LINES, got[::2], got[1::2], strict=True):
        assert refused.get("error"), bad[:60]
        assert len(refused["error"]) < 1000, bad[:60]
        assert refused["closing"]
        assert "error" not in answered, bad[:60]
        assert answered["understood"]["size"]["value"] == "M10"


def test_bytes_that_are_no_text_and_nul_bytes_do_not_end_a_stream(command: Run) -> None:
    raw = b'\xff\xfe\x00\n\x80\x81\n\x00\x00\n{"text": "\\u0000 M8"}\n{"text": "\\ud800 M8"}\nM12 by the sea\n'
    code, out, err = command("ask", "-", "--json", stdin=raw)
    assert code == 0, err
    assert objects(out)[-1]["understood"]["size"]["value"] == "M12"
    code, out, err = command(stdin=raw)
    assert code == 0, err
    assert not ACTS_ON_A_SCREEN.search(out)


@pytest.mark.parametrize("stdin", [b"", b"\n\n", b"   \n\t\n"])
def test_nothing_on_the_pipe_is_nothing_to_say(command: Run, stdin: bytes) -> None:
    assert command("ask", "-", "--json", stdin=stdin)[:2] == (0, "")


def test_two_hundred_random_lines_one_answer_each(command: Run) -> None:
    rng = random.Random(1129)
    trade = [
        "M10",
        "12.9",
        "zinc",
        "{",
        "}",
        "[",
        "1/0",
        "#",
        "-",
        "0x",
        "µm",
        "°C",
        "1e999",
        "--set",
        "HRC",
        "/",
        "why",
    ]
    lines = []
    for _ in range(200):
        noise = [
            "".join(chr(rng.choice((rng.randint(33, 126), rng.randint(160, 0x2FFF)))) for _ in range(4)) for _ in "ab"
        ]
        lines.append("x " + " ".join(rng.sample([*trade, *noise], rng.randint(1, 9))))
    code, out, err = command("ask", "-", "--json", stdin="\n".join(lines).encode())
    assert code == 0, err
    got = objects(out)
    assert len(got) == 200
    assert all(a["closing"] for a in got)
    plated = {"zinc-electroplate", "zinc-nickel", "zinc-iron", "cadmium", "nickel"}
    hard = [a for a in got if a["understood"].get("strength", {}).get("value") == "12.9"]
    assert hard
    assert not any(r["family"] in plated for a in hard for r in a["recommended"])


@pytest.mark.parametrize(
    "name", ["fit", "torque", "hydrogen", "life", "couple", "quantity", "convert", "decode", "specify"]
)
def test_random_words_after_a_calculation_are_refused_or_answered(command: Run, name: str) -> None:
    rng = random.Random(name)
    words = [
        "--size",
        "M10",
        "--strength",
        "8.8",
        "--k",
        "0",
        "--finish",
        "zinc-flake",
        "",
        "-1",
        "1/0",
        "--",
        "nan",
        "Zn8",
    ]
    for _ in range(25):
        argv = rng.sample(words, rng.randint(0, 6))
        code, out, err = command(name, *argv)
        assert code in (0, 2), (argv, err)
        assert bool(out) == (code == 0), argv
        assert err.count("\n") == (code == 2), argv


def test_a_reader_that_goes_away_is_no_fault() -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "--help"], stdout=write_end, stderr=subprocess.PIPE, cwd=ROOT, timeout=60
    )
    os.close(write_end)
    assert done.returncode in (0, 141)
    assert done.stderr == b""
