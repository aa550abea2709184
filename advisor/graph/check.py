"""A quick check of the knowledge files while editing: `python -m advisor.graph.check [FILE-PART …]`."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

from advisor.graph.build import build


def main() -> int:
    """Print every fault (of files whose path holds one of the arguments) and the counts of nodes."""
    built = build(Path(__file__).resolve().parents[2] / "knowledge")
    wanted = sys.argv[1:]
    shown = [f for f in built.faults if not wanted or any(w in f.file for w in wanted)]
    for fault in shown:
        print(fault)
    print(
        dict(Counter(n.kind for n in built.nodes.values())),
        f"{len(built.edges)} edges, {len(shown)} faults shown of {len(built.faults)}",
    )
    return 1 if shown else 0


if __name__ == "__main__":
    sys.exit(main())
