"""What a line asks of the adviser outright: the questions it puts, and what they are about.

The words of a question stand apart ("can I have them hot dipped"), so they are looked for one by one, beside
the reading of facts and without touching it; which of them together make an answer is for the rules of the answers.
"""

from __future__ import annotations

from advisor.language.line import START, STOPS, Line, Token
from advisor.language.vocabulary import Vocabulary
from advisor.records import NamedTuple

SENTENCE_ENDS = frozenset(".!?\n")
SHORT_LINE, ELLIPTIC = 24, 5
"""So many words are one thought, whatever stops stand in it; in longer lines the question is a sentence of its own, and
of so few words ("all good?") it asks about all that was said."""


class Put(NamedTuple):
    """What a line asks: the ids of questions and subjects in their order, the words that told them.

    `question`: the sentence that asks, where the line says other things beside it.
    """

    asks: tuple[str, ...] = ()
    words: frozenset[str] = frozenset()
    question: str = ""


def questions_put(line: Line, vocabulary: Vocabulary) -> Put:
    """All questions and subjects in a line; none where nothing in it opens a question.

    >>> from advisor.language.line import normalise
    >>> from advisor.language.wordbook import build_vocabulary
    >>> asks = {"asks-may": {"words": ["can i", "ok?"], "opens": True}, "asks-bake": {"words": ["bake"]}}
    >>> v = Vocabulary.load(build_vocabulary({"ask": asks}))
    >>> questions_put(normalise("Can I bake them?", {}), v).asks, questions_put(normalise("bake them", {}), v).asks
    (('asks-may', 'asks-bake'), ())
    """
    short = len(line.tokens) <= SHORT_LINE
    sentences = _sentences(line)
    put = [_of_sentence([t.key for t in s], vocabulary, short) for s in sentences]
    asking = [n for n, (_, _, opened) in enumerate(put) if opened]
    if not asking:
        return Put()
    whole = short or sum(len(sentences[n]) for n in asking) <= ELLIPTIC
    heard = put if whole else [put[n] for n in asking]
    asks = dict.fromkeys(ask for found, _, _ in heard for ask in found)
    question = "" if whole else " ".join(line.words(sentences[n][0].start, sentences[n][-1].end) for n in asking)
    return Put(tuple(asks), frozenset(w for _, told, _ in heard for w in told), question)


def _sentences(line: Line) -> list[list[Token]]:
    """The tokens of a line by sentence, each with the mark that ends it."""
    out: list[list[Token]] = [[]]
    for t in line.tokens:
        out[-1].append(t)
        if t.key in SENTENCE_ENDS:
            out.append([])
    return [s for s in out if s]


def _of_sentence(keys: list[str], vocabulary: Vocabulary, short: bool) -> tuple[list[str], list[str], bool]:
    """What one sentence asks, the words that told it, and whether one of them opens a question.

    "Must be black" begins like a question: in a long line that counts only before a question mark.
    """
    asked = short or "?" in keys
    words = [START, *(k for k in keys if k == "?" or k not in STOPS)]
    found: list[str] = []
    told: list[str] = []
    opened = False
    for n, word in enumerate(words):
        for rest, ask, opens in vocabulary.asks.get(word, ()):
            inner = rest.split() if rest else []
            if words[n + 1 : n + 1 + len(inner)] == inner:
                found.append(ask)
                told += (word, *inner)
                opened = opened or (opens and (asked or n > 0))
    return found, told, opened
