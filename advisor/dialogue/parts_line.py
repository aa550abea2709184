"""One line of a parts list through the one router: its cells to an enquiry, the enquiry to what a list says of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.dialogue.facts import WISHES
from advisor.dialogue.headings import Columns, Headings
from advisor.dialogue.lengths_apart import LengthsApart
from advisor.dialogue.one_shot import OneShot, answer_to_enquiry
from advisor.dialogue.state import Desk, Diagnose
from advisor.graph.wording import worded
from advisor.language.reading import Reading, read
from advisor.reasoning.enquiry import UNKNOWN, Enquiry
from advisor.reasoning.remembered import Remembered
from advisor.reasoning.same_cases import LineOutcome, ListEngine
from advisor.reasoning.supply import supplies_for, supply_words
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    Checked = Callable[[str, Any], Any]
    """A slot and what was written, as a value of the slot; UsageError where it is none."""

PLACES = ("environment", "corrosivity")
"""Slots of where a part lives: the line's own place stands instead of that of the whole list."""
STRENGTH = "strength"
SAYS_LITTLE = frozenset(("quantity", "length_mm"))
"""Slots that alone do not make a line a part."""
LONGEST = 2000
"""A longer text is no description of a part."""


class CellsTold(NamedTuple):
    """What the cells of a line tell: words to read, slots by their columns, a class that is a bare number."""

    text: str
    values: Mapping[str, Any]
    bare_class: str = ""


class PartsLine(NamedTuple):
    """What a list says of one line. `outcome` is None where nothing was understood or the line contradicts itself."""

    enquiry: Enquiry
    outcome: LineOutcome | None
    problems: tuple[str, ...]
    supply: str = ""


