"""Finds the nodes that words speak of: an inverted index over the cards, made when the base is compiled."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from advisor.expressions import expression
from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_WORD = expression(r"[a-z]+[0-9]+(?:[-.][0-9]+)*|[0-9]+(?:\.[0-9]+)*|[a-zäöüßéèáíóúñ]+")
SHORT = 4
"""Words of so many letters are too common among slips to be taken for a name."""
KINDS_FOUND = (
    "finish",
    "family",
    "fact",
    "caution",
    "source",
    "exposure",
    "strength",
    "table",
    "rule",
    "decision",
    "topic",
)


class FoundNode(NamedTuple):
    """One hit: the node and how well the words fit it."""

    id: str
    score: float


def tokens(text: str) -> list[str]:
    """The words of a text for the index; a plural s is dropped so that bolt finds bolts.

    >>> tokens("Bolts of class 10.9, A2-70")
    ['bolt', 'of', 'clas', '10.9', 'a2-70']
    """
    return [
        w[:-1] if len(w) > 3 and w.endswith("s") and w.isalpha() else w
        for w in _WORD.findall(text.lower().replace("-", "-"))
    ]


def build_index(sections: Mapping[str, Any]) -> dict[str, Any]:
    """The sections of the index over every findable node.

    `says`: phrase -> nodes; `documents`: node ids; `postings`: word -> [[document, weight], …].
    """
    names: dict[str, list[str]] = {}
    says: dict[str, list[str]] = {}
    known = {i for kind in KINDS_FOUND for i in sections[kind]}
    for term in sections["term"].values():
        for target in _targets(term):
            names.setdefault(target, []).extend(term["say"])
            if target in known:
                for say in term["say"]:
                    says.setdefault(" ".join(tokens(say)), []).append(target)
    documents: list[str] = []
    postings: dict[str, list[list[float]]] = {}
    for kind in KINDS_FOUND:
        for node_id, d in sections[kind].items():
            n = len(documents)
            documents.append(node_id)
            weights: dict[str, float] = {}
            for w in tokens(node_id.replace("-", " ")) + tokens(" ".join(names.get(node_id, ()))):
                weights[w] = max(weights.get(w, 0.0), 2.0)
            for w in tokens(str(d.get("name", d.get("title", "")))):
                weights[w] = max(weights.get(w, 0.0), 3.0)
            for w in tokens(_body(d)):
                weights[w] = weights.get(w, 0.0) + (0.0 if weights.get(w, 0.0) >= 2 else 1.0)
            worth = _kind_worth(kind) / math.sqrt(10 + len(weights))
            for w, weight in weights.items():
                postings.setdefault(w, []).append([n, round(min(weight, 4.0) * worth, 4)])
    return {"says": says, "documents": documents, "postings": postings}


def _kind_worth(kind: str) -> float:
    return {"family": 1.6, "finish": 1.1, "caution": 1.25, "fact": 1.0, "exposure": 1.1, "strength": 1.1}.get(kind, 0.8)


def _targets(term: Mapping[str, Any]) -> Iterable[str]:
    if "names" in term:
        yield term["names"]
    value = term.get("value")
    for v in value if isinstance(value, list) else [value]:
        if isinstance(v, str):
            yield v.lower()


def _body(d: Mapping[str, Any]) -> str:
    parts = [
        str(d.get(k, ""))
        for k in (
            "text",
            "title",
            "do",
            "note",
            "grade",
            "passivation",
            "head_mark",
            "where",
            "when",
            "edition",
            "unit",
        )
    ]
    parts.extend(x["write"] for x in d.get("designations", ()))
    if isinstance(d.get("value"), str):
        parts.append(d["value"])
    return " ".join(parts)


def find(base: Base, words: str, limit: int = 8, kinds: Iterable[str] = ()) -> list[FoundNode]:
    """The best-fitting nodes for words, best first; a misspelt word counts as its nearest neighbour in the index.

    Score: sum over the words of weight times rarity (inverse document frequency), lifted when all words occur.
    """
    documents: list[str] = base.section("documents")
    postings: Mapping[str, list[list[float]]] = base.section("postings")
    asked = list(dict.fromkeys(tokens(words)))
    scores: dict[int, float] = {}
    hits: dict[int, int] = {}
    for w in asked:
        found = postings.get(w)
        worth = 1.0
        if found is None:
            near = _near(w, postings)
            if near is None:
                continue
            found, worth = postings[near], 0.8
        rarity = math.log(1 + len(documents) / len(found))
        for n, weight in found:
            i = int(n)
            scores[i] = scores.get(i, 0.0) + weight * rarity * rarity * worth
            hits[i] = hits.get(i, 0) + 1
    wanted = frozenset(kinds)
    ranked = sorted(
        ((s * (hits[i] / max(1, len(asked))) ** 0.5, -i) for i, s in scores.items()),
        reverse=True,
    )
    out = [FoundNode(documents[-i], s) for s, i in ranked]
    # a phrase that people use for a node finds that node first
    meant = base.section("says").get(" ".join(tokens(words)), ())
    out = [*(FoundNode(i, 100.0) for i in dict.fromkeys(meant)), *(f for f in out if f.id not in meant)]
    if wanted:
        out = [f for f in out if base.kind_of(f.id) in wanted]
    return out[:limit]


COVERED = 0.6
"""From this share of the rarity of its words on, a node is what was looked for and not only the nearest."""


def answers_to(base: Base, words: str) -> bool:
    """Whether there is a node for words: one that people call so, or one that holds what is particular about them."""
    asked = list(dict.fromkeys(tokens(words)))
    if base.section("says").get(" ".join(asked)):
        return True
    found = find(base, words, 1)
    if not found:
        return False
    documents, postings = base.section("documents"), base.section("postings")
    worth = {w: math.log(1 + len(documents) / len(postings.get(w, "."))) for w in asked}
    held = sum(x for w, x in worth.items() if any(documents[int(n)] == found[0].id for n, _ in postings.get(w, ())))
    return held >= COVERED * sum(worth.values())


def strangers(base: Base, words: Iterable[str]) -> tuple[str, ...]:
    """The words that stand nowhere in the knowledge, nor anything like them: names that it does not hold.

    Words with figures are sizes and codes; short ones are slips.
    """
    postings: Mapping[str, Any] = base.section("postings")
    out = [w for w in words if w.isalpha() and len(w) > SHORT and not {*tokens(w)} & postings.keys()]
    return tuple(w for w in out if _near(w.lower(), postings) is None)


def _near(word: str, postings: Mapping[str, Any]) -> str | None:
    if len(word) < 4 or any(c.isdigit() for c in word):
        return None
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    most = 1 if len(word) < 8 else 2
    close = [w for w in postings if abs(len(w) - len(word)) <= most and w[:1] == word[:1]]
    hit = process.extractOne(word, close, scorer=OSA.distance, score_cutoff=most)
    return hit[0] if hit else None
