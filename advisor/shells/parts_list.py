"""parts: a whole parts list, a recommendation a line, and the fewest finishes that serve them all."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from advisor.dialogue.headings import Headings
from advisor.dialogue.parts_line import general_values
from advisor.dialogue.whole_list import Plan, WholeList
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.graph.freshness import stamp_of
from advisor.shells.given import Call
from advisor.shells.opening import Opened, open_told, opened
from advisor.shells.parts_progress import Interrupted, Watch
from advisor.shells.parts_source import PartsSource, open_list
from advisor.shells.parts_work import Job, Worker, worked
from advisor.shells.rows import Row
from advisor.shells.screen import encoded, width, write
from advisor.shells.values import set_options, slot_value
from advisor.views.layout import wrap
from advisor.views.parts_plan import plan_json, plan_lines, summary_json, summary_lines
from advisor.views.parts_text import ShownLine, headings, line_text

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, Protocol

    class Sink(Protocol):
        """Takes the lines of a list, one after another."""

        def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
            """The rows that need not be done again."""

        def put(self, row: Row, shown: ShownLine) -> None:
            """Add a line."""

        def close(self, whole: WholeList, plan: Plan | None) -> None:
            """Finish."""

        def leave(self) -> None:
            """Let go of what was opened."""


MOST_PROCESSES = 64
PAGE = ".html"


def run(call: Call) -> int:
    """advisor parts FILE [WORDS…] [--site PLACE] [--set SLOT=VALUE]… [--out FILE] [--plan] [--jobs N] [--json]"""
    base = open_told(call.settings)
    desk = opened(base)
    general = _general(desk, call)
    source = open_list(Path(call.one("file")), Headings(base))
    try:
        job = Job(call.settings, source.columns, general)
        _tell_columns(base, source)
        sink = _sink(call, base, source, job)
        try:
            return _Run(desk, job, source, sink, call).run()
        finally:
            sink.leave()
    finally:
        source.table.close()


def _general(desk: Opened, call: Call) -> dict[str, Any]:
    """What holds for the whole list: words, --site, --set."""
    base = desk.base
    values = set_options(base, call.many("set"))
    site = call.one("site")
    if site:
        slot = "corrosivity" if site in base.slots["corrosivity"].values else "environment"
        values[slot] = slot_value(base, slot, site)
    general, reading = general_values(desk.desk, " ".join(call.many("text")), values)
    unread = [*(u.words for u in reading.unclear), *reading.unused]
    if unread:
        raise UsageError(base.phrase("parts-general-unread", words=", ".join(unread)))
    return general


def _tell_columns(base: Base, source: PartsSource) -> None:
    columns = source.columns
    lines = [base.phrase("parts-twice", heading=h) for h in columns.twice]
    if not columns.headed:
        lines.append(base.phrase("parts-no-headings"))
    for line in lines:
        print(f"advisor: {line}", file=sys.stderr)


def _sink(call: Call, base: Base, source: PartsSource, job: Job) -> Sink:
    """Where the lines go: a file, or the screen as text or data."""
    out = call.one("out")
    if not out:
        return ToScreen(base, call.has("json"))
    path = Path(out)
    if path.suffix.lower() == PAGE:
        return ToPage(path, base)
    if path.exists() and path.samefile(call.one("file")):
        raise UsageError(f"'{out}' is the list itself; name another file for the result")
    mark = stamp_of(base.digest, sorted(job.general.items()))[:8]
    return ToFile(path, base, source, mark)


class ToPage:
    """The list as a page; it is written at the end, and over nothing that is there."""

    def __init__(self, path: Path, base: Base) -> None:
        if path.exists():
            raise UsageError(f"'{path}' is there already; take it away or name another file")
        self._path = path
        self._base = base
        self._lines: list[tuple[str, ...]] = []

    def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
        return iter(())

    def put(self, row: Row, shown: ShownLine) -> None:
        from advisor.views.parts_page import MOST_LINES

        if len(self._lines) < MOST_LINES:
            self._lines.append((str(row.number), *shown.texts))

    def close(self, whole: WholeList, plan: Plan | None) -> None:
        import time

        from advisor import __version__
        from advisor.shells.files import save
        from advisor.views.page import page_of
        from advisor.views.parts_page import list_report
        from advisor.views.report_parts import Imprint

        base = self._base
        made = Imprint(time.strftime("%Y-%m-%d %H:%M"), __version__, base.version, base.digest)
        save(self._path, page_of(base, list_report(base, whole, plan, self._lines, made)))

    def leave(self) -> None:
        """Nothing is open."""


class ToScreen:
    """The lines on the screen, as text or as one object of data."""

    def __init__(self, base: Base, as_json: bool) -> None:
        self._base = base
        self._json = as_json
        self._count = 0

    def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
        return iter(())

    def put(self, row: Row, shown: ShownLine) -> None:
        if self._json:
            # the object is written as it grows, so that a long list takes no memory
            before = ",\n" if self._count else '{"schema": "advisor/parts/1", "lines": [\n'
            sys.stdout.write(before + encoded({"line": row.number, **shown.data}))
        else:
            first, *more = line_text(self._base, row.number, shown)
            for x in (*wrap(first, width()), *(y for m in more for y in wrap(m, width(), "    ", "    "))):
                write(x)
        self._count += 1

    def close(self, whole: WholeList, plan: Plan | None) -> None:
        if self._json:
            planned = plan and plan_json(self._base, plan)
            last = encoded(
                {"summary": summary_json(whole), "plan": planned, "closing": self._base.phrase("say-closing")}
            )
            start = "" if self._count else '{"schema": "advisor/parts/1", "lines": ['
            sys.stdout.write(f"{start}\n], {last[1:]}\n")

    def leave(self) -> None:
        """The screen stays."""


class ToFile:
    """The lines in a file."""

    def __init__(self, path: Path, base: Base, source: PartsSource, mark: str) -> None:
        from advisor.shells.parts_out import open_out

        names = [c.heading for c in source.columns.columns]
        self._base = base
        between = source.table.between if len(names) > 1 else ","
        self._out = open_out(path, names, headings(base), between, mark)

    def seen(self, rows: Iterator[Row]) -> Iterator[Row]:
        return self._out.seen(rows)

    def put(self, row: Row, shown: ShownLine) -> None:
        self._out.put(row, (str(row.number), *shown.texts), lambda: shown.data)

    def close(self, whole: WholeList, plan: Plan | None) -> None:
        planned = plan and plan_json(self._base, plan)
        self._out.close({**summary_json(whole), "plan": planned, "closing": self._base.phrase("say-closing")})

    def leave(self) -> None:
        self._out.leave()


class _Run:
    """One run through a list."""

    def __init__(self, desk: Opened, job: Job, source: PartsSource, sink: Sink, call: Call) -> None:
        self._base = desk.base
        self._desk = desk
        self._job = job
        self._source = source
        self._sink = sink
        self._call = call
        self._whole = WholeList(desk.base)
        self._planned = call.has("plan")
        self._again = 0
        self._last = 0

    def run(self) -> int:
        """Every line, then what the list came to."""
        gc.freeze()  # what was opened stays for good
        plan: Plan | None = None
        with Watch(self._source) as watch:
            try:
                self._all(watch)
                interrupted = False
            except Interrupted:
                interrupted = True
            except BrokenPipeError:
                raise
            except OSError as e:
                raise UsageError(
                    f"the result cannot be written any further, at line {self._last} ({e.strerror}); what was done is "
                    "kept: make room and give the same command again"
                ) from None
        if self._planned and not interrupted:
            plan = self._whole.plan()
        self._close(plan)
        self._tell(plan_lines(self._base, plan, width()) if plan else (), interrupted)
        return 130 if interrupted else 0 if self._whole.advised or self._again or not self._whole.lines else 3

    def _all(self, watch: Watch) -> None:
        worker = Worker(self._desk, self._job)
        for row in self._sink.seen(self._source.rows):
            self._again += 1
            if self._planned:
                self._count(row, worker.shown(row))
        for row, shown in worked(worker, self._job, self._source.rows, self._processes()):
            watch.step()
            self._sink.put(row, shown)
            self._count(row, shown)
            self._last = row.number

    def _count(self, row: Row, shown: ShownLine) -> None:
        whole = self._whole
        whole.count(shown.finish, shown.refer, shown.settle)
        if not self._planned:
            return
        if shown.serves:
            whole.add(row.number, shown.serves, shown.pieces, shown.wished)
        else:
            *_, referral, problems = shown.texts
            whole.unserved(row.number, referral or problems or self._base.phrase("say-nothing-recommended"))

    def _processes(self) -> int:
        if self._call.has("all_cores"):
            return os.cpu_count() or 1
        return self._call.whole("jobs", 1, 1, MOST_PROCESSES)

    def _close(self, plan: Plan | None) -> None:
        try:
            self._sink.close(self._whole, plan)
        except OSError as e:
            raise UsageError(f"the result cannot be finished ({e.strerror}); make room and start again") from None

    def _tell(self, plan: Sequence[str], interrupted: bool) -> None:
        base, w = self._base, width()
        to_file = bool(self._call.one("out"))
        lines: list[str] = []
        if to_file or not self._call.has("json"):
            lines = [*summary_lines(base, self._whole, w), *plan]
            if self._again:
                lines += wrap(base.phrase("parts-same", count=self._again), w)
            if to_file:
                lines += wrap(base.phrase("parts-written", path=self._call.one("out")), w)
            lines += wrap(base.phrase("look-closing"), w)
        for line in lines:
            write(line)
        if interrupted:
            told = base.phrase("parts-interrupted", line=self._last)
            print(f"advisor: {told}", file=sys.stderr)
