"""The compiled base on disk: opened when it is fresh, made anew when the YAML or the program that compiles changed.

A file begins with a line of text (format, the interpreter it was made for, lengths), then a header (digest of the
knowledge, sizes and times of its files, where each section lies), then the sections. It is written beside and moved
into place, so that a reader never sees half of it. Like a compiled module it is believed only when it belongs to the
user (or, as shipped, to the owner of the program) and nobody else may write it; as shipped it is also checked by
digest, once.
"""

from __future__ import annotations

import marshal
import os
import sys
import time
from _frozen_importlib_external import MAGIC_NUMBER
from collections.abc import Callable, Iterable, Mapping

from advisor.errors import BASE_FOREIGN, BASE_NOT_KEPT, BASE_STALE, AdvisorError, KnowledgeError, UsageError
from advisor.graph import freshness
from advisor.graph.base import Base
from advisor.graph.sections import ReadAt, Sections, pack
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from pathlib import Path
    from typing import Any

    Extension = Callable[[Mapping[str, Any]], Mapping[str, Any]]
    """Makes further sections (the words) out of the compiled sections."""

FORMAT = b"advisor-base 3"
_FIRST_READ = 1 << 16


class BaseFile(NamedTuple):
    """A compiled base as found: its header, and how to read what its places point at."""

    header: Mapping[str, Any]
    read: ReadAt


class Foreign(Exception):
    """The file is there but is not ours alone; what it says is not believed."""


# where things lie --------------------------------------------------------------------------------------------------


def knowledge_folder() -> Path:
    """The shipped knowledge: inside the installed package, or beside it in a checkout."""
    from pathlib import Path

    return Path(shipped_knowledge())


def shipped_knowledge() -> str:
    """As knowledge_folder, as text."""
    for folder in (os.path.join(freshness.PACKAGE, "_knowledge"), os.path.join(freshness.PACKAGE, "..", "knowledge")):
        if os.path.isdir(folder):
            return os.path.normpath(folder)
    raise AdvisorError("the knowledge folder is missing; reinstall the program or name one with --knowledge DIR")


def shipped_base() -> str:
    """Where the compiled form of the shipped knowledge lies when the program was installed from a wheel."""
    return os.path.join(freshness.PACKAGE, "_knowledge.base")


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
    """The compiled file of a knowledge folder and its overlays, for this interpreter."""
    real = "\0".join(os.path.realpath(r) for r in roots)
    name = "".join(c if c.isalnum() else "-" for c in os.path.basename(real))[:24]
    return os.path.join(cache_folder(), f"{name}-{freshness.stamp_of(real, MAGIC_NUMBER)}.base")


# opening -----------------------------------------------------------------------------------------------------------


def open_base(
    folder: str | os.PathLike[str],
    overlays: Iterable[str | os.PathLike[str]] = (),
    extensions: Mapping[str, Extension] | None = None,
    preparing: Callable[[], None] = lambda: None,
) -> Base:
    """The base of a knowledge folder: from a compiled file when it is fresh, else built anew and kept.

    `preparing` is called before a base is built, which takes seconds. A faulty knowledge raises KnowledgeError, unless
    an earlier compiled base of the same folder exists: then that one serves. `notice` of the base says what was out of
    order.
    """
    roots = [os.fspath(r) for r in (folder, *overlays)]
    for root in roots:
        if not os.path.isdir(root):
            raise UsageError(f"'{root}' is not a folder; name the folder that holds the knowledge files")
    return _Opening(roots, extensions or {}, preparing).base()


class _Opening:
    """One attempt to open a base, with what was found out on the way."""

    def __init__(self, roots: list[str], extensions: Mapping[str, Extension], preparing: Callable[[], None]) -> None:
        self._roots = roots
        self._real = [os.path.realpath(r) for r in roots]
        self._extensions = extensions
        self._preparing = preparing
        self._at = (
            time.time_ns()
        )  # before the files are looked at: what changes from now on is too recent to be sure of
        self._listing = freshness.knowledge_listing(roots)
        self._code = freshness.code_stamp()
        self._path = cache_file(roots)
        self._notices: list[str] = []

    def base(self) -> Base:
        kept = self._kept()
        if kept is not None and self._fresh(kept.header):
            return self._opened(kept)
        shipped = self._shipped()
        if shipped is not None:
            return self._opened(shipped)
        digest = freshness.knowledge_digest(self._roots)
        if kept is not None and kept.header["digest"] == digest and kept.header["code"] == self._code:
            header = {**kept.header, "listing": self._listing, "at": self._at}
            _write(self._path, header, kept.read(0, kept.header["length"]))
            return self._opened(kept)
        return self._built(kept, digest)

    def _kept(self) -> BaseFile | None:
        try:
            kept = _read(self._path, _own)
        except Foreign:
            self._notices.append(BASE_FOREIGN.format(path=self._path))
            return None
        # two folders could share a file name by chance: the header holds whole paths and tells them apart
        return kept if kept is not None and kept.header["roots"] == self._real else None

    def _fresh(self, header: Mapping[str, Any]) -> bool:
        return (
            header["listing"] == self._listing
            and header["code"] == self._code
            and not freshness.too_recent(self._listing, header["at"])
        )

    def _shipped(self) -> BaseFile | None:
        """The base that came with the program; checked by digest once, then known by sizes and times."""
        path = shipped_base()
        if len(self._roots) > 1 or not os.path.isfile(path) or self._real[0] != os.path.realpath(shipped_knowledge()):
            return None
        try:
            kept = _read(path, _as_the_program)
        except Foreign:
            self._notices.append(BASE_FOREIGN.format(path=path))
            return None
        if kept is None:  # another interpreter's
            return None
        s = os.stat(path)
        mark = freshness.stamp_of(self._listing, self._code, path, s.st_size, s.st_mtime_ns)
        seen = self._path + ".seen"
        if _text(seen) == mark:
            return kept
        if not self._matches(kept):
            self._notices.append(BASE_STALE.format(path=path))
            return None
        _replace(seen, [mark.encode()])
        return kept

    def _matches(self, kept: BaseFile) -> bool:
        header = kept.header
        return bool(
            header["contents"] == freshness.contents_mark(self._roots[0])
            and header["body"] == freshness.mark_of(kept.read(0, header["length"]))
        )

    def _built(self, kept: BaseFile | None, digest: str) -> Base:
        self._preparing()
        from advisor.graph.compile import compiled_knowledge

        sections, faults = compiled_knowledge(self._roots, self._extensions)
        if faults:
            if kept is None or kept.header["code"] != self._code:
                # a base that another state of the program made may lack what this one reads
                raise KnowledgeError(list(faults))
            self._notices.append(
                f"The knowledge files have {len(faults)} fault(s), the first: {faults[0]}. The last good base is used."
            )
            return self._opened(kept)
        places, body = pack(sections)
        header = {
            "roots": self._real,
            "digest": digest,
            "listing": self._listing,
            "code": self._code,
            "at": self._at,
            "places": places,
            "length": len(body),
        }
        if not _write(self._path, header, body):
            self._notices.append(BASE_NOT_KEPT.format(folder=os.path.dirname(self._path)))
        return self._opened(BaseFile(header, lambda at, length: body[at : at + length]))

    def _opened(self, kept: BaseFile) -> Base:
        return Base(str(kept.header["digest"]), Sections(kept.header["places"], kept.read), " ".join(self._notices))


