"""Checks the knowledge without reasoning: citations, reachability, values that name nothing, evidence, words alike."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from advisor.graph.base import Base
from advisor.graph.conditions import Condition


class Finding(NamedTuple):
    """One thing found: the node it concerns, what is wrong and what to do. A note is worth knowing but no fault."""

    node: str
    text: str
    fault: bool = True


Check = Callable[[Base], Iterable[Finding]]


def structural_findings(base: Base) -> list[Finding]:
    """Everything the checks of this module find, in the order of the checks."""
    return [f for check in CHECKS for f in check(base)]


def counts(base: Base) -> dict[str, Any]:
    """Nodes by kind, edges, facts by basis."""
    places = base.section("places")
    links = base.section("neighbours").values()
    return {
        "nodes": dict(sorted(Counter(p[0] for p in places.values()).items())),
        "edges": sum(1 for listed in links for link in listed if link[2] == "out"),
        "facts_by_basis": dict(sorted(Counter(str(f["basis"]) for f in base.kind("fact").values()).items())),
        "published_share": round(_share(base), 3),
    }


def _share(base: Base) -> float:
    facts = base.kind("fact").values()
    return float(sum(f["basis"] == "published" for f in facts)) / max(1, len(facts))


# what is read or shown ----------------------------------------------------------------------------------------------


def named_in_program() -> frozenset[str]:
    """Every text constant of the program that could be a node id: what the program itself asks the base for."""
    return frozenset(w for text, _ in _constants() for w in (text, *text.split()))


def asked_by_pattern(ids: Iterable[str]) -> frozenset[str]:
    """The ids that fit a text of the program with blanks, such as f"part-{part}-inch"."""
    patterns = [re.compile(pattern) for _, pattern in _constants() if pattern]
    return frozenset(i for i in ids if any(p.fullmatch(i) for p in patterns))


@cache
def _constants() -> tuple[tuple[str, str], ...]:
    """(constant text, "") and ("", pattern of a text with blanks) of all modules of the program."""
    package = Path(__file__).resolve().parent.parent
    found: dict[tuple[str, str], None] = {}
    for path in sorted(package.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and len(node.value) <= 80:
                found[node.value, ""] = None
            elif isinstance(node, ast.JoinedStr):
                parts = [str(v.value) if isinstance(v, ast.Constant) else None for v in node.values]
                fixed = "".join(p for p in parts if p is not None)
                if re.fullmatch(r"[a-z][a-z0-9.-]*-[a-z0-9.-]*", fixed):
                    found["", "".join("[a-z0-9.-]+" if p is None else re.escape(p) for p in parts)] = None
    return tuple(found)


def named_by_roles(base: Base) -> frozenset[str]:
    """The ids that roles hand to the program."""
    return frozenset(node_id for role in base.roles.values() for node_id in role.of)


def _strings(value: Any) -> Iterator[str]:
    """Every text below a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for v in value.values():
            yield from _strings(v)
    elif isinstance(value, list):
        for v in value:
            yield from _strings(v)


def _links(base: Base, node_id: str) -> list[tuple[str, str, str]]:
    return [(e, other, direction) for e, other, direction in base.section("neighbours").get(node_id, ())]


def check_facts_are_shown(base: Base) -> Iterator[Finding]:
    """A fact or table must support a node that is shown, or be read by the program."""
    used = named_in_program() | named_by_roles(base) | frozenset(_strings(list(base.kind("code").values())))
    used |= asked_by_pattern(base.kind("table"))
    endings = tuple(w for w in used if re.fullmatch(r"-[a-z0-9-]{2,}", w))
    used |= {i for i in base.kind("table") for e in endings if i.endswith(e) and i.removesuffix(e) in used}
    for kind in ("fact", "table"):
        for i, d in base.kind(kind).items():
            shown = any(e == "supports" and direction == "out" for e, _, direction in _links(base, i))
            if not (shown or d.get("about") or i in used):
                yield Finding(
                    i, f"no answer, card or calculation shows this {kind}; add 'about' or cite it in a rule or figure"
                )


def check_sources_are_cited(base: Base) -> Iterator[Finding]:
    """A document that nothing cites is dead weight, unless it explains which edition follows which."""
    for i in base.kind("source"):
        if not _links(base, i):
            yield Finding(i, "no fact cites this document; cite it or remove it")


