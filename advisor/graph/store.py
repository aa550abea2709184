"""The compiled base on disk: one file of sections, rebuilt by itself when the YAML or the program that compiles changes.

The file begins with a header line (format, digest of the contents, sizes and times of the sources, where each section
lies), then the sections. It is JSON, so that reading it can run nothing; it is written beside and moved into place, so
that a reader never sees half of it.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any
from zlib import crc32

from advisor.errors import AdvisorError, KnowledgeError, UsageError
from advisor.graph.base import STORED, Base

if TYPE_CHECKING:
    from pathlib import Path

# pathlib and hashlib cost ten milliseconds to import; a warm start does without them
FORMAT = 2
Extension = Callable[[Mapping[str, Any]], Mapping[str, Any]]
"""Makes further sections (the words) out of the compiled sections."""


def knowledge_folder() -> Path:
    """The shipped knowledge: inside the installed package, or beside it in a checkout."""
    from pathlib import Path

    return Path(shipped_knowledge())


def shipped_knowledge() -> str:
    """As knowledge_folder, as text."""
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    inside = os.path.join(package, "_knowledge")
    if os.path.isdir(inside):
        return inside
    beside = os.path.join(os.path.dirname(package), "knowledge")
    if os.path.isdir(beside):
        return beside
    raise AdvisorError("the knowledge folder is missing; reinstall the program or name one with --knowledge DIR")


def cache_folder() -> str:
    """Where compiled bases are kept: ADVISOR_CACHE, or the user's cache folder."""
    named = os.environ.get("ADVISOR_CACHE")
    if named:
        return named
    home = os.path.expanduser("~")
    if sys.platform == "win32":
        return os.path.join(os.environ.get("LOCALAPPDATA", home), "advisor", "cache")
    return os.path.join(os.environ.get("XDG_CACHE_HOME") or os.path.join(home, ".cache"), "advisor")


def cache_file(roots: Iterable[str | os.PathLike[str]]) -> str:
    """The compiled file of a knowledge folder and its overlays."""
    real = "\0".join(os.path.realpath(r) for r in roots)
    name = "".join(c if c.isalnum() else "-" for c in os.path.basename(real))[:24]
    return os.path.join(cache_folder(), f"{name}-{crc32(real.encode()):08x}{len(real):x}.base")


def open_base(
    folder: str | os.PathLike[str],
    overlays: Iterable[str | os.PathLike[str]] = (),
    extensions: Mapping[str, Extension] | None = None,
) -> Base:
    """The base of a knowledge folder: from the compiled file when it is fresh, else built anew and kept.

    A faulty knowledge raises KnowledgeError, unless an earlier compiled base of the same folder exists: then that one
    serves, and `notice` says so.
    """
    roots = [os.fspath(r) for r in (folder, *overlays)]
    for root in roots:
        if not os.path.isdir(root):
            raise UsageError(f"'{root}' is not a folder; name the folder that holds the knowledge files")
    listing = _listing(roots)
    path = cache_file(roots)
    kept = _read(path)
    # two folders could share a file name by chance: the listing, which holds whole paths, tells them apart
    if kept is not None and kept[0]["roots"] != [os.path.realpath(r) for r in roots]:
        kept = None
    if (
        kept is not None
        and kept[0]["listing"] == listing
        and kept[0]["code"] == _code_stamp()
        and not _too_recent(kept[0])
    ):
        return _base(kept)
    digest = _digest(roots)
    if kept is not None and kept[0]["digest"] == digest and kept[0]["code"] == _code_stamp():
        _write(path, {**kept[0], "listing": listing, "at": time.time_ns()}, kept[1])
        return _base(kept)
    from pathlib import Path

    from advisor.graph.build import build
    from advisor.graph.compile import compile_sections

    built = build(Path(roots[0]), [Path(r) for r in roots[1:]])
    if built.faults:
        if kept is not None:
            return _base(
                kept,
                f"The knowledge files have {len(built.faults)} fault(s), the first: {built.faults[0]}. The last good base is used.",
            )
        raise KnowledgeError(list(built.faults))
    sections = compile_sections(built)
    for extend in (extensions or {}).values():
        sections.update(extend(sections))
    raw: dict[str, memoryview] = {}
    for name, value in sections.items():
        if name in STORED:
            index, blob = _indexed(value)
            raw[name + "#"], raw[name] = memoryview(_json(index)), memoryview(blob)
        else:
            raw[name] = memoryview(_json(value))
    header = {
        "format": FORMAT,
        "roots": [os.path.realpath(r) for r in roots],
        "digest": digest,
        "listing": listing,
        "code": _code_stamp(),
        "at": time.time_ns(),
    }
    _write(path, header, raw)
    return Base(digest, raw)


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode()


