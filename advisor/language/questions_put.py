"""What a line asks of the adviser outright: the questions it puts, and what they are about.

The words of a question stand apart ("can I have them hot dipped"), so they are looked for one by one, beside
the reading of facts and without touching it; which of them together make an answer is for the rules of the answers.
"""

from __future__ import annotations

from advisor.language.line import Line, asked_words
from advisor.language.vocabulary import Vocabulary


def questions_put(line: Line, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The ids of all questions and subjects in a line, in their order; none where nothing in it opens a question.

    >>> from advisor.language.line import normalise
    >>> from advisor.language.wordbook import build_vocabulary
    >>> asks = {"asks-may": {"words": ["can i", "ok?"], "opens": True}, "asks-bake": {"words": ["bake"]}}
    >>> v = Vocabulary.load(build_vocabulary({"ask": asks}))
    >>> questions_put(normalise("Can I bake them?", {}), v), questions_put(normalise("bake them", {}), v)
    (('asks-may', 'asks-bake'), ())
    """
    words = asked_words(line)
    found: dict[str, None] = {}
    opened = False
    for n, word in enumerate(words):
        for rest, ask, opens in vocabulary.asks.get(word, ()):
            inner = rest.split() if rest else []
            if words[n + 1 : n + 1 + len(inner)] == inner:
                found[ask] = None
                opened = opened or opens
    return tuple(found) if opened else ()
