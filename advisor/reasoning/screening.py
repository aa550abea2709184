"""Three-valued screening: which finishes are in, out or conditional, each with its reasons, and what is warned of.

Rules are judged twice: on what is known, and with the assumptions for silence. What holds only by assumption is marked
so, gives no warning, and cannot throw out what the customer ordered or wished.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from advisor.graph.conditions import Tri
from advisor.reasoning.checks import Check, built_in_checks
from advisor.reasoning.enquiry import UNKNOWN, Case, places
from advisor.reasoning.rulebase import Action, Rule, Rulebase


class Effect(NamedTuple):
    """One action of a rule that counts. `assumed`: it rests on an assumption; `pending`: on an unanswered question."""

    rule: str
    verb: str
    value: Any
    mask: int | None
    text: str
    severity: str
    to: str
    assumed: bool
    pending: bool
    because: tuple[str, ...]


class Screened(NamedTuple):
    """The outcome of screening, as masks over the finishes and the effects behind them.

    `by_place`: out because the place, or a rule on it, says that they do not last there.
    """

    out: int
    conditional: int
    weak: int
    out_by_assumption: int
    effects: tuple[Effect, ...]
    checks: tuple[Check, ...]
    refer: str
    truths: Mapping[str, tuple[Tri, Tri]]
    by_rule: Mapping[str, tuple[Effect, ...]]
    by_place: int

    def inside(self, everything: int) -> int:
        """The finishes that may be recommended."""
        return everything & ~self.out & ~self.conditional


SILENT: tuple[Tri, Tri] = (None, None)


def judge(rule: Rule, case: Case) -> tuple[Tri, Tri]:
    """Truth of a rule on what is known, and on what is known or assumed."""
    for slot in rule.needs:
        # a rule that is silent on the unknown, and needs a slot nobody filled, cannot speak
        if case.full.get(slot) in (None, UNKNOWN):
            return SILENT
    full = rule.when(case.full, case.told)
    if full is False and rule.if_unknown == "ignore":
        return False, False
    return rule.when(case.known, case.told), full


def may_speak(rule: Rule, truth: tuple[Tri, Tri]) -> bool:
    """Whether a rule of this truth has any effect."""
    return truth[1] is True or (truth[1] is None and rule.if_unknown != "ignore")


def screen(rules: Rulebase, case: Case) -> Screened:
    """Judge every rule and every finish."""
    return combine(rules, case, {r.id: judge(r, case) for r in rules.rules})


def combine(
    rules: Rulebase,
    case: Case,
    truths: Mapping[str, tuple[Tri, Tri]],
    before: Screened | None = None,
    touched: Iterable[Rule] = (),
) -> Screened:
    """The outcome for given truths of the rules. With `before`, only the effects of the touched rules are made anew."""
    if before is None:
        by_rule = {r.id: spoken for r in rules.rules if (spoken := tuple(_effects(r, truths[r.id], case)))}
    else:
        by_rule = dict(before.by_rule)
        for r in touched:
            made = tuple(_effects(r, truths[r.id], case))
            if made:
                by_rule[r.id] = made
            else:
                by_rule.pop(r.id, None)
    effects = tuple(e for group in by_rule.values() for e in group)
    protected = rules.mask_of(_listed(case.known.get("ordered"))) | rules.mask_of(
        _listed(case.known.get("finish_asked"))
    )
    out = rules.mask_of(_listed(case.known.get("exclude")))
    conditional = 0
    spared = 0
    by_assumption = 0
    refer = ""
    for e in effects:
        if e.verb == "refer":
            if not (e.assumed or e.pending) and refer != "stop":
                refer = e.value
        elif e.mask is None:
            continue
        elif e.verb == "exclude":
            if e.pending:
                conditional |= e.mask
            elif e.assumed:
                by_assumption |= e.mask & ~protected
                spared |= e.mask & protected
            else:
                out |= e.mask
        elif e.verb == "conditional":
            conditional |= e.mask
    none, weak, none_assumed = viability(rules, case, effects)
    kept_open = rules.kept_open & none_assumed
    conditional |= kept_open
    none_assumed &= ~kept_open
    by_place = none & ~none_assumed & ~kept_open
    out |= by_place
    by_place |= none_assumed & ~protected
    by_assumption |= none_assumed & ~protected
    spared |= none_assumed & protected
    named = rules.mask_of(_listed(case.known.get("named")))
    out |= rules.legacy & ~named
    weak |= rules.legacy & named
    sets = built_in_checks(rules, case)
    for c in sorted(sets, key=lambda x: x.yields):
        left = rules.everything & ~(out | by_assumption | conditional)
        removed = c.out
        if c.yields and not left & ~removed:
            # a life figure never takes the last finish away: it stays, with its years
            weak |= removed & left
            removed &= ~left
        if c.assumed:
            by_assumption |= removed & ~protected
            spared |= removed & protected
        else:
            out |= removed
        conditional |= c.conditional
        weak |= c.weak
    checks = tuple(x for c in sets for x in c.checks)
    weak |= spared
    gone = out | by_assumption
    assumed_out = by_assumption & ~out
    return Screened(
        gone, conditional & ~gone, weak & ~gone, assumed_out, effects, checks, refer, truths, by_rule, by_place
    )


def _effects(rule: Rule, truth: tuple[Tri, Tri], case: Case) -> Iterable[Effect]:
    known, full = truth
    pending = False
    if full is None:
        if rule.if_unknown == "ignore":
            return
        pending = rule.if_unknown == "ask"
    elif full is False:
        return
    fires_known = known is True or (known is None and full is None and rule.if_unknown == "apply")
    for a in rule.actions:
        holds = _action_holds(a, case)
        if holds is False or (holds is None and rule.if_unknown == "ignore"):
            continue
        yield Effect(
            rule.id,
            a.verb,
            a.value,
            a.mask,
            a.text,
            a.severity,
            a.to,
            not fires_known and not pending,
            pending or (holds is None and rule.if_unknown == "ask"),
            rule.because,
        )


def _action_holds(action: Action, case: Case) -> Tri:
    holds: Tri = True
    if action.condition is not None:
        holds = action.condition(case.full, case.told)
        if holds is False:
            return False
    if action.exception is not None:
        lifted = action.exception(case.full, case.told)
        if lifted is True:
            return False
        # an exception that is not known to hold does not lift a rule
    return holds


def viability(rules: Rulebase, case: Case, effects: Iterable[Effect]) -> tuple[int, int, int]:
    """(not viable, weak, not viable by assumption only) for the places of the case, with the rules' overrides."""
    environment = _listed(case.full.get("environment"))
    told_temperature = case.is_told("temperature_c")
    listed = [e for e in places(rules.base, environment) if not (e == "high-temperature" and told_temperature)]
    told_places = set(_listed(case.known.get("environment")))
    overrides: list[tuple[frozenset[str], str, int]] = []
    for e in effects:
        if e.verb == "viability" and not e.pending:
            overrides.append((rules.by_id[e.rule].places, e.value, rules.everything if e.mask is None else e.mask))
    none = weak = none_assumed = 0
    for place in listed:
        n, w = rules.none_in.get(place, 0), rules.weak_in.get(place, 0)
        good_by = weak_by = none_by = 0
        for named, value, mask in overrides:
            if named and place not in named:
                continue
            if value == "good":
                good_by |= mask
            elif value == "weak":
                weak_by |= mask
            else:
                none_by |= mask
        touched = good_by | weak_by | none_by
        n = (n & ~touched) | none_by
        w = (w & ~touched) | (weak_by & ~none_by)
        if place in told_places:
            none |= n
        else:
            none_assumed |= n
        weak |= w
    return none | none_assumed, weak & ~(none | none_assumed), none_assumed & ~none


def _listed(value: Any) -> list[Any]:
    if value is None or value == UNKNOWN:
        return []
    return list(value) if isinstance(value, (list, tuple)) else [value]
