"""The summary of a parts list and its plan, as lines that a buyer can read and as data."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.dialogue.whole_list import Plan, Planned, WholeList
from advisor.graph.base import Base
from advisor.views.layout import bullets, wrap

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

MOST_REASONS = 8


def summary_lines(base: Base, whole: WholeList, width: int) -> list[str]:
    """What the list came to, in one sentence, as lines."""
    return wrap(summary_text(base, whole), width)


def summary_text(base: Base, whole: WholeList) -> str:
    """What the list came to, in one sentence."""
    return base.phrase(
        "parts-summary",
        lines=whole.lines,
        advised=whole.advised,
        referred=whole.referred,
        problems=whole.settle,
        none=whole.none,
    )


def plan_lines(base: Base, plan: Plan, width: int) -> list[str]:
    """The plan: the finishes with what they serve, whether it is proven, the lines that none serves and why."""
    say = base.phrase
    if not plan.finishes:
        out = wrap(say("parts-plan-none"), width)
    else:
        out = wrap(say("parts-plan-intro", count=len(plan.finishes), served=plan.served, today=plan.today), width)
        out += bullets([planned_text(base, p) for p in plan.finishes], width)
        out += wrap(proof_text(base, plan), width)
    if plan.wishes_changed:
        out += wrap(say("parts-plan-wishes", count=plan.wishes_changed), width)
    if plan.unserved:
        out += wrap(say("parts-plan-unserved", count=len(plan.unserved)), width)
        out += bullets(unserved_texts(base, plan), width)
    return out


def planned_text(base: Base, p: Planned) -> str:
    """One finish of the plan."""
    cost = "" if p.relative_cost is None else base.phrase("parts-plan-cost", about=f"{p.relative_cost:.2g}")
    name = base.finishes[p.finish].name
    pieces = "" if p.pieces <= p.lines else base.phrase("parts-plan-pieces", count=f"{p.pieces:,.0f}")
    return base.phrase("parts-plan-finish", finish=name, lines=p.lines, pieces=pieces, cost=cost)


def proof_text(base: Base, plan: Plan) -> str:
    """Whether fewer would do."""
    if plan.cover.exact:
        return base.phrase("parts-plan-proven")
    return base.phrase("parts-plan-bound", least=plan.cover.at_least)


def unserved_texts(base: Base, plan: Plan) -> list[str]:
    """Why some lines are served by nothing, the most frequent reasons first."""
    reasons = sorted(plan.reasons.items(), key=lambda r: -len(r[1]))
    out = [
        base.phrase("parts-plan-reason", lines=_listed(numbers), reason=reason)
        for reason, numbers in reasons[:MOST_REASONS]
    ]
    if len(reasons) > MOST_REASONS:
        out.append(base.phrase("parts-plan-more", count=len(reasons) - MOST_REASONS))
    return out


def _listed(numbers: Iterable[int]) -> str:
    return ", ".join(str(n) for n in numbers)


def plan_json(base: Base, plan: Plan) -> dict[str, Any]:
    """The plan as data."""
    return {
        "finishes": [
            {
                "finish": p.finish,
                "name": base.finishes[p.finish].name,
                "family": base.finishes[p.finish].family,
                "lines": p.lines,
                "pieces": p.pieces,
                "relative_cost": p.relative_cost and round(p.relative_cost, 3),
            }
            for p in plan.finishes
        ],
        "served": plan.served,
        "unserved": list(plan.unserved),
        "reasons": [{"reason": r, "lines": list(n)} for r, n in plan.reasons.items()],
        "exact": plan.cover.exact,
        "at_least": plan.cover.at_least,
        "wishes_changed": plan.wishes_changed,
        "finishes_line_by_line": plan.today,
    }


def summary_json(whole: WholeList) -> dict[str, Any]:
    """The counts as data."""
    return {
        "lines": whole.lines,
        "with_finish": whole.advised,
        "referred": whole.referred,
        "to_settle": whole.settle,
        "without_finish": whole.none,
    }
