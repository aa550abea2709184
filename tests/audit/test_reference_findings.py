"""A reference enquiry that goes wrong is a fault; under a branch's layer another first place is only noted."""

from __future__ import annotations

import pytest

from advisor.audit.references import Outcome, reference_findings

PLATED = Outcome("hard-bolt", ("zinc-flake",), ("zinc-electroplate",), False, ("zinc-electroplate",), True, "")


def test_each_of_the_three_is_a_fault() -> None:
    assert [(f.code, f.fault) for f in reference_findings([PLATED])] == [
        ("KB801", True),
        ("KB802", True),
        ("KB803", True),
    ]


@pytest.mark.parametrize("argued", ["", "bronze lies on the shelf here"])
def test_a_branch_may_prefer_another_but_not_what_is_forbidden(argued: str) -> None:
    found = {f.code: f.fault for f in reference_findings([PLATED._replace(argued=argued)], layered=True)}
    assert found == {"KB801": True, "KB802": True, "KB803": False}
