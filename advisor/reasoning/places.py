"""Places: which of several count, and how corrosive the harshest of them is."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.graph.base import Base

CIRCUMSTANCE = "circumstance-"


class Places:
    """The places and circumstances of a base that say how corrosive it is."""

    def __init__(self, base: Base) -> None:
        self._indoors = frozenset(base.role("plain-indoors"))
        self._dry_beside = frozenset(base.role("dry-anchor-beside"))
        self._harsh: dict[str, tuple[float, tuple[str, ...]]] = {}
        self._changed: dict[str, tuple[str, ...]] = {}
        for i, node in base.kind("exposure").items():
            classes = tuple(c for c in node.get("corrosivity", ()) if c.startswith("C"))
            if not classes:
                continue
            self._harsh[i] = (node.get("harshness", 0.0), classes)
            if i.startswith(CIRCUMSTANCE):
                self._changed[i.removeprefix(CIRCUMSTANCE)] = tuple(node["corrosivity"])

    def sets_of_classes(self) -> list[tuple[str, ...]]:
        """Every set of corrosivity classes that a place or circumstance comes to, and every class alone."""
        sets = [classes for _, classes in self._harsh.values()] + [*self._changed.values()]
        return list(dict.fromkeys([*sets, *((c,) for classes in sets for c in classes)]))

    def counted(self, environment: Iterable[str]) -> list[str]:
        """The environments that count: an indoor one beside a harsher is dropped, except a dry anchor in concrete."""
        told = list(environment)
        harsher = [e for e in told if e not in self._indoors]
        return told if not harsher or self._dry_beside.issuperset(harsher) else harsher

    def corrosivity(self, environment: Iterable[str], circumstances: Iterable[str]) -> tuple[str, ...]:
        """The possible corrosivity classes of the harshest place (ISO 9223 Table C.1 by way of the exposure nodes)."""
        best: tuple[float, tuple[str, ...]] = (-1.0, ())
        for e in self.counted(environment):
            found = self._harsh.get(e)
            if found is not None and found[0] > best[0]:
                best = found
        classes = best[1]
        for c in circumstances:
            classes = self._changed.get(c, classes)
        return classes
