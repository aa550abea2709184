"""Whether a compiled base still fits the knowledge files and the program: by sizes and times, or by contents."""

from __future__ import annotations

import os
from _imp import source_hash
from collections.abc import Iterable, Iterator

Listing = list[tuple[str, int, int]]
"""Path, size and time of change (ns) of files, sorted."""

COMPILING = (
    "trade",
    "graph",
    "codes",
    "language",
    "calculations",
    "lookup",
    "reasoning",
    "shells/opening.py",
    "errors.py",
    "records.py",
    "expressions.py",
)
"""The rooms and modules whose code shapes a compiled base."""

PACKAGE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
_GRAIN_NS = 20_000_000
_SALT = 3


def knowledge_listing(roots: Iterable[str]) -> Listing:
    """All knowledge files of the folders; links are not followed."""
    found = [
        (f"{n}:{path}", size, changed)
        for n, root in enumerate(roots)
        for path, size, changed in _files(os.fspath(root), ".yaml")
    ]
    found.sort()
    return found


def code_files() -> Listing:
    """All modules that shape a compiled base."""
    found: Listing = []
    for part in COMPILING:
        path = os.path.join(PACKAGE, part)
        if part.endswith(".py"):
            s = os.stat(path)
            found.append((path, s.st_size, s.st_mtime_ns))
        else:
            found += _files(path, ".py")
    found.sort()
    return found


def _files(root: str, ending: str) -> Iterator[tuple[str, int, int]]:
    stack = [root]
    while stack:
        with os.scandir(stack.pop()) as entries:
            for e in entries:
                if e.name.endswith(ending):
                    if not e.is_symlink():
                        s = e.stat()
                        yield e.path, s.st_size, s.st_mtime_ns
                elif e.is_dir(follow_symlinks=False):
                    stack.append(e.path)


def code_stamp() -> str:
    """Changes when a module that compiles is edited, replaced, added or taken away."""
    return stamp_of(code_files())


def stamp_of(*parts: object) -> str:
    """A short mark of plain values, the same in every process."""
    return source_hash(_SALT, repr(parts).encode()).hex()


def too_recent(listing: Listing, compiled_ns: int) -> bool:
    """Whether a file changed within the clock's grain of the compilation: it may have changed again unseen."""
    return max((changed for _, _, changed in listing), default=0) >= compiled_ns - _GRAIN_NS


def knowledge_digest(roots: Iterable[str]) -> str:
    """A hash over names and contents of all knowledge files, wherever the folders lie."""
    from _blake2 import blake2b  # hashlib would bring the whole of OpenSSL along

    h = blake2b(digest_size=20)
    for part in _contents((root, _knowledge_paths(root)) for root in roots):
        h.update(part)
    return h.hexdigest()


def contents_mark(root: str) -> str:
    """A mark of the contents of a knowledge folder and of the modules that compile.

    Made with the interpreter's hash for source files: it finds what does not belong together ten times as fast as a
    cryptographic one; whoever could forge it may write the program as well.
    """
    parts = _contents([(root, _knowledge_paths(root)), (PACKAGE, [path for path, _, _ in code_files()])])
    return source_hash(_SALT, b"".join(source_hash(_SALT, part) for part in parts)).hex()


def mark_of(data: bytes) -> str:
    """A mark of bytes, in the same way."""
    return source_hash(_SALT, data).hex()


def _knowledge_paths(root: str) -> list[str]:
    return [path for path, _, _ in _files(os.fspath(root), ".yaml")]


def _contents(folders: Iterable[tuple[str, list[str]]]) -> Iterator[bytes]:
    """Relative name, length and contents of every file, in an order that does not hang on where the folders lie."""
    for root, paths in folders:
        for relative, path in sorted((os.path.relpath(p, root).replace(os.sep, "/"), p) for p in paths):
            with open(path, "rb", buffering=0) as f:
                data = f.read()
            yield f"{relative}\0{len(data)}\0".encode()
            yield data
