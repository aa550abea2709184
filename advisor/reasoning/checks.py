"""The checks that compare a demand with a figure of each finish: temperature, life at the site, salt-spray hours.

Each check speaks with the voice of a rule of the knowledge (its id is named by role in the `weights` node `checks`), so
that its reason and its citations are knowledge, not code.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from advisor.reasoning.enquiry import UNKNOWN, Case
from advisor.reasoning.rulebase import Rulebase
from advisor.trade.zinc_life import LifeTable

MEMORY_STRIP_C = 50.0
"""A limit that is only recalled excludes from this far above its figure; in between the finish is conditional."""


class Check(NamedTuple):
    """Outcome of one comparison for one finish: `outcome` is out, weak or conditional.

    `yields`: the last family left stays as weak (a life figure never empties the list). `figures` are the numbers to
    put into the reason: (phrase id, values).
    """

    rule: str
    mask: int
    outcome: str
    phrase: str
    values: Mapping[str, object]
    cites: tuple[str, ...]
    assumed: bool = False
    yields: bool = False


class CheckSet(NamedTuple):
    """The checks of one kind with their masks put together."""

    checks: tuple[Check, ...]
    out: int
    conditional: int
    weak: int
    assumed: bool
    yields: bool


def built_in_checks(rules: Rulebase, case: Case) -> tuple[CheckSet, ...]:
    """All checks that say something about this case; the same demand is compared once and remembered."""
    out: list[CheckSet] = []
    for make, key in (
        (_temperature, (case.full.get("temperature_c"), case.is_told("temperature_c"))),
        (_life, (case.full.get("life_years"), _classes(case), _place_told(case))),
        (_salt_spray, (case.known.get("salt_spray_hours"), case.full.get("rust"), case.known.get("diameter_mm"))),
    ):
        if key[0] in (None, UNKNOWN):
            continue
        kept = rules.remembered.setdefault(make.__name__, {})
        hashable = tuple(tuple(x) if isinstance(x, list) else x for x in key)
        if hashable not in kept:
            if len(kept) > 200:
                kept.clear()
            kept[hashable] = _gathered(tuple(make(rules, case)))
        found: CheckSet = kept[hashable]
        if found.checks:
            out.append(found)
    return tuple(out)


def _gathered(checks: tuple[Check, ...]) -> CheckSet:
    masks = {"out": 0, "conditional": 0, "weak": 0}
    for c in checks:
        masks[c.outcome] |= c.mask
    return CheckSet(
        checks,
        masks["out"],
        masks["conditional"],
        masks["weak"],
        any(c.assumed for c in checks),
        any(c.yields for c in checks),
    )


def _place_told(case: Case) -> bool:
    return case.is_told("environment") or case.is_told("corrosivity")


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def _temperature(rules: Rulebase, case: Case) -> Iterable[Check]:
    value = case.full.get("temperature_c")
    temperature = _number(value[-1] if isinstance(value, (list, tuple)) and value else value)
    if temperature is None or temperature <= 60:
        return
    assumed = not case.is_told("temperature_c")
    for finish, mask in rules.bit.items():
        limit = rules.figure(finish, "temperature_limit_c")
        ok = rules.figure(finish, "temperature_ok_c")
        if limit is not None and temperature > limit[1]:
            soft = limit[3] == "memory" and temperature <= limit[1] + MEMORY_STRIP_C
            yield Check(
                rules.role("check-temperature"),
                mask,
                "conditional" if soft else "out",
                "say-limit-recalled" if soft else "say-too-hot",
                {"limit": f"{limit[1]:g}", "temperature": f"{temperature:g}"},
                (limit[0],),
                assumed,
            )
        elif ok is not None and temperature > ok[1]:
            yield Check(
                rules.role("check-temperature"),
                mask,
                "weak",
                "say-hot",
                {"limit": f"{ok[1]:g}", "temperature": f"{temperature:g}"},
                (ok[0],),
                assumed,
            )


def _life(rules: Rulebase, case: Case) -> Iterable[Check]:
    wanted = _number(case.full.get("life_years"))
    if wanted is None:
        return
    place_told = _place_told(case)
    table = rules.life
    for finish, mask in rules.bit.items():
        life = table.years(finish, _classes(case))
        if life is None:
            continue
        low, high, cites = life.low, life.high, life.cites
        if wanted > high:
            outcome = "out"
        elif wanted > low:
            outcome = "weak"
        else:
            continue
        yield Check(
            rules.role("check-life"),
            mask,
            outcome,
            "say-life-short" if outcome == "out" else "say-life-tight",
            {"low": LifeTable.shown(low), "high": LifeTable.shown(high), "wanted": f"{wanted:g}"},
            cites,
            not place_told,
            yields=True,
        )


def _classes(case: Case) -> tuple[str, ...]:
    value = case.full.get("corrosivity")
    if value is None or value == UNKNOWN:
        return ()
    return (value,) if isinstance(value, str) else tuple(value)


def _salt_spray(rules: Rulebase, case: Case) -> Iterable[Check]:
    hours = _number(case.known.get("salt_spray_hours"))
    if hours is None:
        return
    rust = case.full.get("rust")
    kind = "white" if rust == "white" else "red"
    diameter = _number(case.known.get("diameter_mm"))
    for finish, mask in rules.bit.items():
        reach = rules.figure(finish, f"salt_spray_{kind}_h")
        push = rules.figure(finish, f"salt_spray_{kind}_push_h")
        if reach is None:
            continue
        most = max(reach[2], push[2] if push is not None else 0)
        if hours > most:
            outcome, phrase = "out", "say-hours-short"
        elif hours > reach[2]:
            outcome, phrase = "conditional", "say-hours-by-agreement"
        elif rules.too_thick(finish, diameter):
            outcome, phrase = "conditional", "say-hours-need-room"
        else:
            continue
        cites = (reach[0],) if push is None or outcome == "out" else (reach[0], push[0])
        yield Check(
            rules.role("check-salt-spray"),
            mask,
            outcome,
            phrase,
            {"reach": f"{reach[2]:g}", "push": f"{most:g}", "wanted": f"{hours:g}", "rust": kind},
            cites,
        )
