"""The command line keeps the contract: keys, exit codes, streams, and one sentence for every fault."""

from __future__ import annotations

import io
import json
import random
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from advisor.graph.base import Base
from advisor.shells.cli import run
from advisor.shells.commands import COMMANDS

Run = Callable[..., tuple[int, str, str]]
README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")

ENVELOPE = {
    "schema": str,
    "knowledge": dict,
    "kind": str,
    "answer": dict,
    "understood": dict,
    "unclear": list,
    "assumed": list,
    "recommended": list,
    "conditional": list,
    "excluded": list,
    "cautions": list,
    "open_questions": list,
    "referral": dict,
    "path": list,
    "citations": dict,
    "closing": str,
}
KINDS = {"advice", "answer", "diagnosis", "lookup", "decode", "calculation", "clarify", "out-of-scope"}
ENQUIRIES = [
    "M10 8.8 bolts outside",
    "M12 10.9 on a gritted road, yellow zinc, RoHS",
    "12.9 socket cap screws zinc plated, damp workshop",
    "A490 hot dip galvanised for a bridge",
    "lifting eye bolt, what plating",
    "stainless rod over a swimming pool",
    "M5 machine screws by the sea",
    "nuts for my hot dip bolts M16",
    "copper roof clips screws",
    "deck screws in treated posts",
    "oven hinge 300 C",
    "cad plated bolts for an old radio",
    "240 h salt spray M8",
    "1500 h white rust",
    "what does A2L mean",
    "ISO 4042/Zn8/An/T0",
    "convert 39 HRC to HV",
    "how long will 50 um galv last in C3",
    "what is white rust",
    "can you reuse galvanized a325 bolts",
    "do you know a good plumber",
    "hello",
    "asdf qwer zxcv",
    "M10",
    "screws",
    "brake calliper bolts rusty",
    "grub screws 45H outside zinc plated",
    "spring washers zinc plated",
    "no cadmium, no nickel, M6 indoors",
    "not galvanised please, M12 outside",
    "M16 8.8 for a jetty, splash zone",
    "A4 bolts with aluminium plate by the sea, seized",
    "galvanised coach screws for oak",
    "battery shed, sulphuric acid",
    "bolts in a chlorine plant",
    "bleach store shelving screws",
    "M8 nuts and washers stainless, food factory wash-down",
    "drinking water tank flange bolts",
    "earthing stud, must conduct",
    "black socket screws for an outdoor machine",
    "threadlocker and zinc flake M12",
    "what torque for M10 8.8 zinc flake",
    "does 12 um fit M6 6g",
    "will stainless and aluminium get along at sea",
    "Fe/Zn 8c2C",
    "flZnnc-480h-L",
    "A2L what hexavalent",
    "look up hot dip galvanizing",
    "why are my white rust spots",
    "RoHS yellow passivate M5 200 pieces",
    "3/8-16 gr8 zinc nickel tractor",
    "#10-32 machine screws boat",
    "1/2-13 B7 studs 300 C",
    "A325 bolts rusty, can I replate them",
    "tapping screws case hardened zinc",
    "U-bolts exhaust",
    "subsea studs with anodes",
    "magnesium housing screws",
    "carbon fibre panel bolts",
    "titanium bolts for salt water",
    "no idea what the strength is, zinc plated, garden gate",
    "50 years life at the coast M20 8.8",
    "cheapest for indoors dry M6 20000 pieces",
    "paint over M10 bolts",
    "bolt for a swing in a playground",
]


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs one command line in this process: (exit code, standard output, standard error)."""

    def call(*argv: str, stdin: bytes = b"") -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        code = run(list(argv))
        out, err = capsys.readouterr()
        return code, out, err

    return call


def stream(command: Run, name: str, items: list[Any]) -> list[dict[str, Any]]:
    text = "".join((x if isinstance(x, str) else json.dumps(x)) + "\n" for x in items)
    code, out, _ = command(name, "-", "--json", stdin=text.encode())
    assert code == 0
    return [json.loads(line) for line in out.splitlines()]


def cited(value: Any) -> set[str]:
    """Every id in any `cites` below a value."""
    if isinstance(value, dict):
        own = set(value.get("cites", ())) if isinstance(value.get("cites"), list) else set()
        return own.union(*(cited(v) for k, v in value.items() if k != "citations"))
    if isinstance(value, list):
        return set().union(*(cited(v) for v in value)) if value else set()
    return set()


def test_every_answer_keeps_the_envelope(command: Run) -> None:
    answers = stream(command, "ask", [{"text": t} for t in ENQUIRIES])
    assert len(answers) == len(ENQUIRIES)
    for text, a in zip(ENQUIRIES, answers, strict=True):
        for key, kind in ENVELOPE.items():
            assert isinstance(a[key], kind), (text, key)
        assert a["schema"] == "advisor/answer/1"
        assert a["kind"] in KINDS, text
        assert a["closing"].strip(), text
        assert "engineer" in a["closing"], text
        assert cited(a) <= set(a["citations"]), (text, cited(a) - set(a["citations"]))
        for c in a["citations"].values():
            assert c["title"], text
            assert c["basis"] in ("published", "derived", "practice", "memory"), text
        if a["kind"] == "advice" and not a["recommended"]:
            assert a["referral"]["required"] or a["open_questions"], text


def test_every_answer_has_a_line_to_say(command: Run) -> None:
    for a in stream(command, "ask", [{"text": t} for t in ENQUIRIES]):
        assert set(a["answer"]) == {"verdict", "text", "cites"}
        assert a["answer"]["verdict"] in ("yes", "no", "depends", "figure", "choice", "none")
        assert a["answer"]["text"]
        if a["kind"] == "advice":
            aloud = [q for q in a["open_questions"] if q["aloud"]]
            assert a["asked"] is None or set(a["asked"]) == {"decision", "slot"}
            # the first of the list that would be asked aloud is the one that the conversation asks
            assert (a["asked"] or {}).get("decision") == (aloud[0]["decision"] if aloud else None)


def test_a_brief_answer_leaves_out_what_is_not_offered(command: Run) -> None:
    code, out, _ = command("ask", "-", "--json", "--brief", stdin=b"M10 8.8 bolts outside\nzinc plated 12.9 M8\n")
    whole = stream(command, "ask", ["M10 8.8 bolts outside", "zinc plated 12.9 M8"])
    assert code == 0
    for a, w in zip((json.loads(x) for x in out.splitlines()), whole, strict=True):
        assert not {"excluded", "conditional", "path"} & set(a)
        assert len(a["open_questions"]) <= 1
        assert a["recommended"] == w["recommended"]
        assert a["cautions"] == w["cautions"]
        assert a["asked"] == w["asked"]
        assert cited(a) <= set(a["citations"])


def test_what_is_recommended_is_told_in_full(command: Run) -> None:
    for a in stream(command, "ask", [{"text": t} for t in ENQUIRIES]):
        for n, r in enumerate(a["recommended"], 1):
            assert r["rank"] == n
            assert r["hexavalent_chromium"] in ("yes", "no", "unstated")
            assert r["reasons"]
            assert all(len(pair) == 2 and pair[0] <= pair[1] for pair in r["figures"].values())
            assert set(r["figures"]) == set(r["figure_cites"])
            assert all(r["figure_cites"].values())
            assert abs(sum(r["contributions"].values()) - r["score"]) < 0.01
        for c in a["cautions"]:
            assert c["severity"] in ("stop", "warn", "note")
        for h in a["excluded"]:
            assert h["because"], h["family"]
        for q in a["open_questions"]:
            assert q["text"].endswith("?")


@pytest.mark.parametrize(
    ("argv", "expected"),
    [
        (["ask", "M8 screws outside"], 0),
        (["ask", "lifting eye bolt, which plating"], 3),
        (["ask", ""], 2),
        (["ask", "x" * 200_000], 2),
        (["ask", "M8", "--set", "nonsense=1"], 2),
        (["ask", "M8", "--set", "life_years=soon"], 2),
        (["ask", "M8", "--set", "environment=moon"], 2),
        (["ask", "M8", "--set", "environment"], 2),
        (["ask", "M8", "--colour"], 2),
        (["frobnicate"], 2),
        (["--frobnicate"], 2),
        (["read", "M8", "--answering", "moon"], 2),
        (["lookup", "qqqqqzzzz"], 2),
        (["fit", "--size", "M9999"], 2),
        (["convert", "99", "HRC", "--to", "HV"], 2),
        (["decode", "xyzzy 17"], 2),
        (["history", "no-such-talk"], 2),
        (["chat", "--resume", "no-such-talk"], 2),
        (["ask", "M8", "--knowledge", "/nowhere/at/all"], 2),
        (["--version"], 0),
        (["--help"], 0),
    ],
)
def test_exit_codes_and_one_sentence(command: Run, argv: list[str], expected: int) -> None:
    code, out, err = command(*argv)
    assert code == expected, err
    assert "Traceback" not in out + err
    if expected == 2:
        assert out == ""
        assert err.startswith("advisor: ")
        assert len(err.strip().splitlines()) == 1


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_command_explains_itself(command: Run, name: str) -> None:
    code, out, err = command(name, "--help")
    assert code == 0, err
    assert f"usage: advisor {name}" in out
    assert f"example: advisor {name} " in out
    assert len(out.splitlines()) <= 24, "a page of help fits the screen"


def test_a_bad_line_does_not_stop_the_stream(command: Run) -> None:
    lines: list[Any] = [
        {"text": "M10 outside"},
        '{"text": "M10", "set": {"moon": 1}}',
        '{"text": 5}',
        "{broken",
        "y" * 5000,
        '{"text": "M8", "colour": 1}',
        {"text": "M12 by the sea", "set": {"life_years": 15}},
    ]
    answers = stream(command, "ask", lines)
    assert [("error" in a) for a in answers] == [False, True, True, True, True, True, False]
    assert answers[0]["understood"]["size"]["value"] == "M10"
    assert answers[6]["understood"]["life_years"]["value"] == 15


def test_read_answers_a_question(command: Run) -> None:
    got = stream(command, "read", [{"text": "ten years", "answering": "life_years"}, {"text": "M10 8.8"}])
    assert got[0]["understood"]["life_years"]["value"] == 10
    assert set(got[1]["understood"]) == {"size", "strength"}


@pytest.mark.parametrize(
    ("option", "slot", "value"),
    [
        ("strength=10.9", "strength", "10.9"),
        ("environment=coastal,pool", "environment", ["coastal", "pool"]),
        ('environment=["coastal"]', "environment", ["coastal"]),
        ("life_years=12.5", "life_years", 12.5),
        ("quantity=200", "quantity", 200),
        ("cadmium=requested", "cadmium", "requested"),
        ("size=3/8-16", "size", "3/8-16"),
        ("strength=unknown", "strength", "unknown"),
    ],
)
def test_slots_can_be_set_outright(command: Run, option: str, slot: str, value: object) -> None:
    code, out, err = command("ask", "bolts", "--set", option, "--json")
    assert code in (0, 3), err
    assert json.loads(out)["understood"][slot]["value"] == value


CALCULATIONS = {
    ("fit", "--size", "M10", "--class", "6g", "--thickness", "8"): {
        "before", "after", "allowance_um", "greatest_thickness_um", "verdict", "remedy",
    },
    ("torque", "--size", "M12", "--strength", "8.8", "--finish", "zinc-flake"): {
        "preload_kn", "torque_nm", "stress_area_mm2", "utilisation", "verdict",
    },
    ("hydrogen", "--strength", "12.9", "--finish", "zinc-electroplate"): {
        "hardness_hrc", "hardness_hv", "susceptibility", "verdict", "bake", "tests", "alternatives",
    },
    ("life", "--site", "C3", "--zinc", "50"): {"category", "rate_zinc_um_a", "rate_steel_um_a", "years_to_first_rust"},
    ("couple", "stainless-steel", "aluminium", "--site", "coastal"): {
        "potential_difference_v", "allowed_v", "verdict", "anode", "remedy",
    },
    ("quantity", "--part", "hex-bolt", "--size", "M10", "--length", "50"): {
        "surface_mm2_each", "mass_g_each", "coating_g_each", "surface_dm2_per_kg", "relative_lot_cost",
    },
    ("convert", "39", "HRC", "--to", "HV"): {"value", "unit", "also"},
    ("decode", "ISO 4042/Zn8/An/T0"): {"readings"},
}  # fmt: skip


@pytest.mark.parametrize("argv", list(CALCULATIONS), ids=lambda a: a[0])
def test_calculations_keep_their_keys(command: Run, argv: tuple[str, ...]) -> None:
    code, out, err = command(*argv, "--json")
    assert code == 0, err
    got = json.loads(out)
    assert got["schema"] == f"advisor/{argv[0]}/1"
    assert CALCULATIONS[argv] <= set(got["results"])
    assert got["method"]
    assert got["closing"]
    assert got["cites"]
    assert set(got["cites"]) <= set(got["citations"])
    code, text, _ = command(*argv)
    assert code == 0
    assert all(len(line) <= 80 for line in text.splitlines()), text


def test_a_colleagues_finish_is_one_yaml_file_and_no_python(command: Run, tmp_path: Path) -> None:
    (tmp_path / "ours.yaml").write_text(
        """
