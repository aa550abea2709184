"""Three-valued screening: which finishes are in, out or conditional, each with its reasons, and what is warned of.

Rules are judged twice: on what is known, and with the assumptions for silence. What holds only by assumption is marked
so, gives no warning, and cannot throw out what the customer ordered or wished.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from advisor.reasoning.case import Case
from advisor.reasoning.checks import CheckSet
from advisor.reasoning.chorus import Chorus
from advisor.reasoning.enquiry import listed
from advisor.reasoning.in_play import InPlay, Made
from advisor.reasoning.places import Places
from advisor.reasoning.rulebase import Rulebase
from advisor.reasoning.spoken import Effect, Spoken
from advisor.records import NamedTuple


class Screened(NamedTuple):
    """The outcome of screening, as masks over the finishes, and what the rules and checks said.

    `by_place`: out because the place, or a rule on it, says that they do not last there. `silent`: not in play, or
    outlived by enough others, and so not spoken of.
    """

    out: int
    conditional: int
    weak: int
    out_by_assumption: int
    by_place: int
    refer: str
    chorus: Chorus
    checks: tuple[CheckSet, ...]
    silent: int
    play: InPlay

    @property
    def said(self) -> Iterable[Spoken]:
        """What every rule says that speaks, in the order of the rules."""
        return self.chorus.by_rule.values()

    @property
    def effects(self) -> tuple[Effect, ...]:
        """Every effect of every rule that spoke, in the order of the rules."""
        return tuple(e for s in self.said for e in s.effects)

    def inside(self, everything: int) -> int:
        """The finishes that may be recommended."""
        return self.allowed(everything) & ~self.silent

    def allowed(self, everything: int) -> int:
        """The finishes that nothing takes away, spoken of or not."""
        return everything & ~(self.out | self.conditional)


def combine(
    rules: Rulebase, places: Places, case: Case, chorus: Chorus, checks: tuple[CheckSet, ...], made: Made
) -> Screened:
    """The outcome for what the rules and the checks say of a case, of finishes that are made as the part."""
    known = case.known
    protected = rules.mask_of(known.get("ordered")) | rules.mask_of(known.get("finish_asked"))
    out = rules.mask_of(known.get("exclude")) | chorus.out
    conditional, assumed = chorus.conditional, chorus.assumed
    none, weak, none_assumed = viability(rules, places, case, chorus)
    kept_open = rules.kept_open & none_assumed
    conditional |= kept_open
    none_assumed &= ~kept_open
    assumed |= none_assumed
    by_place = none & ~none_assumed & ~kept_open
    out |= by_place
    by_place |= none_assumed & ~protected
    # what rests on an assumption cannot throw out what is ordered or wished: that stays, as weak
    by_assumption = assumed & ~protected
    weak |= assumed & protected
    named = rules.mask_of(known.get("named"))
    out |= rules.legacy & ~named
    weak |= rules.legacy & named
    play = rules.offers.of(made, chorus.reasoned, named, rules.everything & ~(out | by_assumption))
    out |= play.unmade
    for c in sorted(checks, key=lambda c: c.yields) if checks else ():
        left = rules.everything & ~(out | by_assumption | conditional | play.silent)
        removed = c.out
        if c.yields and not left & ~removed:
            # a life figure never takes the last finish away: it stays, with its years
            weak |= removed & left
            removed &= ~left
        if c.assumed:
            by_assumption |= removed & ~protected
            weak |= removed & protected
        else:
            out |= removed
        conditional |= c.conditional
        weak |= c.weak
    gone = out | by_assumption
    silent = play.silent | _outlived(rules, weak & ~named, rules.everything & ~(gone | conditional | play.silent))
    return Screened(
        gone,
        conditional & ~(gone | silent),
        weak & ~gone,
        by_assumption & ~out,
        by_place,
        chorus.refer,
        chorus,
        checks,
        silent,
        play,
    )


ENOUGH_THAT_LAST = 2
"""From so many families that last in a place on, those that barely do are not spoken of."""


def _outlived(rules: Rulebase, weak: int, inside: int) -> int:
    """The finishes that barely last, where enough others last."""
    return weak if weak and rules.has_families(inside & ~weak, ENOUGH_THAT_LAST) else 0


def viability(rules: Rulebase, places: Places, case: Case, chorus: Chorus) -> tuple[int, int, int]:
    """(not viable, weak, not viable by assumption only) for the places of the case, with the rules' overrides."""
    places_told, places_all = listed(case.known.get("environment")), listed(case.full.get("environment"))
    told_temperature = case.is_told("temperature_c")
    key = (told_temperature, tuple(places_told), tuple(places_all), chorus.overriding)
    found = rules.viable.get(key)
    if found is None:
        counted = [p for p in places.counted(places_all) if not (told_temperature and p == "high-temperature")]
        found = rules.viable[key] = _viable(rules, counted, places_told, chorus.overriding)
    return found


def _viable(
    rules: Rulebase, counted: Iterable[str], told: Collection[str], speakers: tuple[Spoken, ...]
) -> tuple[int, int, int]:
    """As viability, for the places that count."""
    none = weak = none_assumed = 0
    for place in counted:
        n, w = _lasting(rules, place, speakers)
        if place in told:
            none |= n
        else:
            none_assumed |= n
        weak |= w
    return none | none_assumed, weak & ~(none | none_assumed), none_assumed & ~none


def _lasting(rules: Rulebase, place: str, speakers: tuple[Spoken, ...]) -> tuple[int, int]:
    """(not viable, weak) in one place, after what the rules say of it; remembered, most answers leave it as it was."""
    key = (place, speakers)
    found = rules.lasting.get(key)
    if found is None:
        good_by = weak_by = limited_by = none_by = 0
        for named, value, mask in (o for s in speakers for o in s.overrides):
            if named and place not in named:
                continue
            if value == "good":
                good_by |= mask
            elif value == "weak":
                weak_by |= mask
            elif value == "limited":  # no better than weak, but what does not last in the place is not lifted
                limited_by |= mask
            else:
                none_by |= mask
        n, w = rules.none_in.get(place, 0), rules.weak_in.get(place, 0)
        weak = (w & ~(good_by | none_by)) | (weak_by & ~none_by) | limited_by
        found = (n & ~(good_by | weak_by)) | none_by, weak
        rules.lasting[key] = found
    return found
