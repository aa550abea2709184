"""The compiled base: one JSON file of sections read on demand, rebuilt by itself when the YAML changes.

The file begins with a header line (format, digest of the contents, sizes and times of the sources, where each section
lies), then the sections. It is JSON, so that reading it can run nothing; it is written beside and moved into place, so
that a reader never sees half of it.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple
from zlib import crc32

from advisor import __version__
from advisor.errors import AdvisorError, KnowledgeError, UsageError
from advisor.graph import making, nodes, nodes_of_use
from advisor.graph.making import Nodes
from advisor.graph.nodes import Figure
from advisor.trade.tables import Table

if TYPE_CHECKING:
    from pathlib import Path

# pathlib and hashlib cost ten milliseconds to import; a warm start does without them
FORMAT = 2
Extension = Callable[[Mapping[str, Any]], Mapping[str, Any]]
"""Makes further sections (the words) out of the compiled sections."""


class Citation(NamedTuple):
    """What stands behind a figure: the statement, the document, the place in it, and how sure it is."""

    text: str
    source: str
    title: str
    edition: str
    where: str
    basis: str
    seen: str


class Store(Mapping[str, Any]):
    """A section of many entries of which few are wanted: each is parsed when it is asked for."""

    def __init__(self, index: Mapping[str, list[int]], blob: memoryview) -> None:
        self._index = index
        self._blob = blob
        self._parsed: dict[str, Any] = {}

    def __getitem__(self, key: str) -> Any:
        if key not in self._parsed:
            start, length = self._index[key]
            self._parsed[key] = json.loads(bytes(self._blob[start : start + length]))
        return self._parsed[key]

    def __contains__(self, key: object) -> bool:
        return key in self._index

    def __iter__(self) -> Iterator[str]:
        return iter(self._index)

    def __len__(self) -> int:
        return len(self._index)


STORED = frozenset(
    (
        "fact",
        "table",
        "finish",
        "neighbours",
        "places",
        "postings",
        "says",
        "reference",
        "strength",
        "source",
        "term",
        "case",
        "code",
    )
)
"""Sections kept entry by entry."""


class Base:
    """A read-only view of the knowledge. Sections are parsed when first asked for.

    `memo` keeps what other layers prepare once per base; it holds nothing of any enquiry.
    """

    def __init__(self, digest: str, sections: Mapping[str, memoryview], notice: str = "") -> None:
        self.digest = digest
        self.version = __version__
        self.notice = notice
        self._raw = sections
        self.memo: dict[str, Any] = {}
        self._parsed: dict[str, Any] = {}
        self._typed: dict[str, Nodes[Any]] = {}

    def section(self, name: str) -> Any:
        """A whole section; KeyError when there is none of the name."""
        if name not in self._parsed:
            if name in STORED:
                self._parsed[name] = Store(json.loads(bytes(self._raw[name + "#"])), self._raw[name])
            else:
                self._parsed[name] = json.loads(bytes(self._raw[name]))
        return self._parsed[name]

    def kind(self, kind: str) -> Mapping[str, Mapping[str, Any]]:
        """All nodes of a kind by id."""
        result: Mapping[str, Mapping[str, Any]] = self.section(kind)
        return result

    def role(self, name: str) -> tuple[str, ...]:
        """The ids of the nodes that play a part in the program's own checks; KeyError when there is no such role."""
        return self.roles[name].of

    def role_words(self, name: str) -> tuple[str, ...]:
        """The words that play a part in the program's own checks; KeyError when there is no such role."""
        return self.roles[name].words

    # the nodes of each kind, by id, in reading order

    def _nodes(self, kind: str, make: Callable[[Mapping[str, Any]], Any]) -> Nodes[Any]:
        if kind not in self._typed:
            self._typed[kind] = Nodes(self.section(kind), make)
        return self._typed[kind]

    @property
    def sources(self) -> Nodes[nodes.Source]:
        return self._nodes("source", making.plain(nodes.Source))

    @property
    def facts(self) -> Nodes[nodes.Fact]:
        return self._nodes("fact", making.plain(nodes.Fact))

    @property
    def tables(self) -> Nodes[nodes.Published]:
        return self._nodes("table", making.table)

    @property
    def families(self) -> Nodes[nodes.Family]:
        return self._nodes("family", making.plain(nodes.Family))

    @property
    def finishes(self) -> Nodes[nodes.Finish]:
        return self._nodes("finish", making.finish)

    @property
    def sets(self) -> Nodes[nodes.Group]:
        return self._nodes("set", making.group)

    @property
    def slots(self) -> Nodes[nodes.Slot]:
        return self._nodes("slot", making.slot)

    @property
    def strengths(self) -> Nodes[nodes.Strength]:
        return self._nodes("strength", making.strength)

    @property
    def exposures(self) -> Nodes[nodes.Exposure]:
        return self._nodes("exposure", making.plain(nodes.Exposure))

    @property
    def topics(self) -> Nodes[nodes.Topic]:
        return self._nodes("topic", making.plain(nodes.Topic))

    @property
    def cautions(self) -> Nodes[nodes.Caution]:
        return self._nodes("caution", making.plain(nodes.Caution))

    @property
    def roles(self) -> Nodes[nodes.Role]:
        return self._nodes("role", making.plain(nodes.Role))

    @property
    def rules(self) -> Nodes[nodes.Rule]:
        return self._nodes("rule", making.rule)

    @property
    def codes(self) -> Nodes[nodes.Code]:
        return self._nodes("code", making.code)

    @property
    def decisions(self) -> Nodes[nodes.Decision]:
        return self._nodes("decision", making.decision)

    @property
    def terms(self) -> Nodes[nodes.Term]:
        return self._nodes("term", making.term)

    @property
    def applications(self) -> Nodes[nodes_of_use.Application]:
        return self._nodes("application", making.application)

    @property
    def documents(self) -> Nodes[nodes_of_use.Document]:
        return self._nodes("document", making.plain(nodes_of_use.Document))

    @property
    def offers(self) -> Nodes[nodes_of_use.Offer]:
        return self._nodes("offer", making.offer)

    @property
    def chemicals(self) -> Nodes[nodes_of_use.Chemical]:
        return self._nodes("chemical", making.chemical)

    @property
    def complaints(self) -> Nodes[nodes_of_use.Complaint]:
        return self._nodes("complaint", making.plain(nodes_of_use.Complaint))

    @property
    def causes(self) -> Nodes[nodes_of_use.Cause]:
        return self._nodes("cause", making.cause)

    @property
    def references(self) -> Nodes[nodes.Reference]:
        return self._nodes("reference", making.plain(nodes.Reference))

    @property
    def weights(self) -> Nodes[nodes.Weight]:
        return self._nodes("weight", making.plain(nodes.Weight))

    def node(self, node_id: str) -> Mapping[str, Any]:
        """The data of any node; KeyError when there is none of the id."""
        kind = self.kind_of(node_id)
        return self.kind(kind)[node_id.removeprefix(kind + "/")]

    def kind_of(self, node_id: str) -> str:
        """The kind of a node."""
        return str(self.section("places")[node_id][0])

    def table(self, table_id: str) -> Table:
        """A published table."""
        d = self.kind("table")[table_id]
        return Table(table_id, tuple(d["columns"]), tuple(tuple(r) for r in d["rows"]))

    def finish(self, finish_id: str) -> Mapping[str, Any]:
        """A finish with what it inherits from its family."""
        return self.kind("finish")[finish_id]

    def figures(self, finish_id: str, quantity: str) -> tuple[Figure, ...]:
        """All figures of one quantity, the one to use first."""
        return self.finishes[finish_id].figures.get(quantity, ())

    def figure(self, finish_id: str, quantity: str) -> Figure | None:
        """The figure to use, or None."""
        found = self.figures(finish_id, quantity)
        return found[0] if found else None

    def resolve_finish(self, name: str) -> str:
        """The finish id for a finish id, or for a family its usual member."""
        key = name.strip().lower()
        if key in self.kind("finish"):
            return key
        family = self.kind("family").get(key)
        if family is not None:
            if "usual" in family:
                return str(family["usual"])
            for i, f in self.kind("finish").items():
                if f["family"] == key:
                    return i
        near = _nearest(key, [*self.kind("family"), *self.kind("finish")])
        raise UsageError(f"'{name}' is not a finish or finish family; nearest: {near}")

    def citation(self, node_id: str) -> Citation:
        """The citation of a fact, table or strength class."""
        kind = next((k for k in ("fact", "table", "strength") if node_id in self.kind(k)), None)
        d = self.kind(kind)[node_id] if kind else self.node(node_id)
        source = self.kind("source").get(d.get("source", ""), {})
        text = d.get("text") or d.get("name", node_id)
        return Citation(
            str(text),
            str(d.get("source", "")),
            str(source.get("title", "")),
            str(source.get("edition", "")),
            str(d.get("where", "")),
            str(d.get("basis", "")),
            str(d.get("seen", "")),
        )

    def phrase(self, phrase_id: str, **values: object) -> str:
        """A sentence of the program with its blanks filled."""
        text = str(self.kind("phrase")[phrase_id]["text"])
        return text.format(**values) if values else text


def _nearest(key: str, names: list[str]) -> str:
    from rapidfuzz import process

    hits = process.extract(key, names, limit=3)
    return ", ".join(h[0] for h in hits)


# finding and keeping -----------------------------------------------------------------------------------------------


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