finishes:
  - id: zinc-flake-branch-stock
    name: "Zinc flake from the branch's own shelf"
    family: zinc-flake
    hexavalent_chromium: "no"
    figures:
      thickness_um: {value: 8, unit: "µm", source: trade-practice, basis: practice}
terms:
  - {id: w-branch-flake, say: ["tarnmouth grey"], slot: finish_asked, value: [zinc-flake]}
""",
        encoding="utf-8",
    )
    code, out, err = command("lookup", "branch shelf zinc flake", "--overlay", str(tmp_path), "--json")
    assert code == 0, err
    assert any(c["id"] == "zinc-flake-branch-stock" for c in json.loads(out)["cards"])
    code, out, err = command("read", "tarnmouth grey M10", "--overlay", str(tmp_path), "--json")
    assert json.loads(out)["understood"]["finish_asked"]["value"] == ["zinc-flake"]


def test_a_broken_base_is_refused_with_its_place(command: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("facts:\n  - id: x\n    text: 5\n", encoding="utf-8")
    code, _, err = command("ask", "M10", "--knowledge", str(tmp_path))
    assert code == 1
    assert "bad.yaml:" in err


@pytest.mark.parametrize("escape", ["\x1b[31mred", "\x1b]0;title\x07", "\x9b2J", "\u202egnp", "\x00\x01\x02"])
def test_nothing_typed_acts_on_the_screen(command: Run, escape: str) -> None:
    for name in ("ask", "read"):
        code, out, err = command(name, f"M10 {escape} outside")
        assert code in (0, 3), err
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e]", out + err)


def test_two_hundred_strange_lines_are_survived(command: Run) -> None:
    rng = random.Random(20261125)
    alphabet = "abcM10x/-. ,;:%&{}[]\"'\\\u00b5\u00d7\u2013\U0001f529\u0416\u6c34\u200b\u00a08.9"
    lines = ["".join(rng.choice(alphabet) for _ in range(rng.randint(1, 90))).replace("\n", " ") for _ in range(200)]
    text = "".join(json.dumps({"text": x}) + "\n" for x in lines if x.strip())
    code, out, err = command("ask", "-", "--json", stdin=text.encode())
    assert code == 0, err
    assert all(json.loads(line)["closing"] for line in out.splitlines())


def test_bytes_that_are_no_text_are_survived(command: Run) -> None:
    code, out, err = command("ask", "-", "--json", stdin=b"M10 \xff\xfe outside\n\x80\x81\nM8 indoors\n")
    assert code == 0, err
    assert json.loads(out.splitlines()[-1])["understood"]["size"]["value"] == "M8"


def test_the_readme_names_every_command() -> None:
    table = README.split("## Commands")[1].split("\n## ")[0]
    named = set(re.findall(r"^\| `advisor ([a-z]+)", table, re.MULTILINE))
    assert named == set(COMMANDS)


@pytest.mark.parametrize("section", ["Run it", "Test it"])
def test_the_readme_has_one_command_a_section(section: str) -> None:
    body = README.split(f"## {section}\n")[1].split("\n## ")[0]
    assert len(re.findall(r"^    \S", body, re.MULTILINE)) == 1


def test_read_and_lookup_keep_their_keys(command: Run) -> None:
    code, out, err = command("read", "M10 8.8 by the sea", "--json")
    assert code == 0, err
    reading = json.loads(out)
    assert reading["schema"] == "advisor/reading/1"
    for key, kind in {"understood": dict, "unclear": list, "closing": str}.items():
        assert isinstance(reading[key], kind), key
    for item in reading["understood"].values():
        assert set(item) >= {"value", "words", "certainty"}
        assert 0 < item["certainty"] <= 1
    code, out, err = command("lookup", "zinc flake", "--json")
    assert code == 0, err
    card = json.loads(out)
    assert card["kind"] == "lookup"
    assert any(c["id"] == "zinc-flake" for c in card["cards"])
    assert cited(card) <= set(card["citations"])
    assert next(c for c in card["cards"] if c["id"] == "zinc-flake")["neighbours"]
    for key, kind in ENVELOPE.items():
        assert isinstance(card[key], kind), key


EXAMPLES = {
    "size": "M10x1.25",
    "number": "10",
    "text": "6g",
    "choices": "zinc-flake",
    "strength": "8.8",
    "callout": "ISO 4042/Zn8/An/T0",
    "friction_window": "0.10-0.14",
    "finish_asked": "zinc-flake",
    "exclude": "cadmium",
}


def test_every_slot_takes_its_values_and_unknown(command: Run, base: Base) -> None:
    items: list[dict[str, Any]] = []
    for slot, node in base.kind("slot").items():
        if node.get("derived"):
            continue
        first = node["values"][0] if node.get("values") else EXAMPLES.get(slot) or EXAMPLES[node["type"]]
        values = [first, "unknown", *(node.get("values") or [])]
        values += [[first], []] if node["type"] == "choices" else []
        items += [{"text": "bolts", "set": {slot: v}} for v in values]
    answers = stream(command, "ask", items)
    assert len(answers) == len(items)
    for item, a in zip(items, answers, strict=True):
        assert "error" not in a, (item, a.get("error"))
        (slot,) = item["set"]
        assert a["understood"][slot]["certainty"] == 1.0, item
        if not a["recommended"]:
            assert a["referral"]["required"] or a["open_questions"], item


def test_lists_and_commas_set_the_same(command: Run) -> None:
    a, b = stream(
        command,
        "ask",
        [
            {"text": "M10 bolts", "set": {"environment": ["coastal", "pool"]}},
            {"text": "M10 bolts", "set": {"environment": "coastal, pool"}},
        ],
    )
    assert a == b


def test_the_same_words_get_the_same_answer(command: Run) -> None:
    first = stream(command, "ask", [{"text": t} for t in ENQUIRIES[:12]])
    again = stream(command, "ask", [{"text": t} for t in reversed(ENQUIRIES[:12])])
    assert first == again[::-1]


def test_open_questions_end_when_everything_is_answered(command: Run) -> None:
    told: dict[str, Any] = {}
    for _ in range(40):
        (a,) = stream(command, "ask", [{"text": "M10 bolts", "set": told}])
        # what is noticed in the words alone is no slot of the contract and cannot be set to unknown
        left = [q["slot"] for q in a["open_questions"] if q["slot"] != "circumstance"]
        if not left:
            break
        assert not set(left) & set(told), "what was answered is not asked again"
        told[left[0]] = "unknown"
    assert left == []
    assert a["recommended"]


@pytest.mark.parametrize("text", ["bolts for a nuclear plant", "harness anchor bolt", "brake calliper bolts rusty"])
def test_code_3_goes_with_an_empty_list_and_a_referral(command: Run, text: str) -> None:
    code, out, err = command("ask", text, "--json")
    assert code == 3, err
    a = json.loads(out)
    assert a["recommended"] == []
    assert a["referral"]["required"] is True
    assert a["referral"]["because"]
    assert a["referral"]["to"]
    code, shown, _ = command("ask", text)
    assert code == 3
    assert "engineer" in shown


def test_an_overlay_finish_can_be_asked_for(command: Run, tmp_path: Path) -> None:
    (tmp_path / "ours.yaml").write_text(
        """
