"""advisor map: draws or exports the graph, or the neighbourhood of one node."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from advisor.errors import UsageError
from advisor.graph import drawing, trace
from advisor.shells.files import save
from advisor.shells.given import Call
from advisor.shells.opening import open_told
from advisor.shells.screen import write

MOST_DRAWN = 300
"""A picture of more nodes cannot be read."""
FORMS: dict[str, Callable[..., str]] = {
    ".svg": drawing.svg,
    ".graphml": drawing.graphml,
    ".json": drawing.node_link_json,
    ".mmd": drawing.mermaid,
}
"""How a file is drawn, by the ending of its name."""


def run(call: Call) -> int:
    """advisor map [NODE] --out FILE.(svg|graphml|json|mmd) [--depth N] [--most N]"""
    out = Path(call.one("out"))
    depth, most = call.whole("depth", 1, 1, 3), call.whole("most", 60, 5, MOST_DRAWN)
    make = FORMS.get(out.suffix.lower())
    if make is None:
        raise UsageError(f"'{out.name}' names no known form; end it in {', '.join(FORMS)}")
    base = open_told(call.settings)
    graph = trace.build_graph(base)
    if call.one("node"):
        node = trace.known_node(base, call.one("node"))
        part = trace.neighbourhood(base, node, depth, most, graph)
        shown, near = part.number_of_nodes(), part.graph["near"]
        if near > shown:
            part.graph["note"] = base.phrase("map-part", shown=shown, near=near)
            write(base.phrase("map-cut", shown=shown, near=near, most=MOST_DRAWN))
        text = make(part, node)
    else:
        text = make(graph, None)
        shown = graph.number_of_nodes()
    save(out, text)
    write(f"written: {out} ({shown} nodes)")
    return 0
