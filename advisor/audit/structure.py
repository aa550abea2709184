"""Checks the graph without reasoning: what nothing shows, cites, raises or speaks of is dead weight, and is found."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from advisor.audit.faults import Finding
from advisor.graph.base import Base

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def counts(base: Base) -> dict[str, Any]:
    """Nodes by kind, edges, facts by basis."""
    places = base.section("places")
    links = base.section("neighbours").values()
    facts = Counter(f.basis for f in base.facts.values())
    return {
        "nodes": dict(sorted(Counter(p[0] for p in places.values()).items())),
        "edges": sum(1 for linked in links for link in linked if link[2] == "out"),
        "facts_by_basis": dict(sorted(facts.items())),
        "published_share": round(facts["published"] / max(1, facts.total()), 3),
    }


# what the program asks the base for by name ---------------------------------------------------------------------------


@cache
def named_in_program() -> frozenset[str]:
    """Every text constant of the program outside its docstrings: among them the ids it asks the base for."""
    package = Path(__file__).resolve().parent.parent
    return frozenset(
        node.value
        for path in sorted(package.rglob("*.py"))
        for node in _outside_docstrings(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _outside_docstrings(tree: ast.AST) -> Iterator[ast.AST]:
    """Every node of a module but the texts that stand alone as a statement."""
    for node in ast.iter_child_nodes(tree):
        if not (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)):
            yield node
            yield from _outside_docstrings(node)


def named_by_roles(base: Base) -> frozenset[str]:
    """The ids that roles hand to the program."""
    return frozenset(node_id for role in base.roles.values() for node_id in role.of)


def _used(base: Base) -> frozenset[str]:
    return named_in_program() | named_by_roles(base)


# checks -------------------------------------------------------------------------------------------------------------


def _links(base: Base, node_id: str) -> list[tuple[str, str, str]]:
    return [(e, other, direction) for e, other, direction in base.section("neighbours").get(node_id, ())]


def _strings(value: Any) -> Iterator[str]:
    """Every text below a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, (list, tuple)):
        for v in value:
            yield from _strings(v)
    elif hasattr(value, "values"):
        for v in value.values():
            yield from _strings(v)


def check_facts_are_shown(base: Base) -> Iterator[Finding]:
    """A fact or table must support a node that is shown, or be read by the program."""
    tables = base.tables
    used = named_by_roles(base) | frozenset(_strings(list(base.codes.values())))
    about = {i: n.about for i, n in base.facts.items()} | {i: n.about for i, n in tables.items()}
    for i, named in about.items():
        shown = any(e == "supports" and direction == "out" for e, _, direction in _links(base, i))
        if not (shown or named or i in used):
            text = f"no answer, card or calculation shows this {base.kind_of(i)}"
            yield Finding(i, "KB101", text, "add 'about' or cite it in a rule or figure")


def check_sources_are_cited(base: Base) -> Iterator[Finding]:
    """A document that nothing cites is dead weight, unless it explains which edition follows which."""
    for i in base.sources:
        if not _links(base, i):
            yield Finding(i, "KB102", "no fact cites this document", "cite it or remove it")


def check_cautions_are_raised(base: Base) -> Iterator[Finding]:
    """A caution must be shown by a rule or by a calculation."""
    used = _used(base)
    for i in base.cautions:
        if i not in used and not any(e == "warns" for e, _, _ in _links(base, i)):
            text = "no rule and no calculation shows this caution"
            yield Finding(i, "KB103", text, "add a rule that warns of it or remove it")


def check_topics_are_used(base: Base) -> Iterator[Finding]:
    """A topic must hold a caution or a rule."""
    used = _used(base)
    for i in base.topics:
        if i not in used and not any(direction == "in" for _, _, direction in _links(base, i)):
            yield Finding(i, "KB104", "no caution and no rule belongs to this topic", "remove it or use it")


def check_families_have_finishes(base: Base) -> Iterator[Finding]:
    """A family needs finishes, and its usual one must be its own and buyable today."""
    finishes = base.finishes
    members = Counter(f.family for f in finishes.values())
    for i, family in base.families.items():
        if not members[i]:
            yield Finding(i, "KB105", "this family has no finish", "add one")
        usual = family.usual
        if usual in finishes and finishes[usual].family != i:
            text = f"its usual finish '{usual}' belongs to the family {finishes[usual].family}"
            yield Finding(i, "KB105", text, "name one of its own")
        elif usual in finishes and finishes[usual].legacy and not family.legacy:
            yield Finding(i, "KB105", f"its usual finish '{usual}' is marked legacy", "name a current one")


def check_sets_are_used(base: Base) -> Iterator[Finding]:
    """A set must stand for some finish and be spoken of."""
    spoken = _names_spoken(base) | _used(base)
    masks = base.section("masks")["names"]
    for i in base.sets:
        if not masks.get(i):
            yield Finding(i, "KB106", "no finish belongs to this set", "check its 'of' and 'where'")
        if i not in spoken:
            yield Finding(i, "KB106", "no rule, set or role speaks of this set", "remove it or use it", fault=False)


def _names_spoken(base: Base) -> frozenset[str]:
    found: set[str] = set()
    for group in base.sets.values():
        found.update(group.of + group.leaving_out)
    for i in base.rules:
        for edge, other, direction in _links(base, i):
            if direction == "out" and edge not in ("broader", "warns"):
                found.add(other)
    return frozenset(found)


CHECKS = (
    check_facts_are_shown,
    check_sources_are_cited,
    check_cautions_are_raised,
    check_topics_are_used,
    check_families_have_finishes,
    check_sets_are_used,
)
