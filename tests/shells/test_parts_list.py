"""The command for parts lists: what a buyer sends in, what comes out, what happens when it goes wrong."""

from __future__ import annotations

import csv
import io
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from advisor.shells.cli import run

Command = Callable[..., tuple[int, str, str]]

LIST = """Pos;Description;Size;Length;Class;Finish;Qty
1;Hex bolt;M10;50;10.9;zinc plated;200
2;HEX BOLT M10X50 10.9 ZN CR3;;;;;50
3;Socket cap screw;M8;30;12.9;zinc plated;100
4;=cmd|calc;;;;;1
5;Eye bolt for lifting;M12;;;;4
6;Bolt 8.8;M12;60;10.9;;10

7;Nut;M10;;8;;200
8;Carriage bolt;M8;80;4.6;HDG;33
"""


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str], own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setenv("ADVISOR_CACHE", os.environ.get("ADVISOR_TEST_CACHE", str(own_folders.parent / "cache")))
    monkeypatch.chdir(own_folders)

    def call(*argv: str) -> tuple[int, str, str]:
        code = run(list(argv))
        out, err = capsys.readouterr()
        return code, out, err

    return call


@pytest.fixture
def parts(own_folders: Path) -> Path:
    path = own_folders / "list.csv"
    path.write_text(LIST, "utf-8")
    return path


def answered(command: Command, path: Path, *more: str) -> dict[str, Any]:
    code, out, _ = command("parts", str(path), "--json", *more)
    assert code in (0, 3)
    found: dict[str, Any] = json.loads(out)
    return found


def table(path: Path) -> list[dict[str, str]]:
    text = path.read_bytes().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text), delimiter=";"))


def test_every_line_is_answered_as_the_contract_has_it(command: Command, parts: Path) -> None:
    found = answered(command, parts, "--site", "coastal", "--plan")
    assert [x["line"] for x in found["lines"]] == [2, 3, 4, 5, 6, 7, 9, 10]
    for line in found["lines"]:
        assert {"line", "understood", "recommended", "cautions", "referral", "problems"} <= set(line)
    assert {"finishes", "served", "unserved"} <= set(found["plan"])
    assert found["plan"]["served"] + len(found["plan"]["unserved"]) == len(found["lines"])
    assert found["closing"]


def test_columns_and_words_of_a_line_say_the_same(command: Command, parts: Path) -> None:
    lines = answered(command, parts, "--site", "coastal")["lines"]
    told = [{s: lines[n]["understood"][s]["value"] for s in ("part", "size", "length_mm", "strength")} for n in (0, 1)]
    assert told[0] == told[1] == {"part": "hex-bolt", "size": "M10", "length_mm": 50, "strength": "10.9"}
    assert lines[0]["understood"]["quantity"]["value"] == 200


def test_a_line_gets_the_first_choice_of_a_single_enquiry(command: Command, parts: Path) -> None:
    lines = answered(command, parts, "--site", "coastal")["lines"]
    _, out, _ = command("ask", "Socket cap screw, zinc plated", "--set", "size=M8", "--set", "length_mm=30", "--set",
                        "strength=12.9", "--set", "quantity=100", "--set", "environment=coastal", "--json")  # fmt: skip
    single = json.loads(out)
    assert lines[2]["recommended"][0]["finish"] == single["recommended"][0]["finish"]
    stops = {c["topic"] for c in single["cautions"] if c["severity"] == "stop"}
    assert stops
    assert stops <= {c["topic"] for c in lines[2]["cautions"]}
    assert lines[2]["referral"]["required"] == single["referral"]["required"]


def test_lifting_goes_to_an_engineer_and_names_no_finish(command: Command, parts: Path) -> None:
    line = answered(command, parts)["lines"][4]
    assert line["recommended"] == []
    assert line["referral"]["required"]


def test_a_line_that_contradicts_itself_on_its_class_gets_no_finish(command: Command, parts: Path) -> None:
    line = answered(command, parts)["lines"][5]
    assert line["recommended"] == []
    assert line["referral"]["required"]
    assert "10.9" in line["problems"][0]
    assert "8.8" in line["problems"][0]


def test_class_8_of_a_nut_is_not_the_grade_8_of_inch_bolts(command: Command, parts: Path) -> None:
    # ISO 898-2 has property class 8 for nuts; SAE J429 has grade 8 for bolts
    line = answered(command, parts)["lines"][6]
    assert line["understood"].get("strength", {}).get("value") != "gr8"


def test_a_row_that_tells_nothing_is_told_and_the_rest_goes_on(command: Command, parts: Path) -> None:
    lines = answered(command, parts)["lines"]
    assert lines[3]["recommended"] == []
    assert lines[3]["problems"]
    assert lines[-1]["recommended"]


