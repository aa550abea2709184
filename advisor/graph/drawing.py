"""Draws the graph or a part of it: SVG in layers by kind, GraphML, node-link JSON, Mermaid."""

from __future__ import annotations

import json
from collections import Counter
from html import escape
from textwrap import wrap

import networkx as nx

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

LAYERS = (
    ("source",),
    ("fact", "table", "code", "document"),
    ("rule", "caution", "cause", "chemical"),
    ("topic", "set", "exposure", "strength", "complaint"),
    ("family", "finish", "offer", "supply"),
    ("slot", "decision", "reference", "application"),
    ("term", "ask", "phrase", "heading", "weight", "role"),
)
"""Columns of a drawing, from what things rest on to what people say."""

COLOURS = {
    "source": "#6b7280",
    "fact": "#2563eb",
    "table": "#0e7490",
    "code": "#0e7490",
    "rule": "#b45309",
    "caution": "#dc2626",
    "topic": "#7c3aed",
    "set": "#4d7c0f",
    "exposure": "#047857",
    "strength": "#9d174d",
    "family": "#15803d",
    "finish": "#16a34a",
    "slot": "#4338ca",
    "decision": "#6d28d9",
    "reference": "#57534e",
    "term": "#78716c",
    "ask": "#78716c",
    "phrase": "#78716c",
    "heading": "#78716c",
    "supply": "#16a34a",
    "weight": "#78716c",
    "role": "#78716c",
    "application": "#4338ca",
    "document": "#0e7490",
    "offer": "#16a34a",
    "chemical": "#dc2626",
    "complaint": "#b45309",
    "cause": "#b45309",
}
BOX_W, BOX_H, GAP_X, GAP_Y = 250, 66, 110, 14
TOP = 90
LETTERS, NAME_LINES = 36, 3
"""Letters of a name that fit on a line of a box, and the lines that it has for them."""
PAPER, INK, SOFT, BOX = "#ffffff", "#1f2937", "#6b7280", "#f9fafb"
"""Colours stand in every element, on paper of their own: any viewer shows them, on a white page and on a dark one."""
FONT = "sans-serif"


def svg(graph: Any, centre: str | None) -> str:
    """The graph by kinds (no centre), or the neighbourhood of a node, as SVG for light and dark."""
    return _neighbourhood(graph, centre) if centre is not None else _overview(graph)


def _layer(kind: str) -> int:
    return next((n for n, kinds in enumerate(LAYERS) if kind in kinds), len(LAYERS) - 1)


def _cut(text: str, letters: int) -> str:
    one = " ".join(str(text).split())
    return one if len(one) <= letters else one[: letters - 1].rstrip() + "…"


def _page(width: int, height: int, title: str, body: list[str]) -> str:
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
            f'role="img" aria-label="{escape(title)}" font-family="{FONT}">',
            '<defs><marker id="tip" viewBox="0 0 8 8" refX="8" refY="4" markerWidth="7" markerHeight="7" orient="auto">'
            f'<path d="M0 0 L8 4 L0 8 z" fill="{SOFT}"/></marker></defs>',
            f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
            _text(24, 34, title, 18, INK, bold=True),
            *body,
            "</svg>",
            "",
        ]
    )


def _text(x: int, y: int, text: str, size: int, colour: str, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x}" y="{y}" font-size="{size}" fill="{colour}"{weight}>{escape(text)}</text>'


def _name_lines(name: str) -> list[str]:
    """A name on as many lines as a box has; only what is longer than all of them is cut (the tip has it whole).

    >>> _name_lines("Zinc flake: friction coefficient of the lubricated top coat")
    ['Zinc flake: friction coefficient of', 'the lubricated top coat']
    """
    lines = wrap(" ".join(name.split()), LETTERS, max_lines=NAME_LINES, placeholder=" …")
    return lines or [""]


def _box(x: int, y: int, colour: str, name: str, below: str, tip: str, strong: bool = False) -> str:
    lines = [_text(x + 10, y + 16 + 14 * n, line, 11, INK) for n, line in enumerate(_name_lines(name))]
    return (
        f"<g><title>{escape(tip)}</title>"
        f'<rect x="{x}" y="{y}" width="{BOX_W}" height="{BOX_H}" rx="6" fill="{BOX}" stroke="{colour}" '
        f'stroke-width="{4 if strong else 2}"/>{"".join(lines)}{_text(x + 10, y + BOX_H - 7, below, 9, SOFT)}</g>'
    )