def _indexed(entries: Mapping[str, Any]) -> tuple[dict[str, list[int]], bytes]:
    """Where each entry lies, and the entries one after another."""
    index: dict[str, list[int]] = {}
    parts: list[bytes] = []
    at = 0
    for key, value in entries.items():
        part = _json(value)
        index[key] = [at, len(part)]
        parts.append(part)
        at += len(part)
    return index, b"".join(parts)


def _base(kept: tuple[dict[str, Any], dict[str, memoryview]], notice: str = "") -> Base:
    return Base(str(kept[0]["digest"]), kept[1], notice)


def _listing(roots: list[str]) -> list[list[Any]]:
    """[path, size, modified ns] of every knowledge file, sorted."""
    found: list[list[Any]] = []
    for n, root in enumerate(roots):
        stack = [os.fspath(root)]
        while stack:
            with os.scandir(stack.pop()) as entries:
                for e in entries:
                    if e.is_dir(follow_symlinks=False):
                        stack.append(e.path)
                    elif e.name.endswith(".yaml") and not e.is_symlink():
                        s = e.stat()
                        found.append([f"{n}:{e.path}", s.st_size, s.st_mtime_ns])
    found.sort()
    return found


def _code_stamp() -> int:
    """Changes when the program that compiles changes."""
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    newest = 0
    for part in ("graph", "language", "reasoning", "lookup", "codes", "trade", "shells"):
        with os.scandir(os.path.join(package, part)) as entries:
            newest = max([newest, *(e.stat().st_mtime_ns for e in entries if e.name.endswith(".py"))])
    return newest


def _too_recent(header: Mapping[str, Any]) -> bool:
    """A file changed within the clock's grain of the compilation may have changed again unseen: look at the contents."""
    newest = max((x[2] for x in header["listing"]), default=0)
    return bool(newest >= header["at"] - 20_000_000)


def _digest(roots: list[str]) -> str:
    """A hash over names and contents of all knowledge files."""
    import hashlib
    from pathlib import Path

    h = hashlib.blake2b(digest_size=20)
    for root in map(Path, roots):
        for path in sorted(p for p in root.rglob("*.yaml") if p.is_file() and not p.is_symlink()):
            data = path.read_bytes()
            h.update(f"{path.relative_to(root).as_posix()}\0{len(data)}\0".encode())
            h.update(data)
    return h.hexdigest()


def _read(path: str) -> tuple[dict[str, Any], dict[str, memoryview]] | None:
    """Header and raw sections of a compiled file; None when absent, torn, of another format, or not ours alone."""
    try:
        with open(path, "rb") as f:
            if hasattr(os, "getuid"):
                s = os.fstat(f.fileno())
                if s.st_uid != os.getuid() or s.st_mode & 0o022:
                    return None
            data = f.read()
        end = data.index(b"\n")
        header = json.loads(data[:end])
        if header["format"] != FORMAT or len(data) != end + 1 + header["length"]:
            return None
        body = memoryview(data)[end + 1 :]
        return header, {name: body[a : a + n] for name, (a, n) in header["sections"].items()}
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _write(path: str, header: Mapping[str, Any], raw: Mapping[str, memoryview]) -> None:
    """Keep a compiled base; a folder that cannot be written is no fault, the base is then built each time."""
    import tempfile

    where: dict[str, list[int]] = {}
    offset = 0
    for name, blob in raw.items():
        where[name] = [offset, len(blob)]
        offset += len(blob)
    first = json.dumps({**header, "sections": where, "length": offset}).encode() + b"\n"
    try:
        os.makedirs(os.path.dirname(path), exist_ok=True, mode=0o700)
        handle, temporary = tempfile.mkstemp(dir=os.path.dirname(path), prefix=".base-")
        try:
            with os.fdopen(handle, "wb") as f:
                f.write(first)
                for blob in raw.values():
                    f.write(blob)
                f.flush()
                os.fsync(f.fileno())
            os.replace(temporary, path)
        except OSError:
            os.unlink(temporary)
            raise
    except OSError:
        return