def test_what_holds_for_the_whole_list_is_said_once_in_words(command: Command, parts: Path) -> None:
    words = answered(command, parts, "all of it by the sea")
    option = answered(command, parts, "--site", "coastal")
    assert [x["recommended"] for x in words["lines"]] == [x["recommended"] for x in option["lines"]]
    code, _, err = command("parts", str(parts), "all of it flurgled")
    assert code == 2
    assert "flurgled" in err


def test_a_place_of_its_own_stands_instead_of_that_of_the_list(command: Command, own_folders: Path) -> None:
    path = own_folders / "places.csv"
    path.write_text("Description,Place\nHex bolt M8 x 20 8.8,heated office\nHex bolt M8 x 20 8.8,\n", "utf-8")
    lines = answered(command, path, "--site", "coastal")["lines"]
    assert lines[0]["understood"]["environment"]["value"] == ["indoor-dry"]
    assert lines[1]["understood"]["environment"]["value"] == ["coastal"]


def test_lengths_in_inches_are_understood_by_their_heading(command: Command, own_folders: Path) -> None:
    path = own_folders / "inches.csv"
    path.write_text("Part,Thread,Length (in),Grade\nHex bolt,1/2-13,3,5\n", "utf-8")
    understood = answered(command, path)["lines"][0]["understood"]
    assert understood["length_mm"]["value"] == pytest.approx(76.2)
    assert understood["strength"]["value"] == "gr5"


def test_the_own_columns_stay_and_formulas_are_disarmed(command: Command, parts: Path, own_folders: Path) -> None:
    out = own_folders / "out.csv"
    code, text, _ = command("parts", str(parts), "--site", "coastal", "--out", str(out), "--plan")
    assert code == 0
    assert "qualified engineer" in text
    rows = table(out)
    assert [r["Pos"] for r in rows] == list("12345678")
    assert [r["Qty"] for r in rows] == ["200", "50", "100", "1", "4", "10", "200", "33"]
    assert rows[3]["Description"] == "'=cmd|calc"
    assert all(r["recommended"] or r["engineer"] or r["problems"] for r in rows)
    cells = [c for r in csv.reader(io.StringIO(out.read_text("utf-8-sig")), delimiter=";") for c in r]
    assert not [c for c in cells if c[:1] in "=+-@\t\r" and c]
    assert out.read_bytes().startswith(b"\xef\xbb\xbf"), "a spreadsheet is told that it is UTF-8"


def test_a_result_can_be_given_in_again(command: Command, parts: Path, own_folders: Path) -> None:
    once, twice = own_folders / "once.csv", own_folders / "twice.csv"
    command("parts", str(parts), "--site", "coastal", "--out", str(once))
    command("parts", str(once), "--site", "coastal", "--out", str(twice))
    assert [r["recommended"] for r in table(twice)] == [r["recommended"] for r in table(once)]


@pytest.mark.parametrize("ending", [".csv", ".jsonl"])
@pytest.mark.parametrize("cut", [0.2, 0.55, 0.9, 0.999, 1.0])
def test_a_list_goes_on_where_it_was_stopped(
    command: Command, parts: Path, own_folders: Path, ending: str, cut: float
) -> None:
    whole, out = own_folders / f"whole{ending}", own_folders / f"out{ending}"
    command("parts", str(parts), "--out", str(whole))
    data = whole.read_bytes()
    keep = max(int(len(data) * cut), data.index(b"\n") + 1)
    out.write_bytes(data[:keep])
    code, _, _ = command("parts", str(parts), "--out", str(out))
    assert code in (0, 3)
    lines, again = whole.read_bytes().splitlines(), out.read_bytes().splitlines()
    assert again[:9] == lines[:9], "every line once, as in one go"
    assert len(again) == len(lines)


@pytest.mark.parametrize("ending", [".csv", ".jsonl"])
def test_what_is_not_part_of_this_list_is_not_written_over(
    command: Command, parts: Path, own_folders: Path, ending: str
) -> None:
    out = own_folders / f"out{ending}"
    command("parts", str(parts), "--out", str(out))
    before = out.read_bytes()
    code, _, err = command("parts", str(parts), "--site", "coastal", "--out", str(out))
    assert (code, out.read_bytes()) == (2, before), "made with other settings"
    assert "name another file" in err
    parts.write_text(LIST.replace("Carriage", "Coach"), "utf-8")
    assert command("parts", str(parts), "--out", str(out))[0] == 2
    assert out.read_bytes() == before
    assert command("parts", str(parts), "--out", str(parts))[0] == 2, "the list itself"