def _curve(x1: int, y1: int, x2: int, y2: int, label: str, far: bool) -> str:
    middle = (x1 + x2) // 2
    if abs(x2 - x1) < 4:
        middle = x1 + GAP_X // 2
    return (
        f'<path fill="none" stroke="{SOFT}" stroke-width="1.2" stroke-opacity="{0.13 if far else 0.65}" '
        f'marker-end="url(#tip)" d="M{x1} {y1} C{middle} {y1} {middle} {y2} {x2} {y2}">'
        f"<title>{escape(label)}</title></path>"
    )


def _neighbourhood(graph: Any, centre: str) -> str:
    columns: dict[int, list[str]] = {}
    for node, d in graph.nodes(data=True):
        columns.setdefault(_layer(d["kind"]), []).append(node)
    used = sorted(columns)
    place: dict[str, tuple[int, int]] = {}
    tallest = max(len(c) for c in columns.values())
    heads: list[str] = []
    row: dict[str, float] = {}
    for at, layer in enumerate(used):
        # each column follows the one before, so that lines cross little
        def weight(n: str) -> tuple[float, str]:
            near = [row[m] for m in nx.all_neighbors(graph, n) if m in row]
            return (sum(near) / len(near) if near else len(row) / 2, n)

        listed = sorted(columns[layer], key=weight)
        shift = (tallest - len(listed)) * (BOX_H + GAP_Y) // 2
        x = 24 + at * (BOX_W + GAP_X)
        heads.append(_text(x, TOP - 18, _kinds(graph, listed), 12, SOFT, bold=True))
        for n, node in enumerate(listed):
            place[node] = (x, TOP + shift + n * (BOX_H + GAP_Y))
            row[node] = place[node][1]
    lines = []
    for a, b, d in graph.edges(data=True):
        lines.append(_line(place[a], place[b], f"{a} {d['kind']} {b}", centre not in (a, b)))
    boxes = [
        _box(
            *place[n],
            COLOURS.get(d["kind"], "#78716c"),
            d["name"],
            _cut(f"{d['kind']} · {n}", 46),
            f"{d['kind']} {n}: {d['name']}",
            n == centre,
        )
        for n, d in graph.nodes(data=True)
    ]
    kinds = sorted({d["kind"] for _, d in graph.nodes(data=True)}, key=_layer)
    edges = ", ".join(f"{k} {n}" for k, n in sorted(Counter(d["kind"] for *_, d in graph.edges(data=True)).items()))
    width = max(24 + len(used) * (BOX_W + GAP_X), 24 + 110 * len(kinds), 60 + 7 * len(edges))
    bottom = TOP + tallest * (BOX_H + GAP_Y) + 20
    body = [*lines, *boxes, *heads, *_legend(kinds, bottom, edges)]
    title = f"Around {_cut(graph.nodes[centre]['name'], 70)} ({centre})"
    title += graph.graph.get("note", "")
    return _page(max(width, 48 + 11 * len(title)), bottom + 56, title, body)


def _kinds(graph: Any, nodes: list[str]) -> str:
    return ", ".join(f"{n} {k}" for k, n in sorted(Counter(graph.nodes[x]["kind"] for x in nodes).items()))


def _line(a: tuple[int, int], b: tuple[int, int], label: str, far: bool = False) -> str:
    (xa, ya), (xb, yb) = a, b
    half = BOX_H // 2
    if xa < xb:
        return _curve(xa + BOX_W, ya + half, xb, yb + half, label, far)
    if xa > xb:
        return _curve(xa, ya + half, xb + BOX_W, yb + half, label, far)
    return _curve(xa + BOX_W, ya + half, xb + BOX_W, yb + half, label, far)


def _legend(kinds: list[str], y: int, edges: str) -> list[str]:
    out = []
    for n, kind in enumerate(kinds):
        x = 24 + n * 110
        out.append(f'<rect x="{x}" y="{y}" width="12" height="12" rx="3" fill="{COLOURS.get(kind, "#78716c")}"/>')
        out.append(_text(x + 18, y + 10, kind, 11, INK))
    out.append(_text(24, y + 34, f"links: {edges}", 11, INK))
    return out


