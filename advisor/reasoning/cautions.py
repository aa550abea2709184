"""Which cautions are shown: of rules that hold, tied to what is shown or named, once a topic, the most severe form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.reasoning.case import Case
from advisor.reasoning.chorus import worst_of
from advisor.reasoning.rulebase import Rulebase
from advisor.reasoning.screening import Screened
from advisor.reasoning.spoken import Effect
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

SEVERITY = ("note", "warn", "stop")
MOST_JOINED = 2
"""Texts joined under one topic; more would not be read."""


class RaisedCaution(NamedTuple):
    """A caution to show: the node, its topic, the severity here, the text, and the facts and rules behind it."""

    id: str
    topic: str
    severity: str
    text: str
    cites: tuple[str, ...]
    rules: tuple[str, ...]
    mask: int
    brief: str


def cautions(rules: Rulebase, case: Case, screened: Screened, shown_mask: int) -> tuple[RaisedCaution, ...]:
    """The cautions of a case, the most severe first.

    A warning tied to finishes shows when one of their families is shown (recommended or conditional) or named; one that
    rests on an assumption only is silent.
    """
    by_topic: dict[str, list[tuple[Effect, str]]] = {}
    for topic, severity, e in _due(rules, case, screened, shown_mask):
        by_topic.setdefault(topic, []).append((e, severity))
    out = [_joined(rules, topic, found) for topic, found in by_topic.items()]
    out.sort(key=lambda c: -SEVERITY.index(c.severity))
    return tuple(out)


def stern(rules: Rulebase, case: Case, screened: Screened, shown_mask: int) -> frozenset[tuple[str, str]]:
    """(topic, severity) of the cautions that are more than notes; the quick form for comparing answers."""
    visible = _visible(rules, case, shown_mask)
    chorus = screened.chorus
    # those tied to finishes have masks all
    return frozenset(worst_of([a for a in chorus.tied if a[0] & visible], chorus.due).items())  # type: ignore[operator]


def _visible(rules: Rulebase, case: Case, shown_mask: int) -> int:
    """The finishes shown or named."""
    named = case.known.get("named")
    return shown_mask | rules.mask_of(named if isinstance(named, list) else [])


def _due(rules: Rulebase, case: Case, screened: Screened, shown_mask: int) -> Iterator[tuple[str, str, Effect]]:
    visible = _visible(rules, case, shown_mask)
    nodes = rules.base.kind("caution")
    for e in (e for s in screened.said if s.warns for e in s.effects):
        if e.verb != "warn" or e.assumed or (e.mask is not None and not (e.mask & visible)):
            continue
        node = nodes.get(str(e.value))
        if node is not None:
            yield node["topic"], e.severity or node["severity"], e


def _joined(rules: Rulebase, topic: str, found: Iterable[tuple[Effect, str]]) -> RaisedCaution:
    """One caution for a topic: the texts of its nodes joined, most severe first, each once."""
    nodes = rules.base.kind("caution")
    ordered = sorted(found, key=lambda x: -SEVERITY.index(x[1]))
    ids = list(dict.fromkeys(str(e.value) for e, _ in ordered))
    ids = ids[:MOST_JOINED]
    texts = [nodes[i]["text"] for i in ids]
    if "do" in nodes[ids[0]]:
        texts.insert(1, nodes[ids[0]]["do"])
    cites = [f for i in ids for f in nodes[i].get("because", ())]
    for e, _ in ordered:
        cites.extend(e.because)
    mask = 0
    for e, _ in ordered:
        mask |= rules.everything if e.mask is None else e.mask
    return RaisedCaution(
        ids[0],
        topic.removeprefix("topic-"),
        ordered[0][1],
        " ".join(dict.fromkeys(texts)),
        tuple(dict.fromkeys(cites)),
        tuple(dict.fromkeys(e.rule for e, _ in ordered)),
        mask,
        _brief(ordered[0][1], nodes[ids[0]]),
    )


def _brief(severity: str, node: Mapping[str, Any]) -> str:
    """The first node alone: with what to do for a warning, its first sentence for a note."""
    text = str(node["text"])
    if severity != "note":
        return f"{text} {node['do']}" if "do" in node else text
    end = text.find(". ")
    return text if end < 0 else text[: end + 1]