finishes:
  - id: zinc-flake-branch-stock
    name: "Zinc flake from the branch's own shelf"
    family: zinc-flake
    hexavalent_chromium: "no"
    figures:
      thickness_um: {value: 8, unit: "µm", source: trade-practice, basis: practice}
""",
        encoding="utf-8",
    )
    code, out, err = command("hydrogen", "--strength", "12.9", "--finish", "zinc-flake-branch-stock",
                             "--overlay", str(tmp_path), "--json")  # fmt: skip
    assert code == 0, err
    assert json.loads(out)["results"]["verdict"].startswith("allowed")
    code, _, err = command("hydrogen", "--strength", "12.9", "--finish", "zinc-flake-branch-stock")
    assert code == 2


def test_a_broken_overlay_is_refused_with_file_and_line(command: Run, tmp_path: Path) -> None:
    for text in ("finishes: [", "finishes:\n  - id: x\n    family: no-such-family\n", "moons:\n  - id: y\n"):
        (tmp_path / "ours.yaml").write_text(text, encoding="utf-8")
        code, out, err = command("ask", "M10", "--overlay", str(tmp_path))
        assert code == 1, (text, err)
        assert out == ""
        assert re.search(r"ours\.yaml:\d+", err), err
        assert len(err.strip().splitlines()) == 1, err


def test_help_shows_examples_and_every_command(command: Run) -> None:
    code, out, _ = command("--help")
    assert code == 0
    assert "Examples:" in out
    assert all(re.search(rf"^  {name} ", out, re.MULTILINE) for name in COMMANDS)
    assert all(option in out for option in ("--knowledge", "--overlay", "--plain", "--version", "Exit codes"))


def test_the_version_is_that_of_the_package(command: Run) -> None:
    import advisor

    assert command("--version") == (0, f"advisor {advisor.__version__}\n", "")


def test_a_pipe_without_a_command_is_a_plain_conversation(command: Run) -> None:
    code, out, err = command(stdin=b"M10 8.8 bolts outside\n")
    assert code == 0, err
    assert "M10" in out
    assert "\x1b" not in out


def test_calculations_bring_the_citations_of_their_cautions(command: Run) -> None:
    for argv in CALCULATIONS:
        _, out, _ = command(*argv, "--json")
        got = json.loads(out)
        assert cited(got) <= set(got["citations"]), argv[0]
        assert "engineer" in got["closing"]
        assert all(c["severity"] in ("stop", "warn", "note") for c in got["cautions"])


@pytest.mark.parametrize(
    ("words", "family"),
    [("galvanised", "hot-dip-galvanized"), ("yellow zinc", "zinc-electroplate"), ("a4", "stainless-a4"), ("qqxxz", "")],
)
def test_finishes_are_found_by_peoples_words(command: Run, words: str, family: str) -> None:
    code, out, _ = command("finishes", words, "--json")
    assert code == 0
    found = {f["family"] for f in json.loads(out)["finishes"]}
    assert family in found if family else not found
