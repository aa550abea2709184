"""Whether the first place hangs on how the criteria are weighed: each weight moved by a quarter, up and down."""

from __future__ import annotations

from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import listed

MOVED = ("life", "cost", "clamp", "evidence", "stock")
"""The weights of criteria that are figures; the others say what counts at all."""
QUARTER = 0.25


def toppling_weights(engine: Engine, judged: Judged) -> tuple[str, ...]:
    """The weights with which another family comes first when they are moved by a quarter; none when it holds."""
    standing = judged.standing
    if standing is None or len(standing.order) < 2:
        return ()
    first = engine.rules.family[standing.order[0][1]]
    heeded = listed(judged.case.known.get("finish_asked")) or listed(judged.case.known.get("ordered"))
    lead = standing.order[1][0] - standing.order[0][0]
    out: list[str] = []
    for name in MOVED:
        # criteria lie between 0 and 1: a weight that moves by x moves the distance of two families by x at most
        if not heeded and lead > QUARTER * standing.sums.weights[name]:
            continue
        for factor in (1 - QUARTER, 1 + QUARTER):
            moved = engine.standing(judged.case, judged.screened, None, (name, factor))
            if moved is not None and engine.rules.family[moved.order[0][1]] != first:
                out.append(name)
                break
    return tuple(out)
