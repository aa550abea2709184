"""advisor map: draws or exports the graph, or the neighbourhood of one node."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from advisor.errors import UsageError
from advisor.graph import drawing, trace
from advisor.graph.store import knowledge_folder, open_base
from advisor.shells.arguments import Helped, Parser
from advisor.shells.cli import COMMANDS, Settings
from advisor.shells.files import save
from advisor.shells.opening import EXTENSIONS
from advisor.shells.screen import write

FORMS: dict[str, Callable[..., str]] = {
    ".svg": drawing.svg,
    ".graphml": drawing.graphml,
    ".json": drawing.node_link_json,
    ".mmd": drawing.mermaid,
}
"""How a file is drawn, by the ending of its name."""


def draw_map(settings: Settings, argv: list[str]) -> int:
    """advisor map [NODE] --out FILE.(svg|graphml|json|mmd)"""
    p = Parser("map", COMMANDS["map"].does, "example: advisor map zinc-flake --out zinc-flake.svg")
    p.add_argument("node", nargs="?", help="a node; its neighbourhood is drawn, else the whole graph by kinds")
    p.add_argument("--out", metavar="FILE", required=True, help="the file to write: .svg, .graphml, .json or .mmd")
    p.add_argument("--depth", type=int, default=1, help="how many edges away (1 to 3)")
    p.add_argument("--most", type=int, default=60, help="how many nodes at most (5 to 300)")
    try:
        n = p.parse(argv)
    except Helped:
        return 0
    out = Path(n.out)
    if not 1 <= n.depth <= 3:
        raise UsageError(f"--depth {n.depth} is outside 1 to 3")
    if not 5 <= n.most <= 300:
        raise UsageError(f"--most {n.most} is outside 5 to 300")
    make = FORMS.get(out.suffix.lower())
    if make is None:
        raise UsageError(f"'{out.name}' names no known form; end it in {', '.join(FORMS)}")
    base = open_base(settings.knowledge or knowledge_folder(), settings.overlays, EXTENSIONS)
    if base.notice:
        print(f"advisor: {base.notice}", file=sys.stderr)
    graph = trace.build_graph(base)
    if n.node is not None:
        node = trace.known_node(base, n.node)
        part = trace.neighbourhood(base, node, n.depth, n.most, graph)
        text = make(part, node)
        shown = part.number_of_nodes()
    else:
        text = make(graph, None)
        shown = graph.number_of_nodes()
    save(out, text)
    write(f"written: {out} ({shown} nodes)")
    return 0
