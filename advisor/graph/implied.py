"""Rules that stand implied in other nodes: what substances do, what a thing carries, what a document allows.

They are made when the base is compiled and judged like every written rule, so that reasons, citations and questions
need no second way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from advisor.graph.nodes_of_use import BEARABLE
from advisor.records import NamedTuple

Data = Mapping[str, Any]
MaskOf = Callable[[str], int]
"""The finishes that a family, set or finish name stands for, as bits."""
AMBIENT_C = 20.0
"""Where no temperature is told, what a substance does at room temperature counts."""
DANGER = "topic-substance"
"""The topic of a danger that is like no caution of its own kind."""
BASIS = ("source", "where", "basis", "seen")
SEVEREST_FIRST = ("stop", "bad", "limited", "good")
USUAL_FAVOURS = (3, 2, 1)
"""What the first, the second and every later usual finish of a thing is favoured by."""


class Implied(NamedTuple):
    """Compiled rules with the facts they cite and the cautions they give, each by id, and the edges between them."""

    rules: tuple[dict[str, Any], ...]
    facts: Mapping[str, Data]
    cautions: Mapping[str, Data]
    edges: tuple[tuple[str, str, str], ...]


class _Making:
    """What is being made: rules, facts and cautions, and the sentences of the knowledge with their blanks."""

    def __init__(self, kinds: Mapping[str, Mapping[str, Data]], mask_of: MaskOf) -> None:
        self.rules: list[dict[str, Any]] = []
        self.facts: dict[str, Data] = {}
        self.cautions: dict[str, Data] = {}
        self.edges: list[tuple[str, str, str]] = []
        self._phrases = kinds["phrase"]
        self._known_cautions = kinds.get("caution", {})
        self._mask_of = mask_of

    def say(self, phrase: str, **values: object) -> str:
        node = self._phrases.get(phrase)
        return str(node["text"]).format(**values) if node else ""

    def fact(self, fact_id: str, text: str, behind: Data, about: str) -> str:
        """Keeps one statement with its source; returns its id."""
        cite = {k: behind[k] for k in BASIS if k in behind}
        self.facts[fact_id] = {"id": fact_id, "text": text, "about": [about], **cite}
        self.edges.append((fact_id, "supports", about))
        if "source" in cite:
            self.edges.append((fact_id, "cites", str(cite["source"])))
        return fact_id

    def caution(self, node_id: str, hazard: Data, fact: str) -> None:
        """Keeps the caution of a danger, under the topic of the caution that it names."""
        like = self._known_cautions.get(hazard.get("caution", ""), {})
        topic = like.get("topic", DANGER)
        kept = {
            "id": node_id,
            "topic": topic,
            "severity": hazard["severity"],
            "text": hazard["text"],
            "because": [fact],
        }
        self.cautions[node_id] = kept
        self.edges += [(node_id, "broader", topic), (fact, "supports", node_id)]

    def action(self, verb: str, value: object, names: Iterable[str], text: str) -> dict[str, Any]:
        mask = 0
        for name in names:
            mask |= self._mask_of(name)
        return {"verb": verb, "value": value, "mask": mask, "text": text}

    def rule(
        self,
        rule_id: str,
        group: str,
        text: str,
        when: list[Any],
        then: list[dict[str, Any]],
        fact: str,
        speaks: Mapping[str, Any],
    ) -> None:
        """Keeps a rule with a case where it speaks; where its slot is not told it is silent."""
        slot = when[1] if when[0] == "test" else when[1][1]
        self.rules.append(
            {
                "id": rule_id,
                "group": group,
                "strength": "must" if any(a["verb"] == "exclude" for a in then) else "should",
                "text": text,
                "when": when,
                "if_unknown": "ignore",
                "then": then,
                "because": [fact],
                "reads": sorted({slot, *_read(when)}),
                "needs": [slot],
                "places": [],
                "derives": False,
                "cases": {"speaks": [speaks], "silent": [{k: v for k, v in speaks.items() if k != slot}]},
            }
        )
        self.edges += [(fact, "supports", rule_id), (rule_id, "broader", group)]
        self.edges += [(rule_id, "warns", str(a["value"])) for a in then if a["verb"] == "warn"]


def implied(kinds: Mapping[str, Mapping[str, Data]], mask_of: MaskOf) -> Implied:
    """All implied rules of a base; `kinds` are its nodes by kind and id as they stand in the sections."""
    making = _Making(kinds, mask_of)
    for chemical in kinds.get("chemical", {}).values():
        _substance(making, chemical)
    _things(making, kinds.get("application", {}))
    for document in kinds.get("document", {}).values():
        _document(making, document)
    return Implied(tuple(making.rules), making.facts, making.cautions, tuple(making.edges))


def _read(condition: Sequence[Any]) -> Iterator[str]:
    if condition[0] == "test":
        yield condition[1]
    else:
        for part in condition[1:]:
            yield from _read(part)


# substances --------------------------------------------------------------------------------------------------------


EFFECTS: Mapping[str, tuple[str, Any]] = {"limited": ("viability", "limited"), "good": ("favour", BEARABLE)}
"""What a verdict of a band does; every other excludes."""


def _substance(making: _Making, c: Data) -> None:
    here = ["test", "chemical", "in", [c["id"]]]
    for n, hazard in enumerate(c.get("hazards", ()), 1):
        _hazard(making, c, here, f"{c['id']}-hazard-{n}", hazard)
    for n, band in enumerate(c.get("bands", ()), 1):
        _band(making, c, here, f"{c['id']}-band-{n}", band)


def _hazard(making: _Making, c: Data, here: list[Any], node_id: str, hazard: Data) -> None:
    """A danger is a caution of its own; where it names finishes and stops, they are out."""
    fact = making.fact(f"{node_id}-fact", hazard["text"], hazard, c["id"])
    making.caution(node_id, hazard, fact)
    families = hazard.get("families", ())
    warn = making.action("warn", node_id, families, hazard["text"])
    warn["severity"] = hazard["severity"]
    if not families:
        del warn["mask"]
    then = [warn]
    if families and hazard["severity"] == "stop":
        then.insert(0, making.action("exclude", list(families), families, hazard["text"]))
    making.rule(node_id, "group-sc", hazard["text"], here, then, fact, {"chemical": [c["id"]]})


def _band(making: _Making, c: Data, here: list[Any], node_id: str, band: Data) -> None:
    strength = band.get("concentration_pct")
    words = making.say("say-substance-strength", low=f"{strength[0]:g}", high=f"{strength[1]:g}") if strength else ""
    of = {"substance": c["name"], "strength": words}
    fact = making.fact(
        f"{node_id}-fact", making.say("say-substance-band", **of, text=band.get("text", "")), band, c["id"]
    )
    when = ["all", here, *_within("concentration_pct", strength, None)]
    when.extend(_within("temperature_c", band.get("temperature_c"), AMBIENT_C))
    by_verdict: dict[str, list[str]] = {v: [] for v in SEVEREST_FIRST}
    for name, verdict in band["verdicts"].items():
        by_verdict[verdict].append(name)
    then = []
    for verdict, names in by_verdict.items():
        if names:
            text = " ".join(t for t in (making.say(f"say-substance-{verdict}", **of), band.get("text", "")) if t)
            verb, value = EFFECTS.get(verdict, ("exclude", names))
            then.append(making.action(verb, value, names, text))
    speaks: dict[str, Any] = {"chemical": [c["id"]]}
    for slot in ("concentration_pct", "temperature_c"):
        if band.get(slot):
            speaks[slot] = sum(band[slot]) / 2
    making.rule(node_id, "group-sc", making.say("say-substance-rule", **of), when, then, fact, speaks)


def _within(slot: str, limits: Sequence[float] | None, silence: float | None) -> Iterator[list[Any]]:
    """The condition that a quantity lies within limits. Silence counts as `silence`; without that, as anywhere within.

    >>> list(_within("temperature_c", [100, 200], 20.0))[0][:2]
    ['all', ['test', 'temperature_c', 'told', True]]
    >>> list(_within("temperature_c", None, 20.0))
    []
    """
    if limits is None:
        return
    inside = ["all", ["test", slot, "at_least", limits[0]], ["test", slot, "at_most", limits[1]]]
    if silence is None or limits[0] <= silence <= limits[1]:
        yield ["any", ["test", slot, "told", False], inside]
    else:
        # an assumed heat is no heat told
        yield ["all", ["test", slot, "told", True], inside]


# things that fasteners hold ----------------------------------------------------------------------------------------


def _things(making: _Making, applications: Mapping[str, Data]) -> None:
    below: dict[str, list[str]] = {}
    for i, d in applications.items():
        for broader in d.get("is_a", ()):
            below.setdefault(broader, []).append(i)
    for i, d in applications.items():
        for field, suffix, phrase in (("usual", "usual", "say-usual-there"), ("never", "never", "say-never-there")):
            names = d.get(field)
            if not names:
                continue
            text = making.say(phrase, thing=d["name"])
            if field == "usual":
                then = [
                    making.action("favour", USUAL_FAVOURS[min(n, len(USUAL_FAVOURS) - 1)], [name], text)
                    for n, name in enumerate(names)
                ]
            else:
                then = [making.action("exclude", list(names), names, text)]
            when = ["test", "application", "in", sorted(_heirs(i, field, applications, below))]
            fact = making.fact(f"{i}-{suffix}-fact", d.get("text") or text, d, i)
            making.rule(f"{i}-{suffix}", "group-us", text, when, then, fact, {"application": i})


def _heirs(thing: str, field: str, applications: Mapping[str, Data], below: Mapping[str, list[str]]) -> set[str]:
    """A thing and all below it that do not say the field themselves."""
    out = {thing}
    for child in below.get(thing, ()):
        if not applications[child].get(field):
            out |= _heirs(child, field, applications, below)
    return out


# product standards -------------------------------------------------------------------------------------------------


def _document(making: _Making, d: Data) -> None:
    standard = d.get("says", {}).get("standard")
    if not standard:
        return
    then = []
    if d.get("forbids"):
        text = making.say("say-document-forbids", document=d["name"])
        then.append(making.action("exclude", list(d["forbids"]), d["forbids"], text))
    if d.get("coats"):
        text = making.say("say-document-allows", document=d["name"])
        if d.get("set") in ("yes", True):
            allowed = making.action("exclude", [], d["coats"], text)
            others = making.action("exclude", [], ["all"], making.say("say-document-only", document=d["name"]))
            then.append({**others, "mask": others["mask"] & ~allowed["mask"]})
        then.append(making.action("favour", 1, d["coats"], text))
    if then:
        fact = making.fact(f"{d['id']}-fact", d.get("text") or d["about"], d, d["id"])
        when = ["test", "standard", "in", [standard]]
        making.rule(f"{d['id']}-coats", "group-pd", d["about"], when, then, fact, {"standard": standard})
