"""The text of an order, ready to copy: what, of which strength, with which finish, and what the coater must do."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.graph.wording import UNKNOWN, written_today
from advisor.reasoning.advice import Advice
from advisor.reasoning.engine import Engine
from advisor.views.layout import bullets, wrap
from advisor.views.one_look import closing_lines

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def order_text(engine: Engine, advice: Advice, width: int) -> list[str]:
    """The order lines of the first choice, one a line."""
    base = engine.base
    if not advice.recommended:
        return [*wrap(base.phrase("order-none"), width), *closing_lines(base, advice, width)]
    first = advice.recommended[0]
    finish = base.finishes[first.ranked.finish]
    told = advice.case.told
    written = [d.write for d in written_today(finish)]
    lines = [fastener_words(base, told), finish.name, *written[:2]]
    lines += [r.text for r in (*first.requires, *advice.requires)]
    kept = [x for x in dict.fromkeys(lines) if x]
    return [*wrap(base.phrase("order-intro"), width), *bullets(kept, width), *closing_lines(base, advice, width)]


def fastener_words(base: Base, told: Mapping[str, Any]) -> str:
    """What is ordered, in the trade's order: pieces, part, size by length, strength."""
    parts: list[str] = []
    count = told.get("quantity")
    if isinstance(count, (int, float)):
        parts.append(base.phrase("order-pieces", count=f"{count:g}"))
    part = told.get("part")
    if isinstance(part, str) and part in base.exposures:
        parts.append(base.exposures[part].name)
    length = told.get("length_mm")
    size = str(told.get("size")) if told.get("size") not in (None, UNKNOWN) else ""
    parts.append(f"{size} x {length:g}" if size and isinstance(length, (int, float)) else size)
    parts.append(str(told.get("strength")) if told.get("strength") not in (None, UNKNOWN) else "")
    return ", ".join(x for x in parts if x)
