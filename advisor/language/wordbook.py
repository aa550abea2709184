"""Compiles the words: terms, values of slots, grades, units and threads become the sections the vocabulary reads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.graph.sections import Entries
from advisor.language.grammar.conversion import unit_key
from advisor.language.grammar.grades import compile_grades, squeezed_classes
from advisor.language.line import START, STOPS, asked_words, fold, normalise
from advisor.language.things import FOLLOWS, FOLLOWS_ONCE
from advisor.language.troubles import FIGURE, TROUBLE, compile_troubles

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


_GUESSED_FROM = 8
_MPA_UNITS = ("ksi", "psi")
_TORQUE_UNITS = ("lbf.ft", "lbf.in")


def phrase_key(text: str, numbers: Mapping[str, int]) -> str:
    """The words of a phrase as they are compared: folded, blanks for all marks.

    >>> phrase_key("Zinc-Nickel, 12 µm", {})
    'zinc nickel 12 um'
    """
    return " ".join(t.key for t in normalise(text, numbers).tokens if t.key not in STOPS)


_ANY_FIGURE = "777"


def _cut(say: str, numbers: Mapping[str, int]) -> list[str]:
    """The words of a phrase in which a mark stands for any figure."""
    keys = phrase_key(say.replace(FIGURE, _ANY_FIGURE), numbers).split()
    return [FIGURE if key == _ANY_FIGURE else key for key in keys]


class _Book:
    """Phrases by first word while they are gathered: first word -> rest of the phrase -> numbers of meanings."""

    def __init__(self, numbers: Mapping[str, int]) -> None:
        self.numbers = numbers
        self.meanings: list[dict[str, Any]] = []
        self.phrases: dict[str, dict[str, list[int]]] = {}

    def add(self, says: Iterable[str], meaning: Mapping[str, Any]) -> None:
        """One meaning and the phrases that have it; fields that are empty are left out."""
        kept = {
            name: value for name, value in meaning.items() if value is not None and value != "" and value is not False
        }
        if kept in self.meanings[-1:]:
            number = len(self.meanings) - 1
        else:
            number = len(self.meanings)
            self.meanings.append(kept)
        for say in says:
            key = phrase_key(str(say), self.numbers)
            if key:
                first, _, rest = key.partition(" ")
                held = self.phrases.setdefault(first, {}).setdefault(rest, [])
                if number not in held:
                    held.append(number)

    def plurals_name_things_too(self) -> None:
        """A plural that is a phrase of its own ("wheel studs", a part) names the thing of its singular all the same."""
        for first, rests in list(self.phrases.items()):
            for rest, held in list(rests.items()):
                plural = self.phrases.get(first if rest else f"{first}s", {}).get(f"{rest}s" if rest else "")
                if plural is not None:
                    plural.extend(n for n in held if "application" in self.meanings[n] and n not in plural)

    def sections(self) -> dict[str, Any]:
        """Each first word with the words of its longest phrase; words inside phrases with none; words by length."""
        inner = {word for rests in self.phrases.values() for rest in rests for word in rest.split()}
        entries: dict[str, Any] = {word: [0, {}] for word in sorted(inner)}
        for first, rests in self.phrases.items():
            entries[first] = [max(len(rest.split()) for rest in rests) + 1, rests]
        by_length: dict[str, list[str]] = {}
        for word in sorted(entries):
            if word.isalpha() and len(word) >= 4:
                by_length.setdefault(str(len(word)), []).append(word)
        return {
            "word-phrases": Entries(entries),
            "word-meanings": Entries({str(n): m for n, m in enumerate(self.meanings)}),
            "word-lengths": Entries({length: " ".join(words) for length, words in by_length.items()}),
        }


def build_vocabulary(sections: Mapping[str, Any]) -> dict[str, Any]:
    """The sections of the vocabulary, JSON-ready: `words` (all small tables) and the phrases, entry by entry.

    `sections` are those of the base by kind: `term`, `slot`, `strength`, `table`; those that are absent count as empty.

    >>> rain = {"id": "t", "say": ["acid rain"], "slot": "environment", "value": ["outdoor"]}
    >>> v = build_vocabulary({"term": {"t": rain}})
    >>> v["word-phrases"]["acid"], v["word-meanings"]["0"]["slot"]
    ([2, {'rain': [0]}], 'environment')
    """
    terms = list(sections.get("term", {}).values())
    slots = sections.get("slot", {})
    grades = [str(s["grade"]) for s in sections.get("strength", {}).values()]
    tables = sections.get("table", {})
    numbers = {phrase_key(s, {}): int(t["number"]) for t in terms if t.get("number") is not None for s in t["say"]}
    book = _Book(numbers)
    for t in terms:
        if t.get("number") is None and not t.get("grammar"):
            book.add(t["say"], _meaning(t))
    applications = sections.get("application", {})
    documents = sections.get("document", {})
    for application, node in applications.items():
        for say in node.get("say", ()):
            # short words are too near to others to be guessed from a slip
            short = " " not in say and len(say) < _GUESSED_FROM
            book.add([say], {"id": application, "application": application, "exact": short})
    book.plurals_name_things_too()
    for slot in sorted(slots):
        for value in slots[slot].get("values") or ():
            says = {str(value), str(value).replace("-", " ")}
            book.add(sorted(says), {"id": f"{slot}-{value}", "slot": slot, "value": value, "answering": slot})
    pattern, slugs = compile_grades(grades)
    inch_grades = sorted({g.lower() for g in grades if g.lower().startswith("gr")})
    units = _units(tables)
    words = {
        "numbers": numbers,
        "slots": {name: _reading_of(node) for name, node in slots.items()},
        "grade_pattern": pattern,
        "grade_slugs": slugs,
        "inch_grades": inch_grades,
        "scales": _scales(tables),
        "threads": _threads(tables),
        "units": units,
        "factors": _factors(tables),
        "documents": _index(documents, numbers),
        "substances": _index(sections.get("chemical", {}), numbers),
        "troubles": compile_troubles(terms, sections.get("complaint", {}), lambda say: _cut(say, numbers)),
        "grammar": {
            **_grammar(terms),
            "squeezed-class": squeezed_classes(sorted(set(grades))),
            "inch-grade": [g[2:] for g in inch_grades],
            "unit": sorted(_spellings(tables)),
        },
    }
    things = {name: _thing(name, applications, numbers) for name in applications}
    naming = {
        **{name: {"standard": node.get("name", name), **node.get("says", {})} for name, node in documents.items()},
        **{name: _neighbours(node, numbers) for name, node in sections.get("chemical", {}).items()},
    }
    return {
        "words": words,
        **book.sections(),
        "word-things": Entries(things),
        "word-naming": Entries(naming),
        "word-asks": Entries(_asks(sections.get("ask", {}), numbers)),
    }


def _index(nodes: Mapping[str, Any], numbers: Mapping[str, int]) -> dict[str, dict[str, str]]:
    """First word -> rest -> id of nodes that are named by exact phrases."""
    out: dict[str, dict[str, str]] = {}
    for name, node in nodes.items():
        for say in node.get("say", ()):
            first, _, rest = phrase_key(str(say), numbers).partition(" ")
            if first:
                out.setdefault(first, {}).setdefault(rest, name)
    return out


def _asks(asks: Mapping[str, Any], numbers: Mapping[str, int]) -> dict[str, list[list[Any]]]:
    """The words of questions by their first word: [rest of the words, what they ask, whether they make a question]."""
    out: dict[str, list[list[Any]]] = {}
    for i, node in asks.items():
        for words in node["words"]:
            keys = asked_words(normalise(str(words), numbers))
            # the start counts only where it is asked for
            first, _, rest = " ".join(keys[0 if str(words).startswith(START) else 1 :]).partition(" ")
            out.setdefault(first, []).append([rest, i, bool(node.get("opens"))])
    return out


def _thing(name: str, applications: Mapping[str, Any], numbers: Mapping[str, int]) -> dict[str, Any]:
    """What reading needs of an application: its neighbours as they are compared, its depth, what follows from it."""
    node = applications[name]
    says = {slot: node[slot] for slot in (*FOLLOWS, *FOLLOWS_ONCE) if node.get(slot) not in (None, [], (), "")}
    return {"id": name, "depth": _depth(name, applications), "says": says, **_neighbours(node, numbers)}


def _neighbours(node: Mapping[str, Any], numbers: Mapping[str, int]) -> dict[str, list[str]]:
    """The words that must or must not stand beside a name, as they are compared."""
    return {
        side: sorted({phrase_key(str(word), numbers) for word in node.get(side, ())})
        for side in ("beside", "not_beside")
    }


def _depth(name: str, applications: Mapping[str, Any], below: tuple[str, ...] = ()) -> int:
    """How many broader things stand above an application, along the longest way."""
    if name in below or name not in applications:
        return 0
    above = applications[name].get("is_a", ())
    return max((1 + _depth(broader, applications, (*below, name)) for broader in above), default=0)


def _meaning(t: Mapping[str, Any]) -> dict[str, Any]:
    """What a term means: the fields of its node that reading needs."""
    fields = ("slot", "value", "also", "circumstance", "intent", "exact", "answering", "gives_way", "from_object")
    certainty = float(t.get("certainty", 1.0))
    return {"id": t["id"], **{f: t.get(f) for f in fields}, **({"certainty": certainty} if certainty != 1.0 else {})}


def _grammar(terms: Iterable[Mapping[str, Any]]) -> dict[str, list[str]]:
    """The word lists of the grammar of figures."""
    out: dict[str, list[str]] = {}
    for t in terms:
        if t.get("grammar") and not t["grammar"].startswith(TROUBLE):
            out.setdefault(t["grammar"], []).extend(" ".join(fold(str(s)).split()) for s in t["say"])
    return out


def _reading_of(slot: Mapping[str, Any]) -> dict[str, Any]:
    """How a slot is read: the part of its node that the words need."""
    fields = ("type", "safety", "denial", "may_be_denied", "two_told", "bare", "nothing_means")
    return {f: slot[f] for f in fields if slot.get(f)}


def _rows(tables: Mapping[str, Any], name: str, *columns: str) -> list[tuple[Any, ...]]:
    table = tables.get(name)
    if table is None:
        return []
    at = [table["columns"].index(c) for c in columns]
    return [tuple(row[i] for i in at) for row in table["rows"]]


def _scales(tables: Mapping[str, Any]) -> dict[str, list[list[float]]]:
    """Pairs of each unit of hardness and Rockwell C in rising order."""
    out = {}
    for unit in ("hv", "hb", "tensile_mpa"):
        pairs = _rows(tables, "hardness-conversion", unit, "hrc")
        out[unit] = sorted([float(a), float(hrc)] for a, hrc in pairs if a is not None and hrc is not None)
    return out


def _threads(tables: Mapping[str, Any]) -> dict[str, Any]:
    series: dict[str, str] = {}
    turns: dict[str, list[str]] = {}
    for size, system, kind in _rows(tables, "thread-sizes", "size", "system", "series"):
        if system != "inch":
            continue
        nominal, _, an_inch = str(size).rpartition("-")
        series.setdefault(f"{nominal} {kind}", str(size))
        if nominal.startswith("#"):
            turns.setdefault(nominal[1:], []).append(an_inch)
    spanners: dict[str, list[str]] = {}
    for width, size in (
        *_rows(tables, "part-hex-bolt", "across_mm", "size"),
        *_rows(tables, "former-widths-across-flats", "across_mm", "size"),
    ):
        spanners.setdefault(f"{width:g}", []).append(str(size))
    fine = {f"{d:g}": f"{pitch:g}" for d, pitch in _rows(tables, "usual-fine-pitches", "diameter_mm", "pitch_mm")}
    return {"series": series, "fine": fine, "turns": turns, "spanners": spanners}


def _spellings(tables: Mapping[str, Any]) -> dict[str, str]:
    """Every spelling of a unit, folded, with the unit's name."""
    out = {}
    for unit, spellings in _rows(tables, "unit-factors", "unit", "spellings"):
        for spelling in (str(unit), *str(spellings).split()):
            folded = fold(spelling).replace(".", " ").replace("-", " ").replace("°", "").strip()
            if folded:
                out[folded] = str(unit)
    return out


def _units(tables: Mapping[str, Any]) -> dict[str, str]:
    return {unit_key(spelling): unit for spelling, unit in _spellings(tables).items()}


def _factors(tables: Mapping[str, Any]) -> dict[str, float]:
    """MPa of a ksi and psi, N·m of a lbf.ft and lbf.in."""
    wanted = (*_MPA_UNITS, *_TORQUE_UNITS)
    return {unit: float(f) for unit, f in _rows(tables, "unit-factors", "unit", "factor") if unit in wanted}