def test_several_processes_give_what_one_gives(command: Command, parts: Path, own_folders: Path) -> None:
    path = own_folders / "long.csv"
    head, *rows = LIST.strip().splitlines()
    path.write_text("\n".join([head, *(r for _ in range(60) for r in rows)]), "utf-8")
    one, two = own_folders / "one.csv", own_folders / "two.csv"
    command("parts", str(path), "--out", str(one))
    command("parts", str(path), "--out", str(two), "--jobs", "2")
    assert one.read_bytes() == two.read_bytes()


def test_an_interrupt_leaves_whole_lines_and_the_list_goes_on(own_folders: Path) -> None:
    path, out = own_folders / "long.csv", own_folders / "out.csv"
    rows = [f"Hex bolt M{8 + n % 3 * 2} x {20 + n} 8.8 for a gate, part {n}" for n in range(4000)]
    path.write_text("\n".join(["Description", *rows]), "utf-8")
    argv = [sys.executable, "-m", "advisor", "parts", str(path), "--site", "outdoor", "--out", str(out)]
    process = subprocess.Popen(argv, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
    while process.poll() is None and (not out.exists() or out.stat().st_size < 40_000):
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=60)
    assert process.returncode == 130, err
    assert "goes on" in err
    data = out.read_bytes()
    assert data.endswith(b"\n")
    done = data.count(b"\n") - 1
    assert 10 < done < 4000
    path.write_text("\n".join(["Description", *rows[: done + 5]]), "utf-8")
    assert run(["parts", str(path), "--site", "outdoor", "--out", str(out)]) == 0
    numbers = [r[1] for r in csv.reader(io.StringIO(out.read_text("utf-8-sig"))) if r[1].isdigit()]
    assert numbers == [str(n + 2) for n in range(done + 5)]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no disk that is always full")
def test_a_full_disk_is_said_in_one_sentence(command: Command, parts: Path, own_folders: Path) -> None:
    out = own_folders / "out.csv"
    out.symlink_to("/dev/full")
    code, _, err = command("parts", str(parts), "--out", str(out))
    assert code == 2
    assert "No space left" in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("empty.csv", b""),
        ("binary.csv", bytes(range(256))),
        ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"),
        ("broken.xlsx", b"PK\x03\x04nothing"),
        ("wide.csv", b"size," * 1_000_000),
    ],
)
def test_what_is_no_list_is_refused(command: Command, own_folders: Path, name: str, data: bytes) -> None:
    path = own_folders / name
    path.write_bytes(data)
    code, out, err = command("parts", str(path))
    assert (code, out) == (2, "")
    assert name in err
    assert err.count("\n") == 1


def test_a_cell_of_a_hundred_thousand_characters_is_told(command: Command, own_folders: Path) -> None:
    path = own_folders / "long.csv"
    path.write_text(f"Description\n{'bolt ' * 20_000}\nHex bolt M8 8.8 indoors\n", "utf-8")
    first, second = answered(command, path)["lines"]
    assert "characters" in first["problems"][0]
    assert second["recommended"]


def test_missing_and_doubled_headings_are_said(command: Command, own_folders: Path) -> None:
    path = own_folders / "bare.csv"
    path.write_text("Hex bolt M8 x 20 8.8;indoors\nHex bolt M10 x 20 8.8;indoors\n", "utf-8")
    code, out, err = command("parts", str(path), "--json")
    assert code == 0
    assert "heading" in err
    assert [x["line"] for x in json.loads(out)["lines"]] == [1, 2]
    path.write_text("Size;Size;Class\nM8;M10;8.8\n", "utf-8")
    assert "Size" in command("parts", str(path), "--json")[2]


def test_a_list_as_a_page_has_the_plan_its_picture_and_nothing_that_runs(
    command: Command, parts: Path, own_folders: Path
) -> None:
    parts.write_text(LIST.replace("Carriage bolt", "Carriage bolt <script>alert(1)</script>"), "utf-8")
    page = own_folders / "list.html"
    assert command("parts", str(parts), "--site", "coastal", "--plan", "--out", str(page))[0] == 0
    text = page.read_text("utf-8")
    assert "<svg" in text
    assert "<script" not in text
    assert "qualified engineer" in text
    found = answered(command, parts, "--site", "coastal", "--plan")
    assert all(f["name"].replace("&", "&amp;") in text for f in found["plan"]["finishes"])
    before = page.read_bytes()
    assert command("parts", str(parts), "--out", str(page))[0] == 2, "nothing is written over"
    assert page.read_bytes() == before
