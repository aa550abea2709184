"""Kept conversations: nothing is lost but the line being typed, nothing damaged is believed."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path

import pytest

from advisor.dialogue.journal import JournalError, decode, encode
from advisor.errors import AdvisorError, UsageError
from advisor.graph.base import Base
from advisor.shells.chat import kept as journal_store
from advisor.shells.chat import paging, session
from advisor.shells.chat.session import Session
from advisor.shells.cli import run

TALK = ("M12 10.9 bolts for a trailer, gritted roads", "no", "no sorry, 12.9")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ADVISOR_HISTORY", str(tmp_path))
    return tmp_path


def journal(turns: int = 5) -> bytes:
    content, before = b"", ""
    for n in range(turns):
        line, before = encode(n, "turn", {"said": f"utterance {n}"}, before)
        content += line
    return content


def talk(base: Base, *lines: str) -> Session:
    held = Session(base, interactive=True)
    for line in lines:
        held.take(line)
    return held


def test_a_journal_cut_anywhere_loses_only_its_last_line() -> None:
    whole = journal()
    ends = [i + 1 for i, byte in enumerate(whole) if byte == 10]
    for cut in range(len(whole) + 1):
        found = decode(whole[:cut])
        kept = sum(end <= cut for end in ends)
        assert len(found.entries) == kept, cut
        assert found.torn is (cut not in (0, *ends)), cut
        assert found.good_bytes == (ends[kept - 1] if kept else 0)


def test_a_damaged_middle_is_refused_with_its_line() -> None:
    lines = journal().splitlines(keepends=True)
    lines[2] = lines[2].replace(b"utterance 2", b"utterance 9")
    with pytest.raises(JournalError, match="line 3"):
        decode(b"".join(lines))


def test_a_changed_last_line_is_refused_not_cut_off() -> None:
    lines = journal().splitlines(keepends=True)
    lines[-1] = lines[-1].replace(b"utterance", b"utterings")
    with pytest.raises(JournalError, match=f"line {len(lines)}"):
        decode(b"".join(lines))


def test_a_flipped_bit_is_never_read_as_whole() -> None:
    whole = journal()
    for at in range(len(whole) - 1):
        with pytest.raises(JournalError):
            decode(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])


def test_a_link_that_leads_nowhere_does_not_hide_the_others(base: Base, folder: Path) -> None:
    talk(base, TALK[0]).end()
    (folder / "gone.journal").symlink_to(folder / "nowhere")
    assert len(journal_store.names()) == 1


def test_a_damaged_conversation_is_named_each_time(base: Base, folder: Path) -> None:
    talk(base, *TALK).end()
    path = next(folder.glob("*.journal"))
    path.write_bytes(path.read_bytes().replace(b"M12", b"M16", 1))
    for _ in range(2):
        with pytest.raises(JournalError, match="damaged"):
            journal_store.resume(path.stem)


@pytest.mark.parametrize("fault", ["swapped", "removed", "doubled"])
def test_tampering_is_recognised(fault: str) -> None:
    lines = journal().splitlines(keepends=True)
    if fault == "swapped":
        lines[1], lines[2] = lines[2], lines[1]
    elif fault == "removed":
        del lines[2]
    else:
        lines.insert(2, lines[1])
    with pytest.raises(JournalError):
        decode(b"".join(lines))


def test_every_turn_is_on_disk_before_its_reply_is_shown(
    base: Base, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order: list[str] = []
    real = os.fsync

    def watched(handle: int) -> None:
        order.append("disk")
        real(handle)

    monkeypatch.setattr(os, "fsync", watched)
    monkeypatch.setattr(session, "show", lambda lines, paint: order.append("shown"))
    monkeypatch.setattr(paging, "show", lambda lines, paint: order.append("shown"))
    talk(base, *TALK)
    assert order.index("disk") < order.index("shown")
    for n, what in enumerate(order):
        if what == "shown":
            assert order[n - 1] == "disk", order


def test_resuming_is_as_if_nothing_had_happened(base: Base, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = talk(base, *TALK[:2])
    first.end()
    name = journal_store.names()[0]
    again = Session(base, interactive=True)
    again.resume(name)
    again.take(TALK[2])
    capsys.readouterr()
    straight = talk(base, *TALK)
    assert again.state.enquiry == straight.state.enquiry
    assert again.state.asked == straight.state.asked
    again.end()
    assert len(journal_store.load(name).entries) == 1 + len(TALK)


def test_a_torn_line_is_left_out_and_said(base: Base, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    talk(base, *TALK).end()
    path = next(folder.glob("*.journal"))
    path.write_bytes(path.read_bytes()[:-7])
    again = Session(base, interactive=True)
    again.resume(path.stem)
    assert base.phrase("say-journal-torn").split(".")[0] in " ".join(capsys.readouterr().out.split())
    assert again.state.enquiry.said["strength"].value == "10.9"
    again.take("M16")
    again.end()
    assert not journal_store.load(path.stem).torn


def test_two_windows_do_not_share_a_conversation(base: Base, folder: Path) -> None:
    first = talk(base, TALK[0])
    other = Session(base, interactive=True)
    with pytest.raises(UsageError, match="another window"):
        other.resume(journal_store.names()[0])
    second = talk(base, "M8 indoors")
    assert len(set(journal_store.names())) == 2
    first.end()
    second.end()


def test_a_full_disk_is_said_once_and_the_talk_goes_on(
    base: Base, folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(handle: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    held = talk(base, *TALK)
    out = capsys.readouterr().out
    assert out.count("cannot be kept") == 1
    assert held.state.enquiry.said["strength"].value == "12.9"


def test_a_folder_that_cannot_be_made_is_no_fault(
    base: Base, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("ADVISOR_HISTORY", str(tmp_path / "file" / "below"))
    held = talk(base, *TALK)
    assert capsys.readouterr().out.count("cannot be kept") == 1
    assert held.state.enquiry.said["size"].value == "M12"


def test_history_lists_prints_and_exports(base: Base, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    talk(base, *TALK).end()
    name = journal_store.names()[0]
    capsys.readouterr()
    assert run(["history"]) == 0
    assert name in capsys.readouterr().out
    assert run(["history", name]) == 0
    printed = capsys.readouterr().out
    assert all(f"> {line}" in printed for line in TALK)
    assert run(["history", name, "--json"]) == 0
    assert [t["said"] for t in json.loads(capsys.readouterr().out)["turns"]] == list(TALK)
    target = folder / "talk.txt"
    assert run(["history", name, "--out", str(target)]) == 0
    assert TALK[2] in target.read_text(encoding="utf-8")


def test_a_damaged_conversation_is_listed_with_its_fault(
    base: Base, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    talk(base, *TALK).end()
    path = next(folder.glob("*.journal"))
    path.write_bytes(path.read_bytes().replace(b"trailer", b"tractor"))
    capsys.readouterr()
    assert run(["history"]) == 0
    assert "damaged" in capsys.readouterr().out
    with pytest.raises(AdvisorError):
        Session(base, interactive=True).resume(path.stem)


@pytest.mark.parametrize("name", ["../../etc/passwd", "a/b", "", ".", "x" * 200])
def test_names_of_conversations_are_no_paths(folder: Path, name: str) -> None:
    with pytest.raises(UsageError):
        journal_store.load(name)
