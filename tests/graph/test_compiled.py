"""The compiled base: rebuilt when contents change, never torn or taken from strangers, the same as a fresh build."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from importlib.util import MAGIC_NUMBER
from pathlib import Path

import pytest

from advisor.errors import KnowledgeError, UsageError
from advisor.graph import freshness, store
from advisor.graph.base import Base
from advisor.graph.store import cache_folder, open_base, ship
from tests.graph.small_knowledge import GOOD, write_knowledge


def _cache_file() -> Path:
    (path,) = Path(cache_folder()).glob("*.base")
    return path


def _content(base: Base) -> dict[str, object]:
    sections = {name: base.section(name) for name in base.names_of_sections()}
    return {name: dict(s) if isinstance(s, Mapping) else s for name, s in sections.items()}


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


def test_a_base_that_another_state_of_the_program_made_does_not_serve_for_faulty_files(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It may lack what this state reads: then the fault is told instead of a stumble."""
    folder = write_knowledge(own_folders / "k")
    open_base(folder)
    write_knowledge(folder, GOOD.replace("{warn: rust-soon}", "{warn: no-such}"))
    monkeypatch.setattr(freshness, "code_stamp", lambda: "another state")
    with pytest.raises(KnowledgeError):
        open_base(folder)


def test_a_faulty_knowledge_without_an_earlier_base_is_refused(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k", GOOD.replace("{warn: rust-soon}", "{warn: no-such}"))
    with pytest.raises(KnowledgeError) as caught:
        open_base(folder)
    assert caught.value.exit_code == 1


def test_a_folder_that_is_none_is_bad_usage(own_folders: Path) -> None:
    with pytest.raises(UsageError):
        open_base(own_folders / "nowhere")


def test_a_cache_in_a_folder_that_cannot_be_written_is_told(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (own_folders / "cache").write_text("a file where the folder should be", "utf-8")
    folder = write_knowledge(own_folders / "k")
    base = open_base(folder)
    assert base.families["plate"].text == "Zinc plate."
    assert "cannot be written" in base.notice
    assert "ADVISOR_CACHE" in base.notice


def test_a_cache_of_somebody_else_is_told(own_folders: Path) -> None:
    folder = write_knowledge(own_folders / "k")
    open_base(folder)
    os.chmod(_cache_file(), 0o666)
    base = open_base(folder)
    assert "others may write it" in base.notice
    assert open_base(folder).notice == ""


@pytest.mark.parametrize(
    ("old", "new"), [(b"advisor-base 3", b"advisor-base 2"), (MAGIC_NUMBER.hex().encode(), b"00000000")]
)
def test_another_format_and_another_interpreter_are_built_anew(own_folders: Path, old: bytes, new: bytes) -> None:
    folder = write_knowledge(own_folders / "k")
    whole = _content(open_base(folder))
    path = _cache_file()
    path.write_bytes(path.read_bytes().replace(old, new, 1))
    os.chmod(path, 0o600)
    built: list[str] = []
    assert _content(open_base(folder, preparing=lambda: built.append("anew"))) == whole
    assert built == ["anew"]


def test_the_sections_are_plain_enough_for_json(base: Base) -> None:
    for name, value in _content(base).items():
        json.dumps(value, allow_nan=False, default=bytes.hex)
        assert name


# the base that comes with the program ---------------------------------------------------------------------------------


@pytest.fixture
def shipped(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A knowledge folder as installed, its compiled form beside it."""
    folder = write_knowledge(own_folders / "_knowledge")
    compiled = own_folders / "_knowledge.base"
    monkeypatch.setattr(store, "shipped_knowledge", lambda: str(folder))
    monkeypatch.setattr(store, "shipped_base", lambda: str(compiled))
    ship(str(folder), str(compiled), {})
    return folder


def _never() -> None:
    raise AssertionError("it was compiled")


def test_a_shipped_base_is_used_at_once(shipped: Path) -> None:
    for _ in range(2):
        base = open_base(shipped, preparing=_never)
        assert (base.notice, base.families["plate"].text) == ("", "Zinc plate.")


def test_a_shipped_base_is_checked_by_contents_once(shipped: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    open_base(shipped, preparing=_never)
    monkeypatch.setattr(freshness, "contents_mark", lambda _: _never())
    open_base(shipped, preparing=_never)


def test_a_shipped_base_serves_where_nothing_can_be_kept(shipped: Path, own_folders: Path) -> None:
    (own_folders / "cache").write_text("a file where the folder should be", "utf-8")
    assert open_base(shipped, preparing=_never).notice == ""


def test_a_shipped_base_that_does_not_fit_the_files_is_told_and_made_anew(shipped: Path) -> None:
    write_knowledge(shipped, GOOD.replace("Plate 8 µm", "Plate 9 µm"))
    base = open_base(shipped)
    assert base.finishes["plate-8"].name == "Plate 9 µm"
    assert "does not fit" in base.notice
    assert open_base(shipped, preparing=_never).finishes["plate-8"].name == "Plate 9 µm"


def test_a_damaged_shipped_base_is_told_and_made_anew(shipped: Path) -> None:
    path = Path(store.shipped_base())
    path.write_bytes(path.read_bytes().replace(b"Zinc plate.", b"Sink plate."))
    os.chmod(path, 0o600)
    base = open_base(shipped)
    assert base.families["plate"].text == "Zinc plate."
    assert "does not fit" in base.notice


def test_a_shipped_base_that_others_may_write_is_not_believed(shipped: Path) -> None:
    os.chmod(store.shipped_base(), 0o666)
    assert "others may write it" in open_base(shipped).notice


def test_every_module_that_takes_part_in_compiling_counts_for_freshness(own_folders: Path) -> None:
    """Compiled in a process of its own; what it loaded of the program must be stamped."""
    code = (
        "import sys; from advisor.shells.opening import open_knowledge; open_knowledge();"
        "print(*(m.__file__ for n, m in sys.modules.items() if n.startswith('advisor.')), sep='\\n')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    stamped = {path for path, _, _ in freshness.code_files()}
    loaded = {p for p in done.stdout.split() if not p.endswith("__init__.py")}
    assert any("language" in p for p in loaded)
    assert loaded <= stamped
