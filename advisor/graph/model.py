"""The kinds of nodes and edges of the knowledge graph, and the fields each kind may carry.

This is the one definition: reading checks against it, the JSON Schema for editors is generated from it. The forms
themselves stand in kinds_of_coats (what is known), kinds_of_talk (how it is told and judged) and kinds_of_use (what
people do with it).
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.kind import Kind
from advisor.graph.kinds_of_coats import OF_COATS
from advisor.graph.kinds_of_talk import OF_TALK
from advisor.graph.kinds_of_use import OF_USE

KINDS: tuple[Kind, ...] = (*OF_COATS, *OF_TALK, *OF_USE)
"""Every kind, in the order in which the graph is built."""

BY_KEY: Mapping[str, Kind] = {k.key: k for k in KINDS}
BY_NAME: Mapping[str, Kind] = {k.name: k for k in KINDS}
