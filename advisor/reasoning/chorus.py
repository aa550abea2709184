"""What all rules say together in one state of their conditions: joined once, and kept in step when few speak otherwise.

Screening, ranking and cautions read the joined masks and short lists here instead of going through every rule. When an
answer is tried, only what the changed rules have a share in is joined anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.graph.nodes_of_use import BEARABLE
from advisor.reasoning.spoken import ALARMS, BEARS, OVERRIDES, WEIGHS, Spoken, Warned

TYPE_CHECKING = False
if TYPE_CHECKING:
    Voice = tuple[int, Spoken]
    """The number of a rule and what it says."""


class Chorus:
    """What the rules say that speak, in the order of the rules, and what it comes to."""

    __slots__ = (
        "_alarming",
        "_bearing",
        "_by_rule",
        "_origin",
        "_overriding",
        "assumed",
        "conditional",
        "due",
        "favouring",
        "favours",
        "out",
        "overriding",
        "reasoned",
        "refer",
        "tied",
        "weighing",
    )

    def __init__(self, by_rule: Mapping[int, Spoken]) -> None:
        self._by_rule: Mapping[int, Spoken] | None = by_rule
        self._origin: tuple[Chorus, Mapping[int, Spoken | None]] | None = None
        said = by_rule.items()
        self._bear([v for v in said if v[1].kinds & BEARS])
        self._weigh([v for v in said if v[1].kinds & WEIGHS])
        self._override([v for v in said if v[1].kinds & OVERRIDES])
        self._alarm([v for v in said if v[1].kinds & ALARMS])

    @property
    def by_rule(self) -> Mapping[int, Spoken]:
        """What each rule says that speaks, by its number, in their order."""
        if self._origin is not None:
            # made late: a trial is judged without it
            before, changes = self._origin
            after: dict[int, Spoken | None] = {**before.by_rule, **changes}
            self._by_rule = {n: s for n, s in sorted(after.items()) if s is not None}
            self._origin = None
        return self._by_rule or {}

    def __eq__(self, other: object) -> bool:
        """The same rules say the same: a talk told again ends in the same place."""
        return isinstance(other, Chorus) and (self is other or dict(self.by_rule) == dict(other.by_rule))

    __hash__ = None  # type: ignore[assignment]

    def _bear(self, bearing: list[Voice]) -> None:
        """What takes finishes away or hands over."""
        self._bearing = bearing
        self.out = self.assumed = self.conditional = 0
        self.refer = ""
        for _, s in bearing:
            self.out |= s.out
            self.conditional |= s.conditional
            self.assumed |= s.out_by_assumption
            if s.refer and self.refer != "stop":
                self.refer = s.refer

    def _weigh(self, weighing: list[Voice]) -> None:
        """What speaks for or against finishes; in the order of the rules, for sums of fractions hang on it."""
        self.weighing = weighing
        self.favouring = frozenset([s for _, s in weighing])
        self.favours = [f for _, s in weighing for f in s.favours]
        self.reasoned = 0
        for mask, value in self.favours:
            if value > 0 and value != BEARABLE:
                self.reasoned |= mask

    def _override(self, overriding: list[Voice]) -> None:
        """What is said of how finishes last in a place."""
        self._overriding = overriding
        self.overriding = tuple([s for _, s in overriding])

    def _alarm(self, alarming: list[Voice]) -> None:
        """What is warned of beyond notes: whatever is shown (`due`, worst by topic), or with some finishes (`tied`)."""
        self._alarming = alarming
        alarms = [a for _, s in alarming for a in s.alarms]
        self.due = worst_of([a for a in alarms if a.mask is None], {})
        self.tied = [a for a in alarms if a.mask is not None]

    def only_warns_otherwise(self, before: Chorus) -> bool:
        """Whether it says the same of every finish as the chorus that it was made from."""
        return (
            self._bearing is before._bearing
            and self.weighing is before.weighing
            and self._overriding is before._overriding
        )

    def changed(self, changes: Mapping[int, Spoken | None]) -> Chorus:
        """The chorus when some rules say something else, or nothing (None)."""
        new = Chorus.__new__(Chorus)
        new._by_rule, new._origin = None, (self, changes)
        before = self.by_rule
        kinds = 0
        for n, now in changes.items():
            kinds |= now.kinds if now is not None else 0
            kinds |= before[n].kinds if n in before else 0
        come = [(n, s) for n, s in changes.items() if s is not None]
        if kinds & BEARS:
            new._bear(_exchanged(self._bearing, changes, come, BEARS))
        else:
            new._bearing, new.refer = self._bearing, self.refer
            new.out, new.assumed, new.conditional = self.out, self.assumed, self.conditional
        if kinds & WEIGHS:
            new._weigh(_exchanged(self.weighing, changes, come, WEIGHS))
        else:
            new.weighing, new.favouring = self.weighing, self.favouring
            new.favours, new.reasoned = self.favours, self.reasoned
        if kinds & OVERRIDES:
            new._override(_exchanged(self._overriding, changes, come, OVERRIDES))
        else:
            new._overriding, new.overriding = self._overriding, self.overriding
        if kinds & ALARMS:
            new._alarm(_exchanged(self._alarming, changes, come, ALARMS))
        else:
            new._alarming, new.due, new.tied = self._alarming, self.due, self.tied
        return new


def worst_of(alarms: Iterable[Warned], begun: Mapping[str, str]) -> dict[str, str]:
    """The worst severity of each topic, on top of those begun with.

    >>> worst_of([Warned(None, "heat", "stop"), Warned(None, "heat", "warn")], {"zinc": "warn"})
    {'zinc': 'warn', 'heat': 'stop'}
    """
    worst = dict(begun)
    for _, topic, severity in alarms:
        if severity == "stop" or topic not in worst:
            worst[topic] = severity
    return worst


def _exchanged(voices: list[Voice], changes: Mapping[int, Spoken | None], come: list[Voice], kind: int) -> list[Voice]:
    """The voices of one kind with those that changed exchanged, in the order of the rules."""
    out = [v for v in voices if v[0] not in changes]
    stayed = len(out)
    out += [v for v in come if v[1].kinds & kind]
    if len(out) > stayed:
        out.sort(key=_number)
    return out


def _number(voice: Voice) -> int:
    return voice[0]
