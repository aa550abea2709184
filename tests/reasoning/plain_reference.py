"""Reasoning done plainly and slowly: every condition evaluated, every finish looked at, every answer judged from
scratch.

Nothing here joins masks, remembers or takes over an earlier result. The program's fast ways are held to these answers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from advisor.graph.base import Base
from advisor.graph.conditions import Possible, Tri, evaluate
from advisor.graph.nodes import Rule
from advisor.graph.nodes_of_use import BEARABLE, Offer
from advisor.reasoning.bands import possible_bands
from advisor.reasoning.case import CHROMATE_ORDERED, Assumed
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, listed
from advisor.reasoning.in_play import ANY_MM, NOT_MADE
from advisor.reasoning.measures import lot, thread_of
from advisor.reasoning.questions import LEAST_SWING
from advisor.reasoning.screening import ENOUGH_THAT_LAST
from advisor.reasoning.spoken import Effect
from advisor.reasoning.trials import with_answer

Values = Mapping[str, Any]


class PlainCase(NamedTuple):
    told: Values
    known: Values
    full: Values
    assumed: tuple[Assumed, ...]

    def is_told(self, slot: str) -> bool:
        return self.told.get(slot) not in (None, UNKNOWN)


def silent(values: Values, slot: str) -> bool:
    return values.get(slot) in (None, UNKNOWN)


def complete(engine: Engine, enquiry: Enquiry) -> PlainCase:
    base = engine.base
    told: dict[str, Any] = {s: x.value for s, x in enquiry.said.items() if x.value is not None}
    told["circumstance"] = [*enquiry.circumstances]
    told.setdefault("asks", [])  # a line asks something outright or nothing: it is never untold
    order = engine.casework.orders.of(told["callout"]) if not silent(told, "callout") else None
    if order is not None and order.ordered and "ordered" not in told:
        told["ordered"] = list(order.ordered)
    if order is not None and order.hexavalent:
        told["circumstance"].append(CHROMATE_ORDERED)
    families = order.families if order is not None else ()
    named = {*listed(told.get("finish_asked")), *families, *listed(told.get("ordered")), *enquiry.mentioned}
    told["named"] = sorted(named)
    known = dict(told)
    if isinstance(told.get("size"), str) and told["size"] != UNKNOWN:
        known.update({k: v for k, v in thread_of(base, told["size"]).items() if silent(known, k)})
    known.update(lot(known))
    bands, settled = possible_bands(base, told)
    known.setdefault("band", Possible(bands))
    known.setdefault("band_told", "yes" if settled else "no")
    because = [
        Assumed(s, x.value, base.phrase("say-because-object", words=x.words))
        for s, x in enquiry.said.items()
        if x.origin == "object"
    ]
    because += derive(base, known, told)
    full = dict(known)
    for d in base.decisions.values():
        if d.assume is not None and d.assume.value not in (None, UNKNOWN, []) and silent(full, d.slot):
            full[d.slot] = d.assume.value
            because.append(Assumed(d.slot, d.assume.value, d.assume.because))
    because += derive(base, full, told)
    for values in (known, full):
        if silent(values, "corrosivity"):
            classes = engine.casework.places.corrosivity(listed(values.get("environment")), told["circumstance"])
            if classes:
                values["corrosivity"] = Possible(classes)
    return PlainCase(told, known, full, tuple(because))


def derive(base: Base, values: dict[str, Any], told: Values) -> list[Assumed]:
    out = []
    for rule in base.rules.values():
        for a in rule.then:
            if a.verb != "derive" or evaluate(rule.when, values, told) is not True:
                continue
            if a.only_if is not None and evaluate(a.only_if, values, told) is not True:
                continue
            for slot, value in a.value.items():
                if silent(values, slot):
                    values[slot] = value
                    out.append(Assumed(slot, value, a.text or rule.text))
    return out


def effects(rule: Rule, case: PlainCase) -> Iterator[Effect]:
    """What a rule says: judged on what is known, and on what is known or assumed."""
    full = evaluate(rule.when, case.full, case.told)
    known = evaluate(rule.when, case.known, case.told)
    if full is False or (full is None and rule.if_unknown == "ignore"):
        return
    pending = full is None and rule.if_unknown == "ask"
    sure = known is True or (known is None and full is None and rule.if_unknown == "apply")
    for a in rule.then:
        holds: Tri = True if a.only_if is None else evaluate(a.only_if, case.full, case.told)
        lifted = a.unless is not None and evaluate(a.unless, case.full, case.told) is True
        if a.verb == "derive" or lifted or holds is False or (holds is None and rule.if_unknown == "ignore"):
            continue
        yield Effect(
            rule.id,
            a.verb,
            a.value,
            a.mask,
            a.text or rule.text,
            a.severity,
            a.to,
            not sure and not pending,
            pending or (holds is None and rule.if_unknown == "ask"),
            rule.because,
        )


class Plain(NamedTuple):
    """The plain outcome. Finishes as sets of their numbers; `ranked`: finish and score, the best first."""

    case: PlainCase
    effects: tuple[Effect, ...]
    out: frozenset[int]
    conditional: frozenset[int]
    weak: frozenset[int]
    out_by_assumption: frozenset[int]
    refer: str
    ranked: tuple[tuple[str, float], ...]


class Sieve:
    """The finishes while they are sorted: out for sure, out by assumption, conditional, weak."""

    def __init__(self, engine: Engine, case: PlainCase) -> None:
        self.mask_of = engine.rules.mask_of
        self.every = range(len(engine.rules.finishes))
        self.wanted = self.members(case.known.get("ordered")) | self.members(case.known.get("finish_asked"))
        self.out = self.members(case.known.get("exclude"))
        self.assumed: set[int] = set()
        self.conditional: set[int] = set()
        self.weak: set[int] = set()
        self.silent: set[int] = set()

    def members(self, names: Any) -> set[int]:
        mask = self.mask_of(listed(names))
        return {i for i in self.every if mask >> i & 1}

    def rule_out(self, i: int, by_assumption: bool) -> None:
        """What rests on an assumption cannot throw out what is ordered or wished: that is weak."""
        if not by_assumption:
            self.out.add(i)
        elif i in self.wanted:
            self.weak.add(i)
        else:
            self.assumed.add(i)

    def by_rule(self, e: Effect) -> None:
        for i in self.every:
            if e.mask is None or not e.mask >> i & 1:
                continue
            if e.verb == "conditional" or (e.verb == "exclude" and e.pending):
                self.conditional.add(i)
            elif e.verb == "exclude":
                self.rule_out(i, e.assumed)

    def by_check(self, verdicts: Mapping[int, str], by_assumption: bool, yields: bool) -> None:
        left = set(self.every) - self.out - self.assumed - self.conditional - self.silent
        spared = left if yields and left <= {i for i, v in verdicts.items() if v == "out"} else set()
        for i, verdict in verdicts.items():
            if verdict == "out" and i not in spared:
                self.rule_out(i, by_assumption)
            elif verdict == "conditional":
                self.conditional.add(i)
            else:
                self.weak.add(i)


def judge(engine: Engine, enquiry: Enquiry) -> Plain:
    rules = engine.rules
    case = complete(engine, enquiry)
    said = tuple(e for i in rules.voices.ids for e in effects(engine.base.rules[i], case))
    sieve = Sieve(engine, case)
    refer = ""
    for e in said:
        sieve.by_rule(e)
        if e.verb == "refer" and not (e.assumed or e.pending) and refer != "stop":
            refer = e.value
    for i in sieve.every:
        last, told_place = lasting(engine, case, said, i)
        if last == "none" and not told_place and rules.kept_open >> i & 1:
            sieve.conditional.add(i)
        elif last == "none":
            sieve.rule_out(i, not told_place)
        elif last == "weak":
            sieve.weak.add(i)
    named = sieve.members(case.known.get("named"))
    for i in sieve.every:
        if rules.legacy >> i & 1:
            (sieve.weak if i in named else sieve.out).add(i)
    hush(engine, case, sieve, said, named)
    for verdicts, by_assumption, yields in checks(engine, case):
        sieve.by_check(verdicts, by_assumption, yields)
    gone = sieve.out | sieve.assumed
    last_well = set(sieve.every) - gone - sieve.conditional - sieve.silent - (sieve.weak - named)
    if len({engine.rules.family[i] for i in last_well}) >= ENOUGH_THAT_LAST:
        sieve.silent |= sieve.weak - named
    conditional, weak = sieve.conditional - gone - sieve.silent, sieve.weak - gone
    inside = set(sieve.every) - gone - sieve.conditional - sieve.silent
    ranked = () if refer == "stop" else rank(engine, case, said, inside, weak)
    assumed = sieve.assumed - sieve.out
    return Plain(
        case, said, frozenset(gone), frozenset(conditional), frozenset(weak), frozenset(assumed), refer, ranked
    )


def hush(engine: Engine, case: PlainCase, sieve: Sieve, said: tuple[Effect, ...], named: set[int]) -> None:
    """What is not in play is silent; what is named though it is refused is out."""
    made, refused = made_as(engine, case)
    wanting = set().union(*(sieve.members(x) for x in engine.base.role("wants-a-reason")))
    wanting -= {i for e in said for i in sieve.every if favoured(e, i)}
    left = set(sieve.every) - sieve.out - sieve.assumed - named
    unmade = set(sieve.every) - made
    for quiet in (unmade | wanting, unmade, refused | wanting, refused):
        sieve.silent = quiet
        if left - quiet:
            break
    sieve.silent = sieve.silent - named
    sieve.out |= named & refused


def favoured(e: Effect, i: int) -> bool:
    value = float(e.value) if e.verb == "favour" else 0.0
    return value > 0 and value != BEARABLE and not e.pending and bool((e.mask or 0) >> i & 1)


def made_as(engine: Engine, case: PlainCase) -> tuple[set[int], set[int]]:
    """What some offer of the part holds for, thread and strength as told; and what is refused as all of the parts."""
    offers = list(engine.base.offers.values())
    part = case.known.get("part")
    parts = [part] if any(part in o.part for o in offers) else list(engine.base.role("parts-unnamed"))
    spoken_of = engine.rules.mask_of([f for o in offers for f in o.finish])
    unlisted = {i for i in range(len(engine.rules.finishes)) if not spoken_of >> i & 1}
    made, refused = set(unlisted), set()
    for p in parts:
        sold, never = sold_as(engine, case, [o for o in offers if p in o.part])
        made |= sold
        refused |= never
    return made, {i for i in refused if i not in made}


def sold_as(engine: Engine, case: PlainCase, offers: list[Offer]) -> tuple[set[int], set[int]]:
    strength = "" if silent(case.known, "strength") else str(case.known["strength"])
    d = case.known.get("diameter_mm")
    threads = {str(case.known[s]) for s in ("size", "thread_series") if not silent(case.known, s)}
    steel = engine.rules.mask_of(engine.base.role("coats-on-steel"))
    materials = {engine.base.families[f].material for f in engine.rules.families_in(steel)}
    of_steel = any(s.grade == strength and s.material in materials for s in engine.base.strengths.values())
    listed_at_all = any(strength in o.strength for o in offers)
    made: set[int] = set()
    refused: set[int] = set()
    for o in offers:
        if d is not None and not (o.low_mm or 0) <= d <= (o.high_mm or ANY_MM):
            continue
        if o.threads and threads and not threads & set(o.threads):
            continue
        mask = engine.rules.mask_of(o.finish)
        of_metals = {i for i in range(len(engine.rules.finishes)) if mask >> i & 1}
        if o.availability == NOT_MADE:
            sized = (o.low_mm is None and o.high_mm is None) or d is not None
            if sized and (not o.threads or threads) and (not o.strength or strength in o.strength):
                refused |= of_metals
        elif not o.strength or not strength or not listed_at_all or strength in o.strength:
            made |= of_metals
        elif of_steel:
            made |= {i for i in of_metals if not steel >> i & 1}
    return made - refused, refused


def lasting(engine: Engine, case: PlainCase, said: tuple[Effect, ...], i: int) -> tuple[str, bool]:
    """How a finish lasts in the harshest way of all places, and whether a place where it does not was told."""
    rules = engine.rules
    words: list[tuple[str, bool]] = []
    told = listed(case.known.get("environment"))
    for place in engine.casework.places.counted(listed(case.full.get("environment"))):
        if place == "high-temperature" and case.is_told("temperature_c"):
            continue
        word = "none" if rules.none_in.get(place, 0) >> i & 1 else "good"
        word = "weak" if rules.weak_in.get(place, 0) >> i & 1 else word
        said_here = {
            e.value
            for e in said
            if e.verb == "viability"
            and not e.pending
            and (e.mask is None or e.mask >> i & 1)
            and (not engine.base.rules[e.rule].places or place in engine.base.rules[e.rule].places)
        }
        for strongest in ("none", "weak", "good"):
            if strongest in said_here:
                word = strongest
                break
        if "limited" in said_here and word == "good":
            word = "weak"
        words.append((word, place in told))
    if ("none", True) in words:
        return "none", True
    if ("none", False) in words:
        return "none", False
    return ("weak", False) if any(w == "weak" for w, _ in words) else ("good", False)


def checks(engine: Engine, case: PlainCase) -> Iterator[tuple[dict[int, str], bool, bool]]:
    """The demands compared with the figure of every finish: (verdicts, by assumption, whether it yields)."""
    heat = case.full.get("temperature_c")
    heat = heat[-1] if isinstance(heat, list) and heat else heat
    if isinstance(heat, (int, float)) and heat > 60:
        yield heat_verdicts(engine, heat), not case.is_told("temperature_c"), False
    hours = case.known.get("salt_spray_hours")
    if isinstance(hours, (int, float)):
        yield hours_verdicts(engine, case, hours), False, False
    wanted = case.full.get("life_years")
    if isinstance(wanted, (int, float)):
        classes = tuple(listed(case.full.get("corrosivity")))
        found = {}
        for i, f in enumerate(engine.rules.finishes):
            life = engine.rules.life.years(f, classes)
            if life is not None and wanted > life.low:
                found[i] = "out" if wanted > life.high else "weak"
        yield found, not (case.is_told("environment") or case.is_told("corrosivity")), True


def heat_verdicts(engine: Engine, heat: float) -> dict[int, str]:
    rules, found = engine.rules, {}
    for i, f in enumerate(rules.finishes):
        limit, ok = rules.figure(f, "temperature_limit_c"), rules.figure(f, "temperature_ok_c")
        if limit is not None and heat > limit[1]:
            found[i] = "conditional" if limit[3] == "memory" and heat <= limit[1] + 50 else "out"
        elif ok is not None and heat > ok[1]:
            found[i] = "weak"
    return found


def hours_verdicts(engine: Engine, case: PlainCase, hours: float) -> dict[int, str]:
    rules, found = engine.rules, {}
    kind = "white" if case.full.get("rust") == "white" else "red"
    room = rules.room_um(case.known.get("diameter_mm"))
    for i, f in enumerate(rules.finishes):
        reach, push = rules.figure(f, f"salt_spray_{kind}_h"), rules.figure(f, f"salt_spray_{kind}_push_h")
        thickness = rules.figure(f, "thickness_um")
        if reach is None:
            continue
        tight = rules.needs_room >> i & 1 and room is not None and thickness is not None and thickness[1] > room
        if hours > max(reach[2], push[2] if push is not None else 0):
            found[i] = "out"
        elif hours > reach[2] or tight:
            found[i] = "conditional"
    return found


def rank(
    engine: Engine, case: PlainCase, said: tuple[Effect, ...], inside: set[int], weak: set[int]
) -> tuple[tuple[str, float], ...]:
    """The best finish of every family, the best family first; then what is wished moves up and what is ordered
    leads."""
    rules, scales = engine.rules, engine.scales
    priority = case.full.get("priority")
    weights = scales.weights[priority if priority in scales.weights else "balanced"]
    classes = tuple(listed(case.full.get("corrosivity")))
    ordered = listed(case.known.get("ordered"))
    best: dict[str, tuple[bool, float, int]] = {}
    for i in sorted(inside):
        c = scales.worked_out(rules.finishes[i], classes)
        score = sum(weights.get(name, 0.0) * value for name, value in c.items())
        if i in weak:
            score -= weights["life"] * max(0.0, c["life"] - scales.scale["material_weak"])
        else:
            score += weights["level"]
        favour = sum(
            float(e.value) for e in said if e.verb == "favour" and not e.pending and e.mask and e.mask >> i & 1
        )
        score += weights["rules"] * favour
        is_ordered = rules.finishes[i] in ordered
        look = case.full.get("appearance")
        if isinstance(look, str) and rules.colours.get(look, 0) >> i & 1 and not is_ordered:
            score += weights["look"]
        before = best.get(rules.family[i])
        if before is None or (is_ordered, score) > (before[0], before[1] + (0 if is_ordered else 1e-9)):
            best[rules.family[i]] = (is_ordered, score, i)
    order = [i for _, i in sorted((-score, i) for _, score, i in best.values())]
    scores = {i: score for _, score, i in best.values()}
    families = [rules.family[i] for i in order]
    for family in [f for f in listed(case.known.get("finish_asked")) if f in families][:1]:
        at = families.index(family)
        if at == 0:
            continue
        target = at - 1 if case.is_told("environment") else min(at - 1, 1)
        if case.is_told("environment") and order[at] in weak and order[target] not in weak:
            continue
        order.insert(target, order.pop(at))
        families.insert(target, families.pop(at))
    for name in reversed(ordered):
        family = rules.family[rules.index[name]] if name in rules.index else name
        if family in families:
            at = families.index(family)
            order.insert(0, order.pop(at))
            families.insert(0, families.pop(at))
    return tuple((rules.finishes[i], scores[i]) for i in order)


Signature = tuple[str, str, frozenset[tuple[str, str]]]


def signature(engine: Engine, plain: Plain) -> Signature:
    """First family, referral, and the cautions beyond notes of what is shown or named."""
    rules = engine.rules
    ranked = [rules.index[f] for f, _ in plain.ranked]
    shown = set(ranked[:6])
    in_play = {rules.family[i] for i in ranked}
    if plain.refer != "stop":
        for family, whole in rules.family_mask.items():
            held = [i for i in sorted(plain.conditional) if whole >> i & 1]
            if held and family not in in_play:
                usual = engine.base.families[family].usual
                shown.add(rules.index[usual] if usual and rules.index[usual] in held else held[0])
    named = rules.mask_of(listed(plain.case.known.get("named")))
    shown |= {i for i in range(len(rules.finishes)) if named >> i & 1}
    warned: dict[str, str] = {}
    for e in plain.effects:
        node = engine.base.cautions.get(str(e.value)) if e.verb == "warn" and not e.assumed else None
        if node is None or (e.mask is not None and not any(e.mask >> i & 1 for i in shown)):
            continue
        severity = e.severity or node.severity
        if severity == "stop" or (severity == "warn" and warned.get(node.topic) != "stop"):
            warned[node.topic] = severity
    first = rules.family[ranked[0]] if ranked else ""
    return first, plain.refer, frozenset(warned.items())


class PlainQuestion(NamedTuple):
    decision: str
    safety: bool
    place: tuple[bool, float, float]
    swing: float
    outcomes: Mapping[str, str]


def questions(engine: Engine, enquiry: Enquiry) -> list[PlainQuestion]:
    """Every open question whose answers change something, all answers tried from scratch, in the order of asking."""
    now_judged = judge(engine, enquiry)
    now = signature(engine, now_judged)
    out = []
    for d in engine.base.decisions.values():
        options = [o for o in d.options if o.value != UNKNOWN]
        present = {v for o in d.options for v in listed(o.value)} & set(enquiry.circumstances)
        if d.slot in enquiry.said or (d.slot == "circumstance" and present):
            continue
        if d.relevant is not None and evaluate(d.relevant, now_judged.case.full, now_judged.case.told) is False:
            continue
        then = {o.id: signature(engine, judge(engine, with_answer(enquiry, d.slot, o.value))) for o in options}
        likely = d.assume.likely if d.assume is not None and d.assume.likely is not None else 1 / (len(options) + 1)
        each = (1 - likely) / max(1, len(options))
        swinging = sum(t[:2] != now[:2] for t in then.values())
        if not swinging and (now[1] == "stop" or all(t == now for t in then.values())):
            continue
        # the program stops trying where the place of a question is settled by its first answer that swings
        settled = d.safety or 1 - likely < LEAST_SWING
        swing = round(each * (min(1, swinging) if settled else swinging), 4)
        safety = d.safety and swinging > 0
        place = (not safety, d.order if safety else -round(swing, 1), d.order)
        out.append(PlainQuestion(d.id, safety, place, swing, {o: t[0] for o, t in then.items()}))
    return sorted(out, key=lambda q: q.place)


def next_question(engine: Engine, enquiry: Enquiry) -> str | None:
    """The first of the questions that is worth asking aloud."""
    decisions = engine.base.decisions
    for q in questions(engine, enquiry):
        assume = decisions[q.decision].assume
        likely = assume.likely if assume is not None and assume.likely is not None else None
        if q.safety or (q.swing >= LEAST_SWING and (likely is None or 1 - likely >= LEAST_SWING)):
            return q.decision
    return None
