"""Checks that need more than one field of a node: what a slot says of its reading must fit its type and values."""

from __future__ import annotations

from collections.abc import Callable

from advisor.graph.source import Item

Report = Callable[[Item, str], None]


def check_slot(item: Item, report: Report) -> None:
    """Report what contradicts itself in a slot as written."""
    v = item.value
    kind = v["type"].value
    values = {x.value for x in v["values"].value} if "values" in v else set()
    for told, denied in (v["denial"].value if "denial" in v else {}).items():
        for word in (told, denied.value):
            if word not in values:
                report(denied, f"'{word}' is not a value of {v['id'].value}; a denial maps one value to another")
    if "bare" in v:
        bare = v["bare"].value
        if kind != "number":
            report(v["bare"], "only a slot of type number is answered by a bare number")
        elif bare["low"].value > bare["high"].value:
            report(v["bare"], "the range of a bare number is upside down")
    if kind != "choices" and "nothing_means" in v and v["nothing_means"].value == "empty":
        report(v["nothing_means"], "only a slot of type choices can be empty; for others 'none' means unknown")
    if kind == "choices" and "two_told" in v:
        report(v["two_told"], "a slot of type choices takes several values; leave 'two_told' out")
