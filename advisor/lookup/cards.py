"""The card of a node: what it is, its figures with sources, its cautions and neighbours; generated, never written."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class CardLine(NamedTuple):
    """One line of a card with the nodes it rests on."""

    label: str
    text: str
    cites: tuple[str, ...] = ()


class Card(NamedTuple):
    """A node as a person reads it."""

    id: str
    kind: str
    name: str
    lines: tuple[CardLine, ...]
    neighbours: tuple[tuple[str, str, str], ...]


PLAIN_FIELDS = (
    "text",
    "family",
    "grade",
    "head_mark",
    "band",
    "material",
    "process",
    "charges_hydrogen",
    "hexavalent_chromium",
    "cadmium",
    "pfas",
    "lead",
    "colour",
    "passivation",
    "sealed",
    "lubricated",
    "conducts",
    "paint_base",
    "strength_classes",
    "substances",
    "stock",
    "hardness_hrc",
    "hardness_hv",
    "hardness_hb",
    "hardness_hrb",
    "case_hv",
    "case_hrc",
    "also",
    "tensile_mpa",
    "yield_mpa",
    "proof_mpa",
    "corrosivity",
    "do",
    "help",
    "body",
    "edition",
    "status",
    "severity",
    "valid_from",
    "valid_until",
    "note",
)
MOST_FACTS = 40


def card(base: Base, node_id: str) -> Card:
    """The card of any node; KeyError when there is none of the id."""
    d = base.node(node_id)
    kind = base.kind_of(node_id)
    labels = {i.removeprefix("label-"): n["text"] for i, n in base.kind("phrase").items() if i.startswith("label-")}
    lines = [
        CardLine(labels.get(k, k.replace("_", " ")), _shown(d[k]))
        for k in PLAIN_FIELDS
        if d.get(k) not in (None, [], "")
    ]
    figures = base.finish(node_id)["figures"] if kind == "finish" else {}
    for quantity, entries in figures.items():
        for fact, low, high, text, unit, when, _basis in entries:
            value = text if low is None else f"{low:g}" if low == high else f"{low:g} to {high:g}"
            shown = f"{value} {unit}".strip() + (f" ({when})" if when else "")
            lines.append(CardLine(labels.get(quantity, quantity.replace("_", " ")), shown, (fact,)))
    for designation in d.get("designations", ()):
        source = base.kind("source")[designation["standard"]]
        status = designation.get("status", "current")
        lines.append(
            CardLine(labels.get("designation", "designation"), f"{designation['write']} ({source['title']}, {status})")
        )
    if kind in ("fact", "table", "strength"):
        c = base.citation(node_id)
        lines.append(
            CardLine(
                labels.get("source", "source"), ", ".join(x for x in (c.title, c.edition, c.where) if x), (node_id,)
            )
        )
    if kind == "table":
        lines.append(CardLine(labels.get("columns", "columns"), ", ".join(d["columns"])))
        lines.extend(CardLine("", ", ".join(_shown(x) for x in row)) for row in d["rows"][:MOST_FACTS])
    neighbours: list[tuple[str, str, str]] = []
    for edge, other, direction in base.section("neighbours").get(node_id, ()):
        if edge == "supports" and direction == "in" and kind not in ("finish",):
            lines.append(
                CardLine(
                    labels.get("fact", "fact"),
                    str(base.node(other).get("text", base.node(other).get("name", ""))),
                    (other,),
                )
            )
        elif base.kind_of(other) not in ("fact", "role"):
            neighbours.append((edge, other, direction))
    if kind == "finish":
        for _edge, other, direction in base.section("neighbours").get(d["family"], ()):
            if direction == "in" and base.kind_of(other) == "fact" and other not in {c for x in lines for c in x.cites}:
                lines.append(CardLine(labels.get("fact", "fact"), str(base.node(other)["text"]), (other,)))
    return Card(
        node_id,
        kind,
        str(d.get("name") or d.get("title") or _first_words(d)),
        tuple(lines[: MOST_FACTS * 2]),
        tuple(neighbours[:MOST_FACTS]),
    )


def _first_words(d: Mapping[str, Any]) -> str:
    text = str(d.get("text", d.get("id", "")))
    return text if len(text) <= 70 else text[:67].rsplit(" ", 1)[0] + " …"


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        if len(value) == 2 and all(isinstance(x, (int, float)) for x in value):
            return f"{value[0]:g} to {value[1]:g}"
        return ", ".join(_shown(x) for x in value)
    if isinstance(value, float):
        return f"{value:g}"
    return "" if value is None else str(value)