def check_cautions_are_raised(base: Base) -> Iterator[Finding]:
    """A caution must be shown by a rule or by a calculation."""
    used = named_in_program() | named_by_roles(base)
    for i in base.kind("caution"):
        if i not in used and not any(e == "warns" for e, _, _ in _links(base, i)):
            yield Finding(i, "no rule and no calculation shows this caution; add a rule that warns of it or remove it")


def check_topics_are_used(base: Base) -> Iterator[Finding]:
    """A topic must hold a caution or a rule."""
    used = named_in_program() | named_by_roles(base)
    for i in base.kind("topic"):
        if i not in used and not any(direction == "in" for _, _, direction in _links(base, i)):
            yield Finding(i, "no caution and no rule belongs to this topic; remove it or use it")


def check_families_have_finishes(base: Base) -> Iterator[Finding]:
    """A family needs finishes, and its usual one must be its own and buyable today."""
    finishes = base.kind("finish")
    members = Counter(f["family"] for f in finishes.values())
    for i, d in base.kind("family").items():
        if not members[i]:
            yield Finding(i, "this family has no finish; add one")
        usual = str(d.get("usual", ""))
        if usual in finishes and finishes[usual]["family"] != i:
            yield Finding(i, f"its usual finish '{usual}' belongs to the family {finishes[usual]['family']}")
        elif usual in finishes and finishes[usual].get("legacy") and not d.get("legacy"):
            yield Finding(i, f"its usual finish '{usual}' is marked legacy; name a current one")


def check_sets_are_used(base: Base) -> Iterator[Finding]:
    """A set must stand for some finish and be spoken of."""
    spoken = _names_spoken(base) | named_by_roles(base) | named_in_program()
    masks = base.section("masks")["names"]
    for i in base.kind("set"):
        if not masks.get(i):
            yield Finding(i, "no finish belongs to this set; check its 'of' and 'where'")
        if i not in spoken:
            yield Finding(i, "no rule, set or role speaks of this set; remove it or use it", fault=False)


def _names_spoken(base: Base) -> frozenset[str]:
    found: set[str] = set()
    for d in base.kind("set").values():
        found.update(d["of"])
        found.update(d.get("except", ()))
    for i in base.kind("rule"):
        for edge, other, direction in _links(base, i):
            if direction == "out" and edge not in ("broader", "warns"):
                found.add(other)
    return frozenset(found)


# slots, options, words ------------------------------------------------------------------------------------------------


def tests_of(condition: Condition) -> Iterator[tuple[str, str, Any]]:
    """(slot, test, operand) of every test in a condition.

    >>> list(tests_of(["all", ["test", "part", "in", ["nut"]], ["not", ["test", "size", "known", True]]]))
    [('part', 'in', ['nut']), ('size', 'known', True)]
    """
    if condition[0] == "test":
        yield condition[1], condition[2], condition[3]
    else:
        for c in condition[1:]:
            yield from tests_of(c)


def conditions_of(rule: Mapping[str, Any]) -> Iterator[Condition]:
    """A compiled rule's own condition and those of its actions."""
    yield rule["when"]
    for a in rule["then"]:
        yield from (a[k] for k in ("if", "unless") if k in a)


def check_slots_are_used(base: Base) -> Iterator[Finding]:
    """A slot must be filled by a question or a word, and read by a rule or the program."""
    used = named_in_program()
    read = {s for r in base.kind("rule").values() for c in conditions_of(r) for s, _, _ in tests_of(c)}
    for i, slot in base.slots.items():
        if i not in read and i not in used and slot.read_by == "rules":
            yield Finding(f"slot/{i}", "no rule reads this slot; remove it or write the rule")


def check_circumstances_are_noticed(base: Base) -> Iterator[Finding]:
    """A circumstance that a rule reads must be noticed in words, or filled by a question, a case or a derivation."""
    noticed = {str(t["circumstance"]) for t in base.kind("term").values() if "circumstance" in t}
    for d in base.kind("decision").values():
        if d["slot"] == "circumstance":
            noticed.update(x for o in d["options"] for x in _listed(o["value"]))
    for r in base.kind("rule").values():
        for a in r["then"]:
            if a["verb"] == "derive":
                noticed.update(_listed(a["value"].get("circumstance")))
    for t in base.kind("term").values():
        noticed.update(_listed(t.get("also", {}).get("circumstance")))
    noticed |= named_in_program()
    read: dict[str, str] = {}
    for i, r in base.kind("rule").items():
        for c in conditions_of(r):
            for slot, test, operand in tests_of(c):
                if slot == "circumstance" and test in ("in", "only"):
                    read.update({x: i for x in operand if x not in read})
    for x, rule in read.items():
        if x not in noticed:
            yield Finding(rule, f"the circumstance '{x}' is noticed by no word and no question; add a term for it")
    for i, t in base.kind("term").items():
        name = t.get("circumstance")
        if name is not None and name not in read and f"circumstance-{name}" not in base.section("places"):
            yield Finding(i, f"no rule reads the circumstance '{name}' that this term notices", fault=False)


