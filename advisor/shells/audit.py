"""advisor audit: checks the knowledge, writes its schema, compares it with another folder."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from advisor.audit import examination
from advisor.errors import UsageError
from advisor.graph.store import knowledge_folder, open_base
from advisor.shells.files import save
from advisor.shells.given import Call
from advisor.shells.opening import EXTENSIONS
from advisor.shells.screen import write
from advisor.views.layout import clean


class Progress:
    """One line on standard error that says what is being done; rewritten on a terminal, one line a step elsewhere."""

    def __init__(self) -> None:
        self._live = sys.stderr.isatty()
        self._step = ""

    def step(self, name: str) -> None:
        """Begin a step."""
        self._step = name
        self._show(name)

    def more(self, text: str) -> None:
        """Say how far the step is; only on a terminal."""
        if self._live:
            self._show(f"{self._step}: {text}")

    def _show(self, text: str) -> None:
        if self._live:
            print(f"\r\033[K{text}", end="", file=sys.stderr, flush=True)
        else:
            print(text, file=sys.stderr, flush=True)

    def done(self) -> None:
        """Clear the line."""
        if self._live:
            print("\r\033[K", end="", file=sys.stderr, flush=True)


def run(call: Call) -> int:
    """advisor audit [--json] [--quick] [--notes] [--schema FILE] [--rules FILE] [--compare FOLDER]"""
    settings = call.settings
    folder, layers = Path(settings.knowledge or knowledge_folder()), [Path(o) for o in settings.overlays]
    if call.one("schema"):
        return _write_schema(Path(call.one("schema")))
    if call.one("rules"):
        return _write_rules(folder, layers, Path(call.one("rules")))
    if call.one("compare"):
        return _compare(folder, layers, Path(call.one("compare")), call.has("json"))
    return _examine(folder, layers, call.has("json"), call.has("quick"), call.has("notes"))


def _examine(folder: Path, layers: list[Path], as_json: bool, quick: bool, all_notes: bool) -> int:
    if not folder.is_dir():
        raise UsageError(f"'{folder}' is not a folder; name the folder that holds the knowledge files")
    progress = Progress()
    try:
        found = examination.examine(folder, layers, lambda: open_base(folder, layers, EXTENSIONS), progress, quick)
    finally:
        progress.done()
    if as_json:
        write(json.dumps(examination.report_json(found), ensure_ascii=False))
    else:
        for line in examination.report_text(found, folder, all_notes):
            write(clean(line))
    return 1 if found.faults else 0


def _write_schema(path: Path) -> int:
    from advisor.graph.json_schema import schema_text

    save(path, schema_text())
    write(f"written: {path}")
    return 0


def _write_rules(folder: Path, layers: list[Path], path: Path) -> int:
    from advisor.audit.catalogue import catalogue

    save(path, catalogue(open_base(folder, layers, EXTENSIONS)))
    write(f"written: {path}")
    return 0


def _compare(folder: Path, overlays: list[Path], other: Path, as_json: bool) -> int:
    """Print how the advice of this folder differs from that of another."""
    from advisor.audit import comparing
    from advisor.reasoning.engine import Engine

    now = Engine(open_base(folder, overlays, EXTENSIONS))
    was = Engine(open_base(other, (), EXTENSIONS))
    found, total = comparing.differences(was, now)
    if as_json:
        write(json.dumps(comparing.comparison_json(found, total), ensure_ascii=False))
    else:
        for line in comparing.comparison_text(found, total, str(other)):
            write(clean(line))
    return 0
