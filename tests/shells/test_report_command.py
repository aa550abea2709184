"""advisor report and save: files in every form, exit codes as elsewhere, bad input in one sentence, nothing lost."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor.graph.base import Base
from advisor.shells import cli
from advisor.shells.chat.session import Session

FENCE = "50 M10x60 bolts 8.8 for a fence by the road, no salt, 20 years"


@pytest.fixture(autouse=True)
def _here(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ADVISOR_CACHE", str(own_folders / "cache"))
    monkeypatch.chdir(own_folders)


@pytest.fixture(scope="module")
def _cache(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(tmp_path_factory.mktemp("cache"))


@pytest.fixture(autouse=True)
def _one_cache(_here: None, _cache: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ADVISOR_CACHE", _cache)


def complaint(capsys: pytest.CaptureFixture[str]) -> str:
    """The one sentence on standard error."""
    said = capsys.readouterr().err
    assert said.count("\n") == 1, said
    assert "Traceback" not in said
    return said


@pytest.mark.parametrize("ending", ["html", "md", "txt", "json"])
def test_a_report_is_written_in_every_form(ending: str, capsys: pytest.CaptureFixture[str]) -> None:
    out = Path(f"fence.{ending}")
    assert cli.run(["report", FENCE, "--out", str(out)]) == 0
    assert str(out) in capsys.readouterr().out
    text = out.read_text("utf-8")
    assert "ISO 10684" in text  # the standard of hot-dip galvanized fasteners
    assert "fence by the road" in text


def test_the_json_form_names_its_schema_and_its_knowledge(base: Base) -> None:
    assert cli.run(["report", FENCE, "--out", "fence.json"]) == 0
    told = json.loads(Path("fence.json").read_text("utf-8"))
    assert told["schema"] == "advisor/report/1"
    assert told["knowledge"]["digest"] == base.digest
    assert told["referral"] is False
    numbers = {e["number"] for b in told["sections"][-1]["blocks"] for e in b.get("entries", ())}
    used = set(_marks(told["sections"]))
    assert used
    assert used <= numbers


def _marks(node: object) -> list[int]:
    """Every number of a source that stands behind something."""
    if isinstance(node, dict):
        own = node.get("sources", [])
        return [*own, *(n for v in node.values() if isinstance(v, (dict, list)) for n in _marks(v))]
    if isinstance(node, list):
        return [n for v in node if isinstance(v, (dict, list)) for n in _marks(v)]
    return []


def test_where_an_engineer_must_decide_the_report_is_written_and_the_code_is_3() -> None:
    words = "M12 12.9 socket screws for the lifting eye of a crane"
    assert cli.run(["report", words, "--out", "eye.txt"]) == 3
    text = Path("eye.txt").read_text("utf-8")
    assert "A QUALIFIED ENGINEER DECIDES" in text
    assert "Not to be ordered from" in text


def test_a_file_that_is_there_is_left_as_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    out = Path("kept.txt")
    out.write_text("mine", "utf-8")
    assert cli.run(["report", FENCE, "--out", str(out)]) == 2
    assert "--force" in complaint(capsys)
    assert out.read_text("utf-8") == "mine"
    assert cli.run(["report", FENCE, "--out", str(out), "--force"]) == 0
    assert "ISO 10684" in out.read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([FENCE, "--out", "fence.pdf"], ".html"),
        ([FENCE, "--out", "no/such/folder/fence.html"], "cannot be written"),
        ([FENCE], "--out"),
        (["2020-01-01-0000", "--out", "x.html"], "no kept conversation"),
        (["hello there", "--out", "x.html"], "no advice to write down"),
        ([FENCE, "--out", "x.html", "--set", "size=banana"], "not a thread size"),
    ],
)
def test_bad_input_is_one_sentence_and_writes_nothing(
    words: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(Path().iterdir())
    assert cli.run(["report", *words]) == 2
    assert says in complaint(capsys)
    assert sorted(Path().iterdir()) == before


def kept(base: Base, *lines: str) -> str:
    """A conversation kept on disk; its name."""
    session = Session(base, interactive=False, keeps=True)
    for line in lines:
        session.turn(line)
    name = session.keeper.name
    session.keeper.close()
    return name


def test_a_kept_conversation_is_reported_with_what_was_said_in_it(base: Base) -> None:
    name = kept(base, "M12 8.8 bolts for a field gate", "why", "no")
    assert cli.run(["report", name, "--out", "gate.md"]) == 0
    text = Path("gate.md").read_text("utf-8")
    assert "> M12 8.8 bolts for a field gate" in text


def test_a_conversation_that_came_to_nothing_is_refused(base: Base, capsys: pytest.CaptureFixture[str]) -> None:
    name = kept(base, "hello")
    assert cli.run(["report", name, "--out", "gate.md"]) == 2
    assert "no enquiry to write down" in complaint(capsys)
    assert not Path("gate.md").exists()


def test_a_conversation_about_a_break_is_reported_as_a_diagnosis(base: Base) -> None:
    name = kept(base, "our zinc plated 10.9 bolts broke two days after tightening")
    assert cli.run(["report", name, "--out", "break.json"]) == 3
    told = json.loads(Path("break.json").read_text("utf-8"))
    assert told["kind"] == "diagnosis"
    assert told["referral"] is True


@pytest.mark.parametrize(("line", "ending"), [("save", "html"), ("save it as text please", "txt")])
def test_save_writes_the_same_report(line: str, ending: str, base: Base) -> None:
    session = Session(base, interactive=False, keeps=False)
    session.turn("M12 8.8 bolts for a field gate")
    _, _, shown = session.turn(line)
    session.turn(line)
    written = sorted(Path().glob(f"recommendation-*.{ending}"))
    assert len(written) == 2  # a second one within a second is written beside the first
    assert any(w.name in "".join("".join(shown).split()) for w in written)
    text = written[0].read_text("utf-8")
    assert "M12 8.8 bolts for a field gate" in text
    assert base.phrase("report-head-hand-over") in text


def test_what_cannot_be_saved_is_said(base: Base, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session(base, interactive=False, keeps=False)
    session.turn("M12 8.8 bolts for a field gate")
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    _, _, shown = session.turn("save")
    assert "could not be saved" in " ".join(shown)


HOSTILE_LAYER = """
rules:
  - id: br-01
    group: group-cl
    strength: should
    text: "<script>alert(1)</script> branch rule"
    when: {part: {in: [hex-bolt]}}
    then:
      - {note: "<img src=x onerror=alert(2)> & <b>branch</b> note"}
      - {require: "</li></ul><script>alert(3)</script> branch line"}
    because: [relative-cost-guide]
    cases:
      speaks: [{part: hex-bolt, size: M10}]
      silent: [{size: M10}]
"""


def test_texts_of_a_branchs_own_layer_are_escaped(own_folders: Path) -> None:
    """A layer is written by hand somewhere else: what it says is text in a report, whatever it says."""
    layer = own_folders / "layer"
    layer.mkdir()
    (layer / "ours.yaml").write_text(HOSTILE_LAYER, "utf-8")
    words = "50 M10x60 hex bolts 8.8 for a fence, 20 years"
    assert cli.run(["report", words, "--out", "fence.html", "--overlay", str(layer)]) == 0
    page = Path("fence.html").read_text("utf-8")
    assert "&lt;img src=x onerror=alert(2)&gt; &amp; &lt;b&gt;branch" in page
    assert "&lt;script&gt;alert(3)" in page
    assert "<script" not in page
    assert "<img" not in page
    assert cli.run(["report", words, "--out", "fence.md", "--overlay", str(layer)]) == 0
    assert "<script" not in Path("fence.md").read_text("utf-8")
