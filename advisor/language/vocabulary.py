"""The vocabulary: phrases people use, compiled from the terms, matched longest first and with small slips."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from advisor.language.found import Found
from advisor.language.grammar.grades import Grades, compile_grades
from advisor.language.line import Line, Token, normalise

SURE = 0.85
"""From this certainty a safety slot is taken from a slip of the pen; below it is asked back."""
_STOPS = frozenset(",;.!?()\n")
_NOTICED, _CONSUMED = 1, 2
_MOST_VARIANTS = 40
_ONE_EDIT, _ONE_EDIT_A_WORD, _TWO_EDITS = 0.9, 0.86, 0.75


class Meaning(NamedTuple):
    """What one phrase stands for; the fields are those of a term."""

    id: str
    slot: str = ""
    value: Any = None
    also: Mapping[str, Any] | None = None
    circumstance: str = ""
    intent: str = ""
    certainty: float = 1.0
    exact: bool = False
    answering: str = ""
    gives_way: bool = False
    from_object: bool = False


def phrase_key(text: str, numbers: Mapping[str, int]) -> str:
    """The words of a phrase as they are compared: folded, blanks for all marks.

    >>> phrase_key("Zinc-Nickel, 12 µm", {})
    'zinc nickel 12 um'
    """
    return " ".join(t.key for t in normalise(text, numbers).tokens if t.key not in _STOPS)


def build_vocabulary(
    terms: Iterable[Mapping[str, Any]],
    slots: Mapping[str, Mapping[str, Any]],
    grades: Iterable[str],
    hardness: Mapping[str, Sequence[Sequence[float]]] | None = None,
) -> dict[str, Any]:
    """The compiled, JSON-ready form of the words.

    `terms` are term nodes, `slots` slot nodes (their values become phrases that count as answers to their question),
    `grades` the strength slugs, `hardness` for each unit (hv, hb, tensile_mpa) pairs with
    Rockwell C in rising order.

    >>> v = build_vocabulary([{"id": "t", "say": ["rain"], "slot": "environment", "value": ["outdoor"]}], {}, ["8.8"])
    >>> v["phrases"]["rain"]
    0
    """
    listed = list(terms)
    numbers = {phrase_key(s, {}): int(t["number"]) for t in listed if t.get("number") is not None for s in t["say"]}
    meanings: list[list[Any]] = []
    phrases: dict[str, list[int]] = {}

    def add(says: Iterable[str], meaning: list[Any]) -> None:
        meanings.append(meaning)
        for say in says:
            key = phrase_key(str(say), numbers)
            if key:
                held = phrases.setdefault(key, [])
                if len(meanings) - 1 not in held:
                    held.append(len(meanings) - 1)

    for t in listed:
        if t.get("number") is not None:
            continue
        m = Meaning(
            t["id"],
            t.get("slot") or "",
            t.get("value"),
            t.get("also"),
            t.get("circumstance") or "",
            t.get("intent") or "",
            float(t.get("certainty", 1.0)),
            bool(t.get("exact")),
            t.get("answering") or "",
            bool(t.get("gives_way")),
            bool(t.get("from_object")),
        )
        add(t["say"], list(m))
    lists = sorted(s for s, node in slots.items() if node.get("type") == "choices")
    for slot in sorted(slots):
        for value in slots[slot].get("values") or ():
            says = {str(value), str(value).replace("-", " ")}
            add(sorted(says), list(Meaning(f"{slot}-{value}", slot, value, answering=slot)))
    pattern, slugs = compile_grades(grades)
    ordinary = {i for i, m in enumerate(meanings) if m[5] == "filler" and not (m[1] or m[4])}
    common = {p for p, held in phrases.items() if " " not in p and ordinary.issuperset(held)}
    starts: dict[int, list[str]] = {}
    inner: set[str] = set()
    longest: dict[str, int] = {}
    for phrase in phrases:
        first, *rest = phrase.split(" ")
        longest[first] = max(longest.get(first, 0), len(rest) + 1)
        inner.update(rest)
    for word in sorted(longest):
        starts.setdefault(longest[word], []).append(word)
    return {
        "phrases": {p: held[0] if len(held) == 1 else held for p, held in phrases.items() if p not in common},
        "common": " ".join(sorted(common)),
        "filler": min(ordinary, default=-1),
        "starts": {str(n): " ".join(words) for n, words in starts.items()},
        "inner": " ".join(sorted(inner - longest.keys())),
        "meanings": meanings,
        "numbers": numbers,
        "lists": lists,
        "safety": sorted(s for s, node in slots.items() if node.get("safety")),
        "grade_pattern": pattern,
        "grade_slugs": slugs,
        "inch_grades": sorted(str(g).lower() for g in grades if str(g).lower().startswith("gr")),
        "hardness": {unit: [list(map(float, pair)) for pair in pairs] for unit, pairs in (hardness or {}).items()},
    }


class Vocabulary:
    """The words in memory. What slips need is built when the first unknown word comes."""

    def __init__(self, compiled: Mapping[str, Any]) -> None:
        self.phrases: dict[str, int | list[int]] = {
            **dict.fromkeys(compiled["common"].split(), compiled["filler"]),
            **compiled["phrases"],
        }
        self._meanings = compiled["meanings"]
        self.numbers: Mapping[str, int] = compiled["numbers"]
        self.lists = frozenset(compiled["lists"])
        self.safety = frozenset(compiled["safety"]) or frozenset(
            ("strength", "environment", "duty", "finish_asked", "exclude", "callout")
        )
        self.grades = Grades(compiled["grade_pattern"], compiled["grade_slugs"], frozenset(compiled["inch_grades"]))
        self.hardness = {unit: tuple((a, b) for a, b in pairs) for unit, pairs in compiled["hardness"].items()}
        # every single word of a phrase with the number of words of the longest phrase it starts (0: starts none)
        self.known: dict[str, int] = dict.fromkeys(compiled["inner"].split(), 0)
        for n, words in compiled["starts"].items():
            self.known.update(dict.fromkeys(words.split(), int(n)))
        self._buckets: dict[int, list[str]] = {}
        self._cache: dict[int, Meaning] = {}

    @classmethod
    def load(cls, compiled: Mapping[str, Any]) -> Vocabulary:
        """The vocabulary from its compiled form."""
        return cls(compiled)

    def meaning(self, index: int) -> Meaning:
        """One meaning by its number."""
        held = self._cache.get(index)
        if held is None:
            held = self._cache[index] = Meaning(*self._meanings[index])
        return held

    def series(self, key: str) -> str | None:
        """The thread that a named series stands for, e.g. "3 8 unf" for 3/8-24."""
        for m in self.meanings_of(key):
            if m.slot == "size":
                return str(m.value)
        return None

    def meanings_of(self, phrase: str) -> Sequence[Meaning]:
        """All meanings of a phrase; none when it is unknown."""
        held = self.phrases.get(phrase)
        if held is None:
            return ()
        return [self.meaning(i) for i in ((held,) if isinstance(held, int) else held)]

    def slips(self, word: str) -> list[tuple[int, str]]:
        """Known words that differ from an unknown one by few letters: (edits, word), nearest first; never over digits.

        Below five letters only a swap of neighbours, up to eight letters one edit, from nine two.
        """
        size = len(word)
        if size < 4 or not word.isalpha() or size > 24:
            return []
        from rapidfuzz.distance import OSA  # only paid for when a word is unknown

        allowed = 1 if size < 9 else 2
        if not self._buckets:
            for w in self.known:
                if w.isalpha() and len(w) >= 4:
                    self._buckets.setdefault(len(w), []).append(w)
        out = []
        for length in range(max(4, size - allowed), size + allowed + 1):
            for w in self._buckets.get(length, ()):
                d = OSA.distance(word, w, score_cutoff=allowed)
                if size == 4 and (length != 4 or sorted(word) != sorted(w)):
                    continue
                if d <= allowed and not (d == 2 and min(size, length) < 8):
                    out.append((d, w))
        out.sort()
        return out

    def scan(self, line: Line, answering: str | None, blocked: Sequence[tuple[int, int]] = ()) -> list[Found]:
        """All phrases in a line, longest first, at each length exact words before slips; `blocked` places left out."""
        out: list[Found] = []
        known = self.known
        tokens = [t for t in line.tokens if not any(a <= t.start < b for a, b in blocked)]
        corrected: dict[int, list[tuple[int, str]]] = {}
        n, i = len(tokens), 0
        while i < n:
            key = tokens[i].key
            if key in _STOPS:
                i += 1
                continue
            starts = [(0, key)] if key in known else self._plural(key) or self._correct(i, key, corrected)
            step = self._match(tokens, i, starts, corrected, answering, out)
            i += step or 1
        return out

    def _plural(self, key: str) -> list[tuple[int, str]]:
        """A plural of a known word: "cellars" is no slip."""
        return [(0, key[:-1])] if len(key) > 4 and key.endswith("s") and self.known.get(key[:-1], 0) else []

    def _correct(self, i: int, key: str, corrected: dict[int, list[tuple[int, str]]]) -> list[tuple[int, str]]:
        if i not in corrected:
            corrected[i] = self.slips(key)
        return corrected[i]

    def _match(
        self,
        tokens: Sequence[Token],
        i: int,
        starts: list[tuple[int, str]],
        corrected: dict[int, list[tuple[int, str]]],
        answering: str | None,
        out: list[Found],
    ) -> int:
        """Tries the spans that begin at token i, longest first; appends what it found and returns the tokens used."""
        longest = max((self.known.get(w, 0) for _, w in starts), default=0)
        joined = None
        if (
            i + 1 < len(tokens)
            and tokens[i].end + 1 == tokens[i + 1].start
            and tokens[i].key.isalpha()
            and tokens[i + 1].key.isalpha()
        ):
            joined = tokens[i].key + tokens[i + 1].key  # "gal vanised"
        noticed = False
        for n in range(min(longest, len(tokens) - i), 0, -1):
            span = tokens[i : i + n]
            if span[-1].key in _STOPS:
                continue
            keys = [t.key for t in span if t.key != ","]
            if len(keys) > 1 and not _STOPS.isdisjoint(keys):
                continue
            plain = " ".join(keys)
            if plain in self.phrases:
                taken = self._take([(0, plain)], span, answering, out, noticed)
            elif plain.endswith("s") and len(keys[-1]) > 4 and plain[:-1] in self.phrases:
                taken = self._take([(0, plain[:-1])], span, answering, out, noticed)
            elif all(k in self.known for k in keys):
                continue
            else:
                taken = self._take(self._variants(starts, tokens, i, n, corrected), span, answering, out, noticed)
            if taken == _CONSUMED:
                return n
            noticed = noticed or taken == _NOTICED
        if (
            joined
            and joined in self.phrases
            and (tokens[i].key not in self.known or tokens[i + 1].key not in self.known)
            and self._take([(0, joined)], tokens[i : i + 2], answering, out, noticed)
        ):
            return 2
        return 0

    def _variants(
        self,
        starts: list[tuple[int, str]],
        tokens: Sequence[Token],
        i: int,
        n: int,
        corrected: dict[int, list[tuple[int, str]]],
    ) -> list[tuple[int, str]]:
        """The phrases that n words from token i may have been meant as, with the edits each needs."""
        variants = list(starts)
        for k in range(i + 1, i + n):
            key = tokens[k].key
            if key in _STOPS:
                continue
            options = [(0, key)] if key in self.known else self._correct(k, key, corrected)
            variants = [(d + e, f"{held} {w}") for d, held in variants for e, w in options]
            if len(variants) > _MOST_VARIANTS:
                return []
        return variants

    def _take(
        self,
        variants: Sequence[tuple[int, str]],
        span: Sequence[Token],
        answering: str | None,
        out: list[Found],
        noticed: bool,
    ) -> int:
        """Appends the readings of one span. A phrase that is only a circumstance leaves its words to be read too."""
        hits: dict[str, int] = {}
        for d, phrase in variants:
            if phrase in self.phrases and d < hits.get(phrase, 9):
                hits[phrase] = d
        if not hits:
            return 0
        best = min(hits.values())
        nearest = sorted(p for p, d in hits.items() if d == best)
        senses = {
            frozenset(
                (m.slot, str(m.value), m.circumstance, m.intent)
                for m in self.meanings_of(p)
                if not m.answering or m.answering == answering
            )
            for p in nearest
        } - {frozenset()}
        ambiguous = best > 0 and len(senses) > 1  # two different words are equally near: the reader asks
        share = 1.0 if not best else _ONE_EDIT if best == 1 else _ONE_EDIT_A_WORD if best <= len(span) else _TWO_EDITS
        found: list[Found] = []
        for phrase in nearest if ambiguous else nearest[:1]:
            for m in self.meanings_of(phrase):
                if (m.answering and m.answering != answering) or (m.exact and best) or m.slot == "size":
                    continue
                certainty = min(m.certainty * share, 0.5 if ambiguous else 1.0)
                found.append(
                    Found(
                        span[0].start, span[-1].end, m.slot, m.value, certainty, m.circumstance, m.intent, m.also,
                        m.gives_way, m.from_object, m.answering, m.id, bool(best),
                    )
                )  # fmt: skip
        if not found:
            return 0
        general = {f.slot for f in found if not f.answering and f.slot}
        if any(f.answering for f in found) and answering not in general:
            found = [f for f in found if f.answering or f.slug or f.intent == "negation"]
        elif general:
            found = [f for f in found if not f.answering]
        if all(f.slug and not f.slot and not f.intent for f in found):
            if not noticed:
                out.extend(found)
            return _NOTICED
        out.extend(f for f in found if not (noticed and f.slug and not f.slot))
        return _CONSUMED
