"""Made when the base is compiled: which tests of which slot each clause of each condition holds, as bit masks.

Every clause is one bit. Of every slot stands here what its values do: which clauses an unknown value leaves open,
which a value lets stand. Read by `judging`, which judges all conditions together by or-ing one pair of masks a slot.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterable, Mapping, Sequence

from advisor.graph.conditions import Condition
from advisor.reasoning.clauses import Literal, clauses

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

OPPOSITE: Mapping[str, str] = {"above": "at_most", "at_most": "above", "below": "at_least", "at_least": "below"}
"""A comparison denied is the opposite comparison."""


class _Slot:
    """The masks of one slot while they are gathered."""

    def __init__(self) -> None:
        self.open = 0
        self.flags: dict[str, list[int]] = {"known": [0, 0], "told": [0, 0], "empty": [0, 0]}
        self.layers: dict[tuple[str, int], dict[Any, int]] = {}
        self.whole: dict[tuple[str, int], int] = {}
        self.limits: dict[str, dict[float, int]] = {}

    def add(self, literal: Literal, bit: int) -> None:
        """Put a test into the clause of a bit."""
        if literal.test in self.flags:
            wanted = bool(literal.operand) is not literal.denied
            self.flags[literal.test][wanted] |= bit
        elif literal.test in OPPOSITE:
            kind = OPPOSITE[literal.test] if literal.denied else literal.test
            of = self.limits.setdefault(kind, {})
            of[literal.operand] = of.get(literal.operand, 0) | bit
        else:
            kind = ("not-" if literal.denied else "") + literal.test
            layer = 0
            # a clause that tests a slot twice has its second test in a layer of its own: masks of a layer are joined
            while self.whole.get((kind, layer), 0) & bit:
                layer += 1
            self.whole[kind, layer] = self.whole.get((kind, layer), 0) | bit
            by = self.layers.setdefault((kind, layer), {})
            for value in literal.operand:
                by[value] = by.get(value, 0) | bit
        if literal.test not in ("known", "told"):
            self.open |= bit

    def written(self) -> dict[str, Any]:
        """As it stands in the compiled base."""
        return {
            "open": self.open,
            **{test: (no, yes) for test, (no, yes) in self.flags.items() if no or yes},
            # packed: most slots of most enquiries are silent and never need theirs
            "layers": marshal.dumps([[kind, self.whole[kind, n], by] for (kind, n), by in self.layers.items()]),
            "limits": marshal.dumps([[kind, sorted(of.items())] for kind, of in self.limits.items()]),
        }


def table_of(conditions: Sequence[Condition]) -> dict[str, Any]:
    """`starts`: the first bit of every condition (and the end); `slots`: the masks of every slot that they read."""
    slots: dict[str, _Slot] = {}
    starts = [0]
    for condition in conditions:
        at = starts[-1]
        for clause in clauses(condition):
            for literal in clause:
                slots.setdefault(literal.slot, _Slot()).add(literal, 1 << at)
            at += 1
        starts.append(at)
    return {"starts": starts, "slots": {name: slot.written() for name, slot in slots.items()}}


def judged_rules(sections: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The rules that do something beside filling silent slots, in the order in which they speak."""
    return [r for r in sections["rule"].values() if any(a["verb"] != "derive" for a in r["then"])]


def _conditions(rule: Mapping[str, Any]) -> Iterable[Condition]:
    yield rule["when"]
    for action in rule["then"]:
        if action["verb"] != "derive":
            yield from (action[key] for key in ("if", "unless") if key in action)


def judging_sections(sections: Mapping[str, Any]) -> dict[str, Any]:
    """The sections that `judging` reads: of the rules and the questions' own conditions, and of the derivations.

    `first` gives the number of a rule's first condition: its `when`; those of its actions follow, `if` before `unless`.
    `begins` its first clause. `bold` are the clauses of the `when` of rules that want it true, `wary` of those that
    speak while it is unknown too.
    """
    rules = judged_rules(sections)
    conditions: list[Condition] = []
    first: list[int] = []
    for rule in rules:
        first.append(len(conditions))
        conditions += _conditions(rule)
    first.append(len(conditions))
    decisions = [i for i, d in sections["decision"].items() if "relevant" in d]
    conditions += [sections["decision"][i]["relevant"] for i in decisions]
    table = table_of(conditions)
    starts: list[int] = table["starts"]
    bold = wary = 0
    for n, rule in enumerate(rules):
        # the clauses of its `when`
        whens = (1 << starts[first[n] + 1]) - (1 << starts[first[n]])
        if rule["if_unknown"] == "ignore":
            bold |= whens
        else:
            wary |= whens
    filling = [(r, a) for r in sections["rule"].values() for a in r["then"] if a["verb"] == "derive"]
    return {
        "judging": {
            **table,
            "rules": [r["id"] for r in rules],
            "bold": bold,
            "wary": wary,
            "begins": [starts[n] for n in first],
            "first": first,
            "decisions": decisions,
        },
        "deriving": {
            **table_of([["all", r["when"], a.get("if", ["all"])] for r, a in filling]),
            "fills": [[a["value"], a.get("text", r["text"])] for r, a in filling],
        },
    }
