"""Files that a command writes where it is told to."""

from __future__ import annotations

from pathlib import Path

from advisor.errors import UsageError


def save(path: Path, text: str) -> None:
    """Write a file; a folder that is missing or closed is said in one sentence."""
    try:
        path.write_text(text, "utf-8")
    except OSError as e:
        raise UsageError(f"'{path}' cannot be written ({e.strerror}); name another file") from None
