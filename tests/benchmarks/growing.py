"""Makes a knowledge of many times the size; compiling it must grow in step: python -m tests.benchmarks.growing."""

from __future__ import annotations

import json
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from advisor.graph.compile import compiled_knowledge
from advisor.graph.sections import pack
from advisor.graph.source import read_file, strip_marks
from advisor.graph.store import knowledge_folder
from advisor.shells.opening import EXTENSIONS

COPIED = ("finishes", "rules", "facts", "terms", "cautions")


def grow(folder: Path, into: Path, times: int) -> float:
    """Write a knowledge with `times` as many finishes, rules, facts, terms and cautions; returns its size in KB."""
    for path in sorted(folder.rglob("*.yaml")):
        document, _ = read_file(path, path.name)
        if document is None:
            continue
        kinds: dict[str, list[dict[str, Any]]] = strip_marks(document)
        name = "-".join(path.relative_to(folder).parts)
        (into / name).write_text(path.read_text("utf-8"), "utf-8")
        for n in range(2, times + 1):
            more = {k: [_copy(k, node, n) for node in nodes] for k, nodes in kinds.items() if k in COPIED}
            if more:
                (into / f"{n}-{name}").write_text(json.dumps(more, ensure_ascii=False), "utf-8")
    return sum(p.stat().st_size for p in into.glob("*.yaml")) / 1000


def _copy(kind: str, node: dict[str, Any], n: int) -> dict[str, Any]:
    """A node under an id of its own; words are made new, so that the vocabulary grows as well."""
    copy = {**node, "id": f"{node['id']}-copy-{n}"}
    if kind == "terms":
        copy["say"] = [f"{say} {'abcdefghijk'[n]}{'abcdefghijk'[n]}" for say in node["say"]]
    return copy


def main(times: int) -> int:
    """Seconds for each KB at the size as shipped and grown; 1 when the grown one costs half as much again."""
    costs = []
    for factor in (1, times):
        with tempfile.TemporaryDirectory() as folder:
            size = grow(knowledge_folder(), Path(folder), factor)
            began = time.process_time()
            sections, faults = compiled_knowledge([folder], EXTENSIONS)
            if faults:
                print(faults[0])
                return 1
            _, body = pack(sections)
            costs.append((time.process_time() - began) * 1000 / size)
        print(f"x{factor}: {size:.0f} KB, {costs[-1]:.2f} ms/KB, base of {len(body) / 1e6:.1f} MB")
    return int(costs[1] > 1.5 * costs[0])


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 10))