def ship(folder: str, path: str, extensions: Mapping[str, Extension]) -> None:
    """Write the compiled form of a knowledge folder that goes into a wheel; KnowledgeError when it has a fault."""
    from advisor.graph.compile import compiled_knowledge

    sections, faults = compiled_knowledge([folder], extensions)
    if faults:
        raise KnowledgeError(list(faults))
    places, body = pack(sections)
    header = {
        "digest": freshness.knowledge_digest([folder]),
        "contents": freshness.contents_mark(folder),
        "body": freshness.mark_of(body),
        "places": places,
        "length": len(body),
    }
    if not _write(path, header, body):
        raise AdvisorError(f"{path} cannot be written; check the folder's permissions")


# the file ----------------------------------------------------------------------------------------------------------


def _own(s: os.stat_result) -> bool:
    """Whether a file is the user's, and nobody else may write it."""
    return not hasattr(os, "getuid") or (s.st_uid == os.getuid() and not s.st_mode & 0o022)


def _as_the_program(s: os.stat_result) -> bool:
    """Whether a file has the owner of the program, and nobody may write it who may not write the program."""
    program = os.stat(__file__)
    return s.st_uid == program.st_uid and not s.st_mode & 0o022 & ~program.st_mode


def _first_line(head: int, body: int) -> bytes:
    """The line of text in front: format, interpreter, lengths of header and body."""
    return b"%s %s %d %d\n" % (FORMAT, MAGIC_NUMBER.hex().encode(), head, body)


class _OpenFile:
    """A file that stays open while something reads from it, by offset: threads share no position."""

    def __init__(self, path: str) -> None:
        self._number = os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0))
        self.stat = os.fstat(self._number)
        self.origin = 0

    def __del__(self) -> None:
        if hasattr(self, "_number"):
            os.close(self._number)

    def __call__(self, at: int, length: int) -> bytes:
        if hasattr(os, "pread"):
            return os.pread(self._number, length, self.origin + at)
        import mmap

        with mmap.mmap(self._number, 0, access=mmap.ACCESS_READ) as whole:
            return whole[self.origin + at : self.origin + at + length]


def _read(path: str, trusted: Callable[[os.stat_result], bool]) -> BaseFile | None:
    """A compiled file; None when absent, torn, of another format or interpreter; Foreign when not to be trusted."""
    try:
        file = _OpenFile(path)
        if not trusted(file.stat):
            raise Foreign
        start = file(0, _FIRST_READ)
        line, _, rest = start.partition(b"\n")
        head, body = (int(n) for n in line.split(b" ")[-2:])
        origin = len(line) + 1 + head
        if line + b"\n" != _first_line(head, body) or file.stat.st_size != origin + body:
            return None
        header = marshal.loads(rest[:head] if len(rest) >= head else file(len(line) + 1, head))
    except (OSError, ValueError, EOFError, TypeError):
        return None
    file.origin = origin
    return BaseFile(header, file)


def _write(path: str, header: Mapping[str, Any], body: bytes) -> bool:
    """Keep a compiled base; a folder that cannot be written is no fault, the base is then built each time."""
    head = marshal.dumps(dict(header))
    return _replace(path, [_first_line(len(head), len(body)), head, body])


def _replace(path: str, parts: list[bytes]) -> bool:
    """Write a file beside and move it into place; False when that cannot be."""
    folder = os.path.dirname(path)
    beside = os.path.join(folder, f".{os.path.basename(path)}-{os.getpid()}-{time.time_ns():x}")
    try:
        os.makedirs(folder, exist_ok=True, mode=0o700)
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0), 0o600)
        try:
            with os.fdopen(handle, "wb") as f:
                for part in parts:
                    f.write(part)
                f.flush()
                os.fsync(f.fileno())
            os.replace(beside, path)
        except OSError:
            os.unlink(beside)
            raise
    except OSError:
        return False
    return True


def _text(path: str) -> str:
    try:
        with open(path, "rb", buffering=0) as f:
            return f.read(200).decode("ascii", "replace") if _own(os.fstat(f.fileno())) else ""
    except OSError:
        return ""