class ListReader:
    """Reads and answers the lines of one list. What holds for the whole list is said once."""

    MOST_KEPT = 2000

    def __init__(self, desk: Desk, engine: ListEngine, checked: Checked, general: Mapping[str, Any]) -> None:
        self._desk = desk._replace(engine=engine, echoes=False)
        self._engine = engine
        self._base = desk.base
        self._checked = checked
        self._general = dict(general)
        self._headings = Headings(desk.base)
        self._needed = desk.base.role_words("list-needs")
        self._reader = LengthsApart(desk.vocabulary)
        self._cells: Remembered[tuple[str, float, str], Any] = Remembered(self.MOST_KEPT)

    def told(self, columns: Columns, cells: Sequence[str]) -> CellsTold:
        """What the cells of a row tell."""
        words: list[str] = []
        values: dict[str, Any] = {}
        for column in columns.columns:
            cell = cells[column.at].strip() if column.at < len(cells) else ""
            if column.idle or not cell or self._headings.blank(cell):
                continue
            value = self._value(column.slot, column.factor, cell) if column.slot else None
            if value is None:
                words.append(cell)
            else:
                values[column.slot] = value
        bare = self._bare_class(columns, cells, values)
        return CellsTold(", ".join(words), values, bare)

    def _bare_class(self, columns: Columns, cells: Sequence[str], values: dict[str, Any]) -> str:
        """A class such as "8" is taken out of the values unless the thread is an inch one: of a metric bolt it is none,
        and of a nut another than the grade 8 of inch bolts."""
        if STRENGTH not in values or str(values.get("size", "M"))[:1] != "M":
            return ""
        cell = next(cells[c.at].strip() for c in columns.columns if c.slot == STRENGTH)
        if not cell.isdigit():
            return ""
        del values[STRENGTH]
        return cell

    def _value(self, slot: str, factor: float, cell: str) -> Any:
        """The slot's value that a cell holds as it stands; None where its words must be read."""
        from advisor.errors import UsageError

        key = (slot, factor, cell)
        if key not in self._cells:
            number = cell.replace(",", ".") if cell[:1].isdigit() else cell
            try:
                value = self._checked(slot, number if factor == 1 else str(float(number) * factor))
            except (UsageError, ValueError):
                value = None
            self._cells[key] = value if value != UNKNOWN else None
        return self._cells[key]

    def line(self, told: CellsTold) -> PartsLine:
        """What the list says of a line."""
        say = self._base.phrase
        if len(told.text) > LONGEST:
            long = say("parts-problem-long", count=len(told.text), most=LONGEST)
            return PartsLine(Enquiry(), None, (long,))
        reading = self._reader.read(told.text)
        own = {*told.values, *reading.understood} - SAYS_LITTLE
        if not (own or reading.circumstances or reading.mentioned):
            return PartsLine(Enquiry(), None, (say("parts-problem-nothing"),))
        told = self._with_class(told, reading)
        clashes = self._clashes(told.values, reading)
        values = {**self._holding(reading, told), **told.values}
        for slot in clashes:
            values.pop(slot, None)
        found = answer_to_enquiry(self._desk, told.text, reading, values)
        problems = [text for text, _ in clashes.values()]
        unsafe = any(safety for _, safety in clashes.values())
        outcome = None if unsafe else self._outcome(found)
        return PartsLine(found.enquiry, outcome, (*problems, *self._problems(found)), self._supply(found, outcome))

    def _supply(self, found: OneShot, outcome: LineOutcome | None) -> str:
        """What the branch's own list has of the first choice, where the line is read with one."""
        if not self._base.supplies or outcome is None or outcome.first is None or found.advice is None:
            return ""
        bit = self._engine.rules.bit[outcome.first.finish]
        held = supplies_for(self._engine, found.advice.case, bit)[:1]
        layers = [(self._base.layer_of(s.id), supply_words(self._engine, s)) for s in held]
        return " ".join(self._base.phrase("supply-line", layer=layer, entry=entry) for layer, entry in layers)

    def _with_class(self, told: CellsTold, reading: Reading) -> CellsTold:
        """With a class that is a bare number and belongs to the part: class 8 of a nut."""
        part = reading.understood.get("part")
        if not told.bare_class or part is None:
            return told
        value = self._value(STRENGTH, 1.0, f"{part.value}-{told.bare_class}")
        return told if value is None else told._replace(values={**told.values, STRENGTH: value})

    def _holding(self, reading: Reading, told: CellsTold) -> Mapping[str, Any]:
        """What was said of the whole list and holds for a line: its own place and wish stand instead of the list's."""
        general = self._general
        own = {s for s in reading.understood if s not in reading.from_object} | set(told.values)
        gone = {s for s in WISHES if s in own}
        if not own.isdisjoint(PLACES):
            gone.update(PLACES)
        return {s: v for s, v in general.items() if s not in gone} if gone else general

    def _clashes(self, values: Mapping[str, Any], reading: Reading) -> dict[str, tuple[str, bool]]:
        """Slots of which a column and the words say different things, with the sentence, and whether safety hangs on
        them."""
        out: dict[str, tuple[str, bool]] = {}
        for slot, value in values.items():
            item = reading.understood.get(slot)
            if item is None or isinstance(value, list) or _agree(value, item.value):
                continue
            node = self._base.slots[slot]
            text = self._base.phrase("parts-problem-clash", slot=node.name, column=value, words=item.value)
            out[slot] = (text, node.safety)
        return out

    def _outcome(self, found: OneShot) -> LineOutcome | None:
        if found.advice is None:
            return None
        return self._engine.outcome(found.advice.judged)

    def _problems(self, found: OneShot) -> list[str]:
        base, say = self._base, self._base.phrase
        out: list[str] = []
        for u in found.reading.unclear:
            values = " / ".join(worded(base, u.slot, c) for c in u.candidates)
            out.append(say("parts-problem-unclear", words=u.words, values=values))
        if found.reading.unused:
            out.append(say("parts-problem-words", words=", ".join(found.reading.unused)))
        if any(isinstance(r, Diagnose) for r in found.replies):
            out.append(say("parts-problem-trouble"))
        said = found.enquiry.said
        placed = not said.keys().isdisjoint(PLACES)
        missing = [base.slots[s].name for s in self._needed if s not in said and not (s in PLACES and placed)]
        if missing and found.advice is not None:
            out.append(say("parts-problem-missing", slots=", ".join(missing)))
        return out


def general_values(desk: Desk, words: str, values: Mapping[str, Any]) -> tuple[dict[str, Any], Reading]:
    """What holds for a whole list, from words and from slots set outright; with the reading of the words."""
    reading = read(words, desk.vocabulary)
    read_values = {s: list(i.value) if isinstance(i.value, tuple) else i.value for s, i in reading.understood.items()}
    out = {**read_values, **values}
    if reading.circumstances:
        out["circumstance"] = [c.slug for c in reading.circumstances]
    return out, reading


def _agree(column: Any, words: Any) -> bool:
    """Whether a column and the words say the same; M10 and M10x1.5 do."""
    a, b = str(column).lower(), str(words).lower()
    return a == b or a.startswith(b + "x") or b.startswith(a + "x")
