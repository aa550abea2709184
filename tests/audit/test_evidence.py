"""What the audit says of evidence: labels that claim too much, reasons without a document, the share of an answer."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.audit.evidence import check_labels, evidence_of
from advisor.graph.base import Base
from advisor.graph.store import open_base
from advisor.reasoning.engine import Engine
from tests.graph.small_knowledge import write_knowledge


@pytest.mark.parametrize(
    "words",
    [
        "The yield is recalled.",
        "Larger sizes follow from a quarter of the allowance.",
        "The rest was computed here.",
        "Worked back from proof loads.",
    ],
)
def test_memory_under_a_published_label_is_found(own_folders: Path, words: str) -> None:
    more = f'facts:\n  - {{id: odd, text: "{words}", about: [oiled], source: trade-practice, where: "p. 3", '
    more += "basis: published, seen: quoted}\n"
    base = open_base(write_knowledge(own_folders / "k", more=more))
    assert [(f.node, f.code, f.fault) for f in check_labels(base)] == [("odd", "KB305", True)]


def test_a_table_that_tells_its_basis_row_by_row_may_hold_memory(own_folders: Path) -> None:
    more = (
        "tables:\n  - {id: mixed, name: Mixed, about: [oiled], columns: [a, basis], rows: [[1, memory]], "
        'note: "One row is recalled.", source: trade-practice, where: "p. 3", basis: published, seen: quoted}\n'
    )
    assert not list(check_labels(open_base(write_knowledge(own_folders / "k", more=more))))


def test_no_label_of_the_shipped_knowledge_claims_too_much(base: Base) -> None:
    assert [f.node for f in check_labels(base)] == []


def test_the_share_of_evidence_is_counted_over_what_answers_use(engine: Engine) -> None:
    found = evidence_of(engine)
    assert found.used.total() > 10_000
    assert found.confirmed <= found.used["published"] + found.used["derived"]
    assert found.shop > 0
    assert 0.80 <= found.share < 1  # what answers rest on: published, or derived from something published
