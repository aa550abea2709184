"""The compiled base: rebuilt when contents change, never torn, never taken from strangers, the same as a fresh build."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from advisor.errors import KnowledgeError, UsageError
from advisor.graph.base import Base
from advisor.graph.store import cache_folder, open_base
from tests.graph.small_knowledge import GOOD, write_knowledge


def _cache_file() -> Path:
    (path,) = Path(cache_folder()).glob("*.base")
    return path


def _content(base: Base) -> dict[str, object]:
    names = ("family", "rule", "caution", "decision", "masks", "slot")
    return {n: base.section(n) for n in names} | {n: dict(base.kind(n)) for n in ("fact", "finish", "source", "places")}


def test_the_kept_base_is_the_same_as_a_fresh_one(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    fresh = open_base(folder)
    warm = open_base(folder)
    assert _cache_file().exists()
    assert warm.digest == fresh.digest
    assert _content(warm) == _content(fresh)


def test_a_change_of_contents_rebuilds(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    assert open_base(folder).kind("finish")["plate-8"]["name"] == "Plate 8 µm"
    write_knowledge(folder, GOOD.replace("Plate 8 µm", "Plate 9 µm"))
    assert open_base(folder).kind("finish")["plate-8"]["name"] == "Plate 9 µm"


def test_a_change_that_keeps_size_and_time_is_seen_by_its_contents(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    path = folder / "all.yaml"
    open_base(folder)
    stat = path.stat()
    path.write_text(GOOD.replace("Plate 8 µm", "Plate 9 µm"), "utf-8")
    os.utime(path, ns=(stat.st_atime_ns, stat.st_mtime_ns))
    assert open_base(folder).kind("finish")["plate-8"]["name"] == "Plate 9 µm"


def test_a_torn_cache_file_is_built_anew(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    whole = _content(open_base(folder))
    path = _cache_file()
    data = path.read_bytes()
    for cut in (0, 10, len(data) // 2, len(data) - 1):
        path.write_bytes(data[:cut])
        os.chmod(path, 0o600)
        assert _content(open_base(folder)) == whole


def test_a_cache_that_others_may_write_is_not_believed(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    open_base(folder)
    path = _cache_file()
    forged = path.read_bytes().replace(b"Zinc plate.", b"Sink plate.")
    path.write_bytes(forged)
    os.chmod(path, 0o666)
    assert open_base(folder).kind("family")["plate"]["text"] == "Zinc plate."


def test_a_cache_of_another_owner_is_not_believed(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    open_base(folder)
    path = _cache_file()
    path.write_bytes(path.read_bytes().replace(b"Zinc plate.", b"Sink plate."))
    os.chown(path, 12345, -1)
    assert open_base(folder).kind("family")["plate"]["text"] == "Zinc plate."


def test_nothing_half_written_is_left_behind(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = write_knowledge(own_folders / "k")

    def full(_: int) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, "fsync", full)
    assert open_base(folder).kind("family")["plate"]["text"] == "Zinc plate."
    assert list(Path(cache_folder()).iterdir()) == []


def test_the_last_good_base_serves_and_says_so_while_the_files_have_a_fault(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    assert open_base(folder).notice == ""
    write_knowledge(folder, GOOD.replace("{warn: rust-soon}", "{warn: no-such}"))
    base = open_base(folder)
    assert base.kind("finish")["plate-8"]["name"] == "Plate 8 µm"
    assert "1 fault" in base.notice
    assert "all.yaml:" in base.notice


def test_a_faulty_knowledge_without_an_earlier_base_is_refused(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k", GOOD.replace("{warn: rust-soon}", "{warn: no-such}"))
    with pytest.raises(KnowledgeError) as caught:
        open_base(folder)
    assert caught.value.exit_code == 1


def test_a_folder_that_is_none_is_bad_usage(own_folders: Path) -> None:
    with pytest.raises(UsageError):
        open_base(own_folders / "nowhere")
