"""The vocabulary: phrases people use, matched longest first and with small slips; read word by word from the base."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from advisor.language.found import Found
from advisor.language.grammar.grades import Grades
from advisor.language.grammar.lexicon import Lexicon
from advisor.language.grammar.sizes_told import Threads
from advisor.language.line import STOPS, Line, Token
from advisor.language.meanings import Meaning, SlotReading, if_there
from advisor.language.named import Index
from advisor.language.slips import Slips
from advisor.language.things import Thing
from advisor.language.troubles import TroubleWords

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from advisor.graph.base import Base

_KEPT_WORDS = 20_000
SURE = 0.85
"""From this certainty a safety slot is taken from a slip of the pen; below it is asked back."""
_NOTICED, _CONSUMED = 1, 2
_MOST_VARIANTS = 40
_ONE_EDIT, _ONE_EDIT_A_WORD, _TWO_EDITS = 0.9, 0.86, 0.75
_SECTIONS = ("words", "word-phrases", "word-meanings", "word-lengths", "word-things", "word-naming", "word-asks")


class Vocabulary:
    """The words in memory: the small tables at once, each word's phrases when it stands in a line."""

    def __init__(self, section: Callable[[str], Any]) -> None:
        words, self._phrases, self._meanings, lengths, self._things, self._naming, asks = map(section, _SECTIONS)
        self.numbers: Mapping[str, int] = words["numbers"]
        self.asks: Mapping[str, Sequence[tuple[str, str, bool]]] = asks
        self.slots: Mapping[str, SlotReading] = {name: SlotReading(**how) for name, how in words["slots"].items()}
        self.lexicon = Lexicon(words["grammar"], if_there(section, "expressions"))
        self.grades = Grades(words["grade_pattern"], words["grade_slugs"], frozenset(words["inch_grades"]))
        self.threads = Threads(**words["threads"])
        self.units: Mapping[str, str] = words["units"]
        self.documents: Index = words["documents"]
        self.substances: Index = words["substances"]
        self.factors: Mapping[str, float] = words["factors"]
        self.troubles = TroubleWords(words["troubles"])
        self.scales: Mapping[str, Sequence[Sequence[float]]] = words["scales"]
        self.shapes: Mapping[str, Any] = if_there(section, "code-shapes")
        self._cache: dict[int, Meaning] = {}
        self._words: dict[str, tuple[int, Mapping[str, Sequence[int]]] | None] = {}
        self._slips = Slips(lengths)

    @classmethod
    def of(cls, base: Base) -> Vocabulary:
        """The words of a base."""
        return cls(base.section)

    @classmethod
    def load(cls, compiled: Mapping[str, Any]) -> Vocabulary:
        """The words from their compiled sections."""
        return cls(compiled.__getitem__)

    def thing(self, application: str) -> Thing:
        """What reading needs of an application."""
        return Thing(**self._things[application])

    def naming(self, name: str) -> Mapping[str, Any]:
        """What naming a document or a complaint tells: slot -> value."""
        told: Mapping[str, Any] = self._naming[name]
        return told

    def slot(self, name: str) -> SlotReading:
        """How a slot is read; of an unknown one nothing special is known."""
        return self.slots.get(name) or SlotReading()

    def knows(self, word: str) -> bool:
        """Whether a word stands in some phrase."""
        return self._word(word) is not None

    def longest(self, word: str) -> int:
        """Words of the longest phrase that begins with a word; 0 when none does."""
        held = self._word(word)
        return held[0] if held else 0

    def holds(self, phrase: str) -> bool:
        """Whether a phrase has a meaning."""
        first, _, rest = phrase.partition(" ")
        held = self._word(first)
        return held is not None and rest in held[1]

    def meanings_of(self, phrase: str) -> Sequence[Meaning]:
        """All meanings of a phrase; none when it is unknown."""
        first, _, rest = phrase.partition(" ")
        held = self._word(first)
        return [self._meaning(n) for n in held[1].get(rest, ())] if held else []

    def _word(self, word: str) -> tuple[int, Mapping[str, Sequence[int]]] | None:
        """(words of the longest phrase that a word begins, each rest with its meanings); kept within bounds."""
        try:
            return self._words[word]
        except KeyError:
            if len(self._words) >= _KEPT_WORDS:
                self._words.clear()
            held = self._phrases.get(word)
            self._words[word] = entry = None if held is None else (held[0], held[1])
            return entry

    def _meaning(self, number: int) -> Meaning:
        held = self._cache.get(number)
        if held is None:
            held = self._cache[number] = Meaning(**self._meanings[str(number)])
        return held

    def phrases(self) -> list[str]:
        """Every phrase, for whoever looks at all of them."""
        return [f"{first} {rest}".strip() for first in self._phrases for rest in self._phrases[first][1]]

    def slips(self, word: str) -> list[tuple[int, str]]:
        """Known words that differ from an unknown one by few letters: (edits, word), nearest first."""
        return self._slips.of(word)

    def scan(self, line: Line, answering: str | None, blocked: Sequence[tuple[int, int]] = ()) -> list[Found]:
        """All phrases in a line, longest first, at each length exact words before slips; `blocked` places left out."""
        out: list[Found] = []
        tokens = [t for t in line.tokens if not any(a <= t.start < b for a, b in blocked)]
        corrected: dict[int, list[tuple[int, str]]] = {}
        n, i = len(tokens), 0
        while i < n:
            key = tokens[i].key
            if key in STOPS:
                i += 1
                continue
            starts = [(0, key)] if self.knows(key) else self._plural(key) or self._correct(i, key, corrected)
            step = self._match(tokens, i, starts, corrected, answering, out)
            i += step or 1
        return out

    def _plural(self, key: str) -> list[tuple[int, str]]:
        """A plural of a known word: "cellars" is no slip, and "M16s" are a size."""
        plural = len(key) > 3 and key.isalpha() and key.endswith("s")
        return [(0, key[:-1])] if plural and self.longest(key[:-1]) else []

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
        exact = self._exact(tokens, i)
        if exact is not None:
            return self._take_exact(exact, tokens, i, answering, out)
        longest = max((self.longest(w) for _, w in starts), default=0)
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
            if span[-1].key in STOPS:
                continue
            keys = [t.key for t in span if t.key != ","]
            if len(keys) > 1 and not STOPS.isdisjoint(keys):
                continue
            plain = " ".join(keys)
            if self.holds(plain):
                taken = self._take([(0, plain)], span, answering, out, noticed)
            elif plain.endswith("s") and len(keys[-1]) > 3 and self.holds(plain[:-1]):
                taken = self._take([(0, plain[:-1])], span, answering, out, noticed)
            elif all(self.knows(k) for k in keys):
                continue
            else:
                taken = self._take(self._variants(starts, tokens, i, n, corrected), span, answering, out, noticed)
            if taken == _CONSUMED:
                return n
            noticed = noticed or taken == _NOTICED
        if (
            joined
            and self.holds(joined)
            and not (self.knows(tokens[i].key) and self.knows(tokens[i + 1].key))
            and self._take([(0, joined)], tokens[i : i + 2], answering, out, noticed)
        ):
            return 2
        return 0

    def _exact(self, tokens: Sequence[Token], i: int) -> list[tuple[int, str]] | None:
        """(words, phrase) of all phrases that begin at a word, shortest first; None where an unknown word is near.

        Nearly every place of a line is so: no slips to think of, one look at the word's phrases is enough.
        """
        entry = self._word(tokens[i].key)
        near = tokens[i : i + max(entry[0], 2)] if entry is not None else ()
        if entry is None or not all(t.key in STOPS or self._word(t.key) is not None for t in near):
            return None
        out: list[tuple[int, str]] = []
        phrase = ""
        # a word that begins no phrase may still be the plural of one that does
        for n, token in enumerate(near[: entry[0] or 1], 1):
            key = token.key
            if key in STOPS:
                if key == ",":
                    continue
                break
            phrase = f"{phrase} {key}" if phrase else key
            if self.holds(phrase):
                out.append((n, phrase))
            elif len(key) > 3 and key.endswith("s") and self.holds(phrase[:-1]):
                out.append((n, phrase[:-1]))
        return out

    def _take_exact(
        self, exact: list[tuple[int, str]], tokens: Sequence[Token], i: int, answering: str | None, out: list[Found]
    ) -> int:
        noticed = False
        for n, phrase in reversed(exact):
            taken = self._take([(0, phrase)], tokens[i : i + n], answering, out, noticed)
            if taken == _CONSUMED:
                return n
            noticed = noticed or taken == _NOTICED
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
            if key in STOPS:
                continue
            options = [(0, key)] if self.knows(key) else self._correct(k, key, corrected)
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
            if self.holds(phrase) and d < hits.get(phrase, 9):
                hits[phrase] = d
        if not hits:
            return 0
        best = min(hits.values())
        nearest = sorted(p for p, d in hits.items() if d == best)
        senses = {
            frozenset(
                (m.slot, str(m.value), m.circumstance, m.intent, m.application)
                for m in self.meanings_of(p)
                if not m.answering or m.answering == answering
            )
            for p in nearest
        } - {frozenset()}
        ambiguous = best > 0 and len(senses) > 1  # two different words are equally near: the reader asks
        share = 1.0 if not best else _ONE_EDIT if best == 1 else _ONE_EDIT_A_WORD if best <= len(span) else _TWO_EDITS
        found = [
            f
            for phrase in (nearest if ambiguous else nearest[:1])
            for f in self._meant(phrase, span, answering, share, 0.5 if ambiguous else 1.0, best)
        ]
        if not found:
            return 0
        general = {f.slot for f in found if not f.answering and f.slot}
        if any(f.answering for f in found) and answering not in general:
            found = [f for f in found if f.answering or f.slug or f.intent == "negation"]
        elif general:
            found = [f for f in found if not f.answering]
        if all(f.leaves_its_words(len(span)) for f in found):
            if not noticed:
                out.extend(found)
            return _NOTICED
        out.extend(f for f in found if not (noticed and f.slug and not f.slot))
        if any(f.application for f in found) and len(span) > 1:
            out.extend(self._fastener_at_end(span[-1]))
            if not any(f.intent == "filler" for f in found):  # "wood burner" says nothing of wood
                out.extend(self._told_inside(span, answering))
        return _CONSUMED

    def _told_inside(self, span: Sequence[Token], answering: str | None) -> list[Found]:
        """ "Lead acid battery" names a thing, and acid all the same; of single words inside only a material counts."""
        for n in range(len(span) - 1, 0, -1):
            for start in range(len(span) - n + 1):
                inside = span[start : start + n]
                found = self._meant(" ".join(t.key for t in inside), inside, answering, 1.0, 1.0, 0)
                told = [f for f in found if f.slot and (n > 1 or f.slot == "mating")]
                if told:
                    return told
        return []

    def _meant(
        self, phrase: str, span: Sequence[Token], answering: str | None, share: float, most: float, edits: int
    ) -> list[Found]:
        """The readings of one phrase on a span of the line; `share` and `most` bound their certainty."""
        return [
            Found(
                span[0].start,
                span[-1].end,
                m.slot,
                m.value,
                min(m.certainty * share, most),
                m.circumstance,
                m.intent,
                m.also,
                m.gives_way,
                m.from_object,
                m.answering,
                m.id,
                bool(edits),
                application=m.application,
            )
            for m in self.meanings_of(phrase)
            if not (m.answering and m.answering != answering) and not (m.exact and edits) and m.slot != "size"
        ]

    def _fastener_at_end(self, token: Token) -> list[Found]:
        """ "Wheel nuts" name a thing, and nuts all the same."""
        return [
            Found(token.start, token.end, m.slot, m.value, intent=m.intent, term=m.id)
            for word in (token.key, token.key.removesuffix("s"))
            for m in self.meanings_of(word)
            if (m.intent == "fastener-noun" or m.slot == "part") and not m.answering
        ]
