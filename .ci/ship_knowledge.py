"""Puts the compiled knowledge into the wheel, so that the first start after an installation is like every later one."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class ShipKnowledge(BuildHookInterface):
    """Compiles while the wheel is built; an editable installation compiles at its first start instead."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
        root = Path(self.root)
        sys.path.insert(0, str(root))
        sys.dont_write_bytecode = True
        from advisor.graph.store import ship
        from advisor.shells.opening import EXTENSIONS

        self._folder = tempfile.TemporaryDirectory()
        compiled = Path(self._folder.name) / "knowledge.base"
        ship(str(root / "knowledge"), str(compiled), EXTENSIONS)
        compiled.chmod(0o644)
        build_data["force_include"][str(compiled)] = "advisor/_knowledge.base"