def _listed(value: Any) -> list[Any]:
    return [] if value is None else value if isinstance(value, list) else [value]


def check_options_fit_their_slot(base: Base) -> Iterator[Finding]:
    """Every option's value must be one the slot takes, and no two options of a question may be the same."""
    slots = base.kind("slot")
    for i, d in base.kind("decision").items():
        seen: dict[str, str] = {}
        for o in d["options"]:
            wrong = _wrong_value(slots[d["slot"]], o["value"])
            if wrong:
                yield Finding(i, f"the option '{o['id']}': {wrong}")
            key = repr(o["value"])
            if key in seen:
                yield Finding(i, f"the options '{seen[key]}' and '{o['id']}' fill in the same value", fault=False)
            seen[key] = o["id"]
        wrong = _wrong_value(slots[d["slot"]], d.get("assume", {}).get("value"))
        if wrong:
            yield Finding(i, f"'assume': {wrong}")


def _wrong_value(slot: Mapping[str, Any], value: Any) -> str:
    """Why a slot cannot take a value; empty when it can."""
    if value is None or value == "unknown":
        return ""
    kind = slot["type"]
    if kind == "number":
        low, high = slot.get("low"), slot.get("high")
        for v in _listed(value):
            if isinstance(v, bool) or not isinstance(v, (int, float)):
                return f"{slot['id']} takes a number, not {v!r}"
            if (low is not None and v < low) or (high is not None and v > high):
                return f"{v} is outside {low} to {high} of {slot['id']}"
        return ""
    if kind == "choices" and not isinstance(value, list):
        return f"{slot['id']} takes a list"
    if kind != "choices" and isinstance(value, list):
        return f"{slot['id']} takes one value, not a list"
    for v in _listed(value):
        if slot.get("values") and v not in slot["values"]:
            return f"'{v}' is not a value of {slot['id']}"
    return ""


def check_terms_name_something(base: Base) -> Iterator[Finding]:
    """A term must stand for a node, a slot value, a circumstance or an intent, and one word must not stand for two things."""
    slots = base.kind("slot")
    said: dict[tuple[str, str, str], tuple[str, str]] = {}
    for i, t in base.kind("term").items():
        if not any(k in t for k in ("names", "slot", "circumstance", "intent", "also", "number", "value")):
            yield Finding(i, "this term names nothing; add 'names', 'slot' with 'value', 'circumstance' or 'intent'")
        if "slot" in t and "value" in t:
            listed = slots[t["slot"]]["type"] == "choices"
            value = _listed(t["value"]) if listed else t["value"]
            wrong = _wrong_value(slots[t["slot"]], value)
            if wrong:
                yield Finding(i, wrong)
        meaning = repr([t.get(k) for k in ("names", "slot", "value", "circumstance", "intent", "number")])
        where = str(t.get("answering", ""))
        for word in t["say"]:
            key = (word.casefold(), str(t.get("slot", t.get("intent", ""))), where)
            if "circumstance" in t and "slot" not in t:
                continue  # one word may be noticed as several circumstances
            if key in said and said[key][1] != meaning:
                yield Finding(i, f"the word '{word}' already means something else in '{said[key][0]}'; keep one")
            said.setdefault(key, (i, meaning))


def check_exposures_fit_their_slot(base: Base) -> Iterator[Finding]:
    """An environment or part node must be one that an enquiry can name."""
    slots = base.kind("slot")
    for i, d in base.kind("exposure").items():
        slot = {"environment": "environment", "part": "part"}.get(str(d["group"]), "")
        if slot in slots and i not in slots[slot].get("values", ()) and i != "part-unknown":
            yield Finding(i, f"no enquiry can name it: it is not a value of the slot {slot}")
    for value in slots.get("environment", {}).get("values", ()):
        if value not in base.section("places"):
            yield Finding("slot/environment", f"the place '{value}' has no exposure node; write one")


