"""The work on a parts list: every line answered in order, by this process or by several, in bounded memory."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import islice

from advisor.dialogue.headings import Columns
from advisor.dialogue.parts_line import CellsTold, ListReader
from advisor.errors import AdvisorError
from advisor.graph.base import Base
from advisor.reasoning.remembered import Remembered
from advisor.records import NamedTuple
from advisor.shells.given import Settings
from advisor.shells.opening import Opened, open_knowledge, opened
from advisor.shells.rows import Row
from advisor.shells.values import slot_value
from advisor.views.parts_text import ShownLine, Wording, shown_line

TYPE_CHECKING = False
if TYPE_CHECKING:
    from multiprocessing.pool import AsyncResult
    from typing import Any

MOST_KEPT = 1500
"""ListReader kept for others that say the same."""
AT_ONCE = 200
"""ListReader handed to another process together."""
AHEAD = 3
"""Bundles that wait for each process; more would only fill the memory."""


class Job(NamedTuple):
    """What every process needs to know: the knowledge, the columns, what holds for the whole list."""

    settings: Settings
    columns: Columns
    general: Mapping[str, Any]


class Worker:
    """Answers rows; equal ones once."""

    def __init__(self, at: Opened, job: Job) -> None:
        from advisor.reasoning.same_cases import ListEngine

        base = at.base

        def checked(slot: str, value: Any) -> Any:
            return slot_value(base, slot, value)

        self._base = base
        self._columns = job.columns
        self._wording = Wording(base)
        self._lines = ListReader(at.desk, ListEngine(base), checked, job.general)
        self._kept: Remembered[object, ShownLine] = Remembered(MOST_KEPT)

    def shown(self, row: Row) -> ShownLine:
        """What the list says of a row."""
        if row.fault:
            return unusable(self._base, row, len(self._columns.columns))
        told = self._lines.told(self._columns, row.cells)
        key = (told.text, told.bare_class, *[(s, _fixed(v)) for s, v in told.values.items()])
        held = self._kept.get(key)
        if held is None:
            held = self._kept[key] = self._answered(told)
        over = len(row.cells) - len(self._columns.columns)
        return held if over <= 0 else with_problem(held, wide(self._base, row, len(self._columns.columns)))

    def _answered(self, told: CellsTold) -> ShownLine:
        try:
            return shown_line(self._base, self._wording, self._lines.line(told))
        except (AdvisorError, RecursionError) as e:
            fault = self._base.phrase("say-too-nested") if isinstance(e, RecursionError) else str(e)
            return with_problem(NOTHING, fault)


NOTHING = ShownLine(("",) * 6, "", "", 0, (), 1.0, False, {"understood": {}, "recommended": [], "cautions": [],
    "referral": {"required": False, "because": [], "to": ""}, "problems": []})  # fmt: skip
"""A line of which nothing is known."""


def unusable(base: Base, row: Row, columns: int) -> ShownLine:
    """A row that could not be read as one."""
    from advisor.shells.rows import MOST_CHARACTERS

    values = {"count": len(row.cells), "columns": columns, "most": MOST_CHARACTERS}
    return with_problem(NOTHING, base.phrase(row.fault, **values))


def wide(base: Base, row: Row, columns: int) -> str:
    """What is said of a row with more cells than headings."""
    return base.phrase("parts-problem-wide", count=len(row.cells), columns=columns)


def with_problem(shown: ShownLine, problem: str) -> ShownLine:
    """A line with a further problem."""
    data = {**shown.data, "problems": [*shown.data["problems"], problem]}
    texts = (*shown.texts[:-1], "; ".join(x for x in (shown.texts[-1], problem) if x))
    return shown._replace(texts=texts, data=data, settle=True)


def _fixed(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def worked(worker: Worker, job: Job, rows: Iterable[Row], processes: int) -> Iterator[tuple[Row, ShownLine]]:
    """Every row with what is said of it, in the order of the list."""
    if processes == 1:
        for row in rows:
            yield row, worker.shown(row)
    else:
        yield from _by_several(job, rows, processes)


def _by_several(job: Job, rows: Iterable[Row], processes: int) -> Iterator[tuple[Row, ShownLine]]:
    from multiprocessing import Pool

    bundles = _bundles(iter(rows))
    with Pool(processes, _begin, (job,)) as pool:
        waiting: deque[tuple[list[Row], AsyncResult[list[ShownLine]]]] = deque()
        for bundle in islice(bundles, processes * AHEAD):
            waiting.append((bundle, pool.apply_async(_bundle, (bundle,))))
        while waiting:
            done, result = waiting.popleft()
            yield from zip(done, result.get(), strict=True)
            for bundle in islice(bundles, 1):
                waiting.append((bundle, pool.apply_async(_bundle, (bundle,))))


def _bundles(rows: Iterator[Row]) -> Iterator[list[Row]]:
    while bundle := list(islice(rows, AT_ONCE)):
        yield bundle


_HERE: list[Callable[[Row], ShownLine]] = []
"""In a process that helps: its worker. Empty in the one that the user started."""


def _begin(job: Job) -> None:
    """Make a helping process ready; an interrupt is for the one that the user started."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _HERE.append(Worker(opened(open_knowledge(job.settings.knowledge, job.settings.overlays)), job).shown)


def _bundle(rows: list[Row]) -> list[ShownLine]:
    return [_HERE[0](row) for row in rows]
