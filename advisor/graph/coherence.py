"""Checks that need more than one field of a node: how a slot is read, what a term fills, values of slots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from advisor.graph.source import Item, TellFault

Slots = Mapping[str, Mapping[str, Any]]

FILLS = ("slot", "also", "names", "circumstance", "intent", "number", "grammar")
"""What a term can be for; one of them must stand."""
TOLD = {
    "application": {
        "environment": "environment",
        "environment_ask": "environment",
        "mating": "mating",
        "part": "part",
        "wetted": "wetted",
        "cathodic_protection": "cathodic_protection",
        "duty": "duty",
    },
    "offer": {"part": "part", "market": "market"},
    "supply": {"part": "part"},
    "complaint": {"problem": "problem"},
}
"""Per kind the fields that hold values of a slot: field, slot."""


def check(kind: str, item: Item, slots: Slots, report: TellFault) -> None:
    """Report what contradicts itself, or says nothing, in a node as written."""
    match kind:
        case "slot":
            _slot(item, report)
        case "term":
            _term(item, slots, report)
        case "document":
            _says(item, slots, report)
        case "chemical":
            _bands(item, report)
    for field, slot in TOLD.get(kind, {}).items():
        if field in item.value:
            _values_of(slot, item.value[field], slots, report)


def _slot(item: Item, report: TellFault) -> None:
    v = item.value
    kind = v["type"].value
    values = {x.value for x in v["values"].value} if "values" in v else set()
    for told, denied in (v["denial"].value if "denial" in v else {}).items():
        for word in (told, denied.value):
            if word not in values:
                report(
                    denied, "KB051", f"'{word}' is not a value of {v['id'].value}", "a denial maps one value to another"
                )
    if "bare" in v:
        bare = v["bare"].value
        if kind != "number":
            report(v["bare"], "KB052", "only a slot of type number is answered by a bare number")
        elif bare["low"].value > bare["high"].value:
            report(v["bare"], "KB015", "the range of a bare number is upside down")
    if kind != "choices" and "nothing_means" in v and v["nothing_means"].value == "empty":
        report(
            v["nothing_means"], "KB052", "only a slot of type choices can be empty", "for others 'none' means unknown"
        )
    if kind == "choices" and "two_told" in v:
        report(v["two_told"], "KB052", "a slot of type choices takes several values", "leave 'two_told' out")


def _term(item: Item, slots: Slots, report: TellFault) -> None:
    v = item.value
    if not any(key in v for key in FILLS):
        report(item, "KB053", "the words say nothing", f"give the term one of {', '.join(FILLS)}")
    if "slot" in v and "value" not in v:
        report(v["slot"], "KB053", "a term that fills a slot needs 'value'")
    if "slot" in v and "value" in v:
        _values_of(v["slot"].value, v["value"], slots, report)
    for slot, value in (v["also"].value if "also" in v else {}).items():
        _values_of(slot, value, slots, report)


def _says(item: Item, slots: Slots, report: TellFault) -> None:
    for slot, value in (item.value["says"].value if "says" in item.value else {}).items():
        _values_of(slot, value, slots, report)


def _bands(item: Item, report: TellFault) -> None:
    v = item.value
    if "bands" not in v and "hazards" not in v:
        report(item, "KB054", "a chemical needs bands or hazards", "without them it changes nothing")


def _values_of(slot: str, item: Item, slots: Slots, report: TellFault) -> None:
    """Report values that a slot of closed values does not have."""
    if slot not in slots:
        report(item, "KB041", f"unknown slot '{slot}'", "slots stand in slots.yaml")
        return
    allowed = slots[slot].get("values")
    if allowed is None:
        return
    for x in _each(item):
        if x.value != "unknown" and x.value not in allowed:
            report(x, "KB051", f"'{x.value}' is not a value of {slot}")


def _each(item: Item) -> Iterator[Item]:
    if isinstance(item.value, list):
        yield from item.value
    else:
        yield item