def _overview(graph: Any) -> str:
    """One box per kind with its number, one line per pair of kinds with the kinds of edges and their number."""
    numbers = Counter(d["kind"] for _, d in graph.nodes(data=True))
    joined: dict[tuple[str, str], Counter[str]] = {}
    for a, b, d in graph.edges(data=True):
        pair = (graph.nodes[a]["kind"], graph.nodes[b]["kind"])
        joined.setdefault(pair, Counter())[d["kind"]] += 1
    place: dict[str, tuple[int, int]] = {}
    tallest = 0
    tall = BOX_H + 56
    for at, kinds in enumerate(LAYERS):
        present = [k for k in kinds if k in numbers]
        tallest = max(tallest, len(present))
        for n, kind in enumerate(present):
            place[kind] = (24 + at * (BOX_W + GAP_X), TOP + n * tall + (at % 2) * 28)
    lines, listed = [], []
    for (a, b), links in sorted(joined.items(), key=lambda x: -sum(x[1].values())):
        said = ", ".join(f"{k} {n}" for k, n in links.most_common())
        if a != b:
            lines.append(_line(place[a], place[b], f"{a} to {b}: {said}"))
        listed.append(f"{a} to {b}: {said}")
    boxes = [
        _box(*place[k], COLOURS.get(k, "#78716c"), f"{k}: {numbers[k]}", "nodes", f"{numbers[k]} {k}") for k in place
    ]
    bottom = TOP + tallest * tall + 50
    rows = (len(listed) + 2) // 3
    table = [
        _text(24 + (n // rows) * 800, bottom + (n % rows) * 18, _cut(t, 120), 11, INK) for n, t in enumerate(listed)
    ]
    width = 24 + len(LAYERS) * (BOX_W + GAP_X)
    title = f"The knowledge: {sum(numbers.values())} nodes, {graph.number_of_edges()} links"
    return _page(width, bottom + rows * 18 + 24, title, [*lines, *boxes, *table])


def graphml(graph: Any, centre: str | None) -> str:
    """GraphML, for graph programs."""
    return "\n".join(nx.generate_graphml(graph)) + "\n"


def node_link_json(graph: Any, centre: str | None) -> str:
    """Nodes and links as JSON."""
    nodes = [{"id": n, **d} for n, d in graph.nodes(data=True)]
    links = [{"source": a, "target": b, "kind": d["kind"]} for a, b, d in graph.edges(data=True)]
    return json.dumps({"centre": centre, "nodes": nodes, "links": links}, ensure_ascii=False, indent=1) + "\n"


def mermaid(graph: Any, centre: str | None) -> str:
    """A Mermaid flowchart; without a centre one box per kind, because the whole graph could not be read."""
    out = ["flowchart LR"]
    if centre is None:
        numbers = Counter(d["kind"] for _, d in graph.nodes(data=True))
        out += [f'  {k}["{k}: {n}"]' for k, n in sorted(numbers.items())]
        joined = Counter(
            (graph.nodes[a]["kind"], d["kind"], graph.nodes[b]["kind"]) for a, b, d in graph.edges(data=True)
        )
        return "\n".join([*out, *(f"  {a} -->|{e} {n}| {b}" for (a, e, b), n in sorted(joined.items()))]) + "\n"
    number = {n: f"n{i}" for i, n in enumerate(graph.nodes)}
    out += [f'  {number[n]}["{_mermaid_text(d["name"])}"]:::{d["kind"]}' for n, d in graph.nodes(data=True)]
    out += [f"  {number[a]} -->|{d['kind']}| {number[b]}" for a, b, d in graph.edges(data=True)]
    kinds = sorted({d["kind"] for _, d in graph.nodes(data=True)})
    return "\n".join([*out, *(f"  classDef {k} stroke:{COLOURS.get(k, '#78716c')}" for k in kinds)]) + "\n"


def _mermaid_text(text: str) -> str:
    return _cut(text, 60).replace('"', "'").replace("<", "‹").replace(">", "›")