# evidence -------------------------------------------------------------------------------------------------------------


def check_designations(base: Base) -> Iterator[Finding]:
    """A superseded edition is kept for decoding; what is written on an order must not be called current in it."""
    sources = base.kind("source")
    for i, d in base.kind("finish").items():
        for x in d.get("designations", ()):
            status = sources.get(x["standard"], {}).get("status")
            if (
                x.get("status", "current") == "current"
                and status in ("superseded", "withdrawn")
                and not d.get("legacy")
            ):
                yield Finding(
                    i,
                    f"the designation '{x['write']}' counts as current, but {x['standard']} is {status}; "
                    "give it that status or name the current edition",
                )


def check_evidence(base: Base) -> Iterator[Finding]:
    """Notes: facts from memory, exclusions that rest on memory only, rules that cite superseded editions."""
    facts, sources = base.kind("fact"), base.kind("source")
    for i, d in facts.items():
        if d["basis"] == "memory":
            yield Finding(i, f"from memory, unconfirmed: {d['text']}", fault=False)
    for i, r in base.kind("rule").items():
        bases = {str(base.node(f)["basis"]) for f in r["because"]}
        if any(a["verb"] == "exclude" for a in r["then"]) and bases == {"memory"}:
            yield Finding(i, "excludes on memory alone; the answer prints it as unconfirmed", fault=False)
        old = {
            str(base.node(f)["source"])
            for f in r["because"]
            if sources.get(str(base.node(f).get("source")), {}).get("status") in ("superseded", "withdrawn")
        }
        if old:
            yield Finding(i, f"cites editions that are no longer current: {', '.join(sorted(old))}", fault=False)


NEAR_LENGTH = 6
"""Shorter words are never corrected by one letter, so a neighbour does no harm there."""


def check_near_words(base: Base) -> Iterator[Finding]:
    """Notes: words one slip apart (optimal string alignment distance 1) that mean different things.

    Pairs that are known and harmless stand in the phrase `audit-near-words-allowed` as `word/word, …`.
    """
    from rapidfuzz.distance import OSA

    allowed_text = base.kind("phrase").get("audit-near-words-allowed", {}).get("text", "")
    allowed = {frozenset(p.strip().casefold().split("/")) for p in allowed_text.split(",")}
    meaning: dict[str, tuple[str, str]] = {}
    for i, t in base.kind("term").items():
        if t.get("exact") or not ("names" in t or ("slot" in t and "value" in t)):
            continue
        sense = repr([t.get(k) for k in ("names", "slot", "value", "circumstance")])
        for word in t["say"]:
            if len(word) >= NEAR_LENGTH and not any(c.isdigit() for c in word):
                meaning.setdefault(word.casefold(), (i, sense))
    for a, b in _near_pairs(sorted(meaning), OSA):
        if meaning[a][1] != meaning[b][1] and frozenset((a, b)) not in allowed:
            yield Finding(
                meaning[a][0], f"'{a}' and '{b}' ({meaning[b][0]}) are one slip apart and mean different things", False
            )


def _near_pairs(words: list[str], osa: Any) -> Iterator[tuple[str, str]]:
    """Pairs at distance 1. One slip leaves the first or the second half of a word as it is, so only such pairs are measured."""
    halves: dict[tuple[bool, str], list[str]] = {}
    for w in words:
        h = len(w) // 2 - 1
        halves.setdefault((True, w[:h]), []).append(w)
        halves.setdefault((False, w[-h:]), []).append(w)
    seen: set[tuple[str, str]] = set()
    for w in words:
        h = len(w) // 2 - 1
        for n in (h - 1, h, h + 1):
            for key in ((True, w[:n]), (False, w[-n:])) if n > 0 else ():
                for other in halves.get(key, ()):
                    pair = (w, other) if w < other else (other, w)
                    if w != other and abs(len(w) - len(other)) <= 1 and pair not in seen:
                        seen.add(pair)
                        if osa.distance(w, other, score_cutoff=1) <= 1:
                            yield pair


CHECKS: tuple[Check, ...] = (
    check_facts_are_shown,
    check_sources_are_cited,
    check_cautions_are_raised,
    check_topics_are_used,
    check_families_have_finishes,
    check_sets_are_used,
    check_slots_are_used,
    check_circumstances_are_noticed,
    check_options_fit_their_slot,
    check_terms_name_something,
    check_exposures_fit_their_slot,
    check_designations,
    check_evidence,
    check_near_words,
)
