"""What a one-shot answer loads: nothing dear."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

DEAR = ("networkx", "prompt_toolkit", "yaml", "asyncio", "logging", "importlib.metadata", "numpy", "argparse", "typing")
RUN = (
    "import sys, json, io, contextlib\n"
    "from advisor.shells.cli import run\n"
    "out = io.StringIO()\n"
    "with contextlib.redirect_stdout(out):\n"
    "    code = run(['ask', 'M10 outside', '--json'])\n"
    "print(json.dumps([code, out.getvalue(), sorted(sys.modules)]))\n"
)


def _loaded(cache: Path) -> tuple[int, str, list[str]]:
    env = {**os.environ, "ADVISOR_CACHE": str(cache)}
    done = subprocess.run([sys.executable, "-c", RUN], capture_output=True, text=True, env=env, check=True, timeout=120)
    code, out, modules = json.loads(done.stdout)
    return code, out, modules


def test_a_warm_one_shot_answer_loads_nothing_dear(tmp_path: Path) -> None:
    _loaded(tmp_path)
    code, out, modules = _loaded(tmp_path)
    assert code == 0
    assert json.loads(out)["recommended"]
    assert [m for m in DEAR if m in modules] == []
    assert [m for m in modules if m in ("advisor.graph.build", "advisor.audit.structure", "advisor.graph.trace")] == []
    assert [
        m for m in modules if m.startswith(("advisor.views.report", "advisor.views.pic", "advisor.views.page"))
    ] == []


def test_a_reading_is_told_without_the_engine(tmp_path: Path) -> None:
    env = {**os.environ, "ADVISOR_CACHE": str(tmp_path)}
    code = RUN.replace("'ask', 'M10 outside'", "'read', 'M10 outside'")
    for _ in range(2):
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, check=True)
    modules = json.loads(done.stdout)[2]
    assert [m for m in modules if m.startswith("advisor.reasoning.engine") or m in DEAR] == []
