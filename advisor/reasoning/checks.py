"""The checks that compare a demand with a figure of each finish: temperature, life at the site, salt-spray hours.

The finishes stand in the order of their figure, so that a demand is compared with all of them by one search; the
sentence for a finish is made when it is shown. Each check speaks with the voice of a rule of the knowledge (named by
role), so that its reason and its citations are knowledge, not code.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping

from advisor.reasoning.case import Case, classes_of
from advisor.reasoning.remembered import Remembered
from advisor.reasoning.rulebase import Rulebase
from advisor.records import NamedTuple
from advisor.trade.zinc_life import LifeTable

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

MEMORY_STRIP_C = 50.0
"""A limit that is only recalled excludes from this far above its figure; in between the finish is conditional."""
COOL_C = 60.0
"""Up to here no coat has a limit."""


class Check(NamedTuple):
    """One comparison for one finish: `outcome` is out, weak or conditional; phrase and values give the reason."""

    rule: str
    mask: int
    outcome: str
    phrase: str
    values: Mapping[str, object]
    cites: tuple[str, ...]


class CheckSet(NamedTuple):
    """The outcome of one demand for all finishes as masks.

    `assumed`: the demand or the place was not told. `yields`: the last family left stays as weak (a life figure never
    empties the list). `about` makes the check of one finish.
    """

    rule: str
    out: int
    conditional: int
    weak: int
    assumed: bool
    yields: bool
    about: Callable[[str], Check]

    @property
    def mask(self) -> int:
        """The finishes of which the check says something."""
        return self.out | self.conditional | self.weak

    def outcome(self, bit: int) -> str:
        """What it says of a finish."""
        return "out" if self.out & bit else "conditional" if self.conditional & bit else "weak"


class Rising:
    """Finishes in the order of a figure: those whose figure lies below a number are one joined mask.

    >>> r = Rising([(5.0, 0b001), (8.0, 0b010), (3.0, 0b100)])
    >>> [bin(r.below(x)) for x in (3.0, 5.1, 9.0)]
    ['0b0', '0b101', '0b111']
    """

    def __init__(self, figures: Iterable[tuple[float, int]]) -> None:
        ordered = sorted(figures)
        self._at = [figure for figure, _ in ordered]
        self._joined = [0]
        for _, mask in ordered:
            self._joined.append(self._joined[-1] | mask)
        self.whole = self._joined[-1]

    def below(self, number: float) -> int:
        """The finishes whose figure is less than a number."""
        return self._joined[bisect_left(self._at, number)]


class Checks:
    """The demands that a case can hold, compared with the figures of a base."""

    MOST_KEPT = 200

    def __init__(self, rules: Rulebase) -> None:
        self._rules = rules
        self._made: dict[str, Rising] = {}
        self._lives: Remembered[tuple[str, ...], tuple[Rising, Rising]] = Remembered(self.MOST_KEPT)
        self._kept: Remembered[object, CheckSet | None] = Remembered(self.MOST_KEPT)

    READS = frozenset(
        ("temperature_c", "life_years", "corrosivity", "environment", "salt_spray_hours", "rust", "diameter_mm")
    )
    """The slots that demand something of the figures, or say how much."""

    def of(self, case: Case) -> tuple[CheckSet, ...]:
        """All checks that say something about a case."""
        known, full = case.known, case.full
        heat = full.get("temperature_c")
        if isinstance(heat, list) and heat:
            heat = heat[-1]
        found = (
            self._asked(self._temperature, heat, case.is_told("temperature_c")),
            self._asked(self._life, full.get("life_years"), classes_of(case), _place_told(case)),
            self._asked(
                self._salt_spray,
                known.get("salt_spray_hours"),
                full.get("rust") == "white",
                _number(known.get("diameter_mm")),
            ),
        )
        return tuple(c for c in found if c is not None)

    def _asked(self, make: Callable[..., CheckSet], demand: Any, *rest: Any) -> CheckSet | None:
        """The outcome of a demand, compared once and remembered; None where there is none or it says nothing."""
        number = _number(demand)
        if number is None:
            return None
        key = (make.__name__, number, *rest)
        if key not in self._kept:
            made = make(number, *rest)
            self._kept[key] = made if made.mask else None
        return self._kept[key]

    def _rising(self, quantity: str, end: int, more: float = 0.0, basis: str = "") -> Rising:
        """Finishes by the low (1) or high (2) end of a figure, plus something, of all or of the figures of a basis."""
        name = f"{quantity} {end} {more} {basis}"
        if name not in self._made:
            figure = self._rules.figure
            self._made[name] = Rising(
                (f[end] + more, mask)
                for finish, mask in self._rules.bit.items()
                if (f := figure(finish, quantity)) is not None and (not basis or f[3] == basis)
            )
        return self._made[name]

    def _temperature(self, temperature: float, told: bool) -> CheckSet:
        rules = self._rules
        if temperature <= COOL_C:
            return _nothing()
        over = self._rising("temperature_limit_c", 1).below(temperature)
        recalled = self._rising("temperature_limit_c", 1, basis="memory").whole
        out = (over & ~recalled) | self._rising("temperature_limit_c", 1, MEMORY_STRIP_C, "memory").below(temperature)
        weak = self._rising("temperature_ok_c", 1).below(temperature) & ~over

        def about(finish: str) -> Check:
            bit = rules.bit[finish]
            limit = rules.figure(finish, "temperature_ok_c" if weak & bit else "temperature_limit_c")
            phrase = "say-too-hot" if out & bit else "say-hot" if weak & bit else "say-limit-recalled"
            values = {"limit": f"{limit[1]:g}", "temperature": f"{temperature:g}"}
            return Check(rule, bit, found.outcome(bit), phrase, values, (limit[0],))

        rule = rules.role("check-temperature")
        found = CheckSet(rule, out, over & ~out, weak, not told, False, about)
        return found

    def _life(self, wanted: float, classes: tuple[str, ...], place_told: bool) -> CheckSet:
        rules = self._rules
        if classes not in self._lives:
            years = [
                (life, mask) for f, mask in rules.bit.items() if (life := rules.life.years(f, classes)) is not None
            ]
            self._lives[classes] = Rising((y.low, m) for y, m in years), Rising((y.high, m) for y, m in years)
        low, high = self._lives[classes]
        out = high.below(wanted)

        def about(finish: str) -> Check:
            bit = rules.bit[finish]
            life = rules.life.years(finish, classes)
            if life is None:
                raise KeyError(finish)
            phrase = "say-life-short" if out & bit else "say-life-tight"
            values = {"low": LifeTable.shown(life.low), "high": LifeTable.shown(life.high), "wanted": f"{wanted:g}"}
            return Check(rule, bit, found.outcome(bit), phrase, values, life.cites)

        rule = rules.role("check-life")
        found = CheckSet(rule, out, 0, low.below(wanted) & ~out, not place_told, True, about)
        return found

    def _salt_spray(self, hours: float, white: bool, diameter_mm: float | None) -> CheckSet:
        rules = self._rules
        kind = "white" if white else "red"
        usual, pushed = f"salt_spray_{kind}_h", f"salt_spray_{kind}_push_h"
        reach = self._rising(usual, 2)
        short = reach.below(hours)
        # where the coater can push further, only more than that is too much
        can_push = self._rising(pushed, 2)
        out = short & (~can_push.whole | can_push.below(hours))
        open_still = short & ~out
        no_room = reach.whole & ~short & rules.too_thick(diameter_mm)

        def about(finish: str) -> Check:
            bit = rules.bit[finish]
            limit, push = rules.figure(finish, usual), rules.figure(finish, pushed)
            most = max(limit[2], push[2] if push is not None else 0)
            phrase = (
                "say-hours-short"
                if out & bit
                else "say-hours-by-agreement"
                if open_still & bit
                else "say-hours-need-room"
            )
            values = {"reach": f"{limit[2]:g}", "push": f"{most:g}", "wanted": f"{hours:g}", "rust": kind}
            cites = (limit[0],) if push is None or out & bit else (limit[0], push[0])
            return Check(rule, bit, found.outcome(bit), phrase, values, cites)

        rule = rules.role("check-salt-spray")
        found = CheckSet(rule, out, open_still | no_room, 0, False, False, about)
        return found


def checks_on(sets: Iterable[CheckSet], rules: Rulebase, mask: int) -> Iterator[Check]:
    """The checks of the finishes in a mask, one by one."""
    for c in sets:
        for finish in rules.members(c.mask & mask):
            yield c.about(finish)


def _nothing() -> CheckSet:
    def about(finish: str) -> Check:
        raise KeyError(finish)

    return CheckSet("", 0, 0, 0, False, False, about)


def _place_told(case: Case) -> bool:
    return case.is_told("environment") or case.is_told("corrosivity")


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None
