"""Everything that is known about an advice, with its sources in full: for `all`, and for what is saved."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.graph.base import Base
from advisor.graph.wording import worded, written_today
from advisor.reasoning.advice import Advice, Recommended
from advisor.reasoning.engine import Engine
from advisor.views.aloud import say_aloud
from advisor.views.figure_words import figure_line, span, telling, years_span
from advisor.views.layout import bullets, wrap
from advisor.views.one_look import closing_lines
from advisor.views.sources import Sources


def in_full(engine: Engine, advice: Advice, width: int) -> list[str]:
    """The advice with all reasons, figures, conditions, cautions and sources."""
    base = engine.base
    sources = Sources(base)
    blocks = [
        _referral(base, advice, width, sources),
        _lead(engine, advice, width),
        *(_finish(base, r, width, sources) for r in advice.recommended[:1]),
        _alternatives(base, advice, width, sources),
        _held(base, advice, width, sources),
        _excluded(base, advice, width, sources),
        *_order_and_notes(base, advice, width),
        _warnings(base, advice, width, sources),
        _open(base, advice, width),
    ]
    listed = sources.listed(width)
    if listed:
        blocks.append([base.phrase("say-citations-intro"), *listed])
    closing = wrap(base.phrase("say-closing-referral"), width) if advice.refer else []
    blocks.append([*closing, *wrap(base.phrase("say-closing"), width)])
    return _apart(blocks)


def sources_of(engine: Engine, advice: Advice, width: int) -> list[str]:
    """Where every figure and reason of the first choice and every warning is from."""
    base = engine.base
    sources = Sources(base)
    out = [base.phrase("say-citations-intro")]
    for r in advice.recommended[:1]:
        out += bullets((x.text + sources.mark(x.cites) for x in r.reasons), width)
        shown = telling(r.figures).items()
        out += bullets((figure_line(base, q, f.low, f.high) + sources.mark(f.cites) for q, f in shown), width)
    out += bullets((c.brief + sources.mark(c.cites) for c in advice.cautions if c.severity != "note"), width)
    return [*out, *sources.listed(width), *closing_lines(base, advice, width)]


def _apart(blocks: Iterable[list[str]]) -> list[str]:
    """Blocks with one blank line between them."""
    out: list[str] = []
    for block in blocks:
        if block:
            out += ["", *block] if out else block
    return out


def _referral(base: Base, advice: Advice, width: int, sources: Sources) -> list[str]:
    if not advice.refer:
        return []
    because = advice.referral[0].text if advice.referral else ""
    mark = sources.mark(advice.referral[0].cites) if advice.referral else ""
    out = wrap(base.phrase("say-referral-lead", because=because) + mark, width)
    for r in advice.referral[1:]:
        out += wrap(r.text + sources.mark(r.cites), width, "  ", "  ")
    if advice.referral_to:
        out += wrap(base.phrase("say-referral-to", to="; ".join(advice.referral_to)), width)
    if advice.recommended:
        out += wrap(base.phrase("say-referral-confirm"), width)
    return out


def _lead(engine: Engine, advice: Advice, width: int) -> list[str]:
    base = engine.base
    out = [x for text in say_aloud(engine, advice) for x in wrap(text, width)]
    for a in advice.assumed if advice.recommended else ():
        out += wrap(base.phrase("say-assumed", what=worded(base, a.slot, a.value), why=a.because), width)
    return out


def _finish(base: Base, r: Recommended, width: int, sources: Sources, headed: bool = True) -> list[str]:
    finish = base.finishes[r.ranked.finish]
    out = wrap(f"{r.rank}. {finish.name}", width) if headed else []
    out += bullets((x.text + sources.mark(x.cites) for x in r.reasons), width)
    shown = telling(r.figures).items()
    out += bullets((figure_line(base, q, f.low, f.high) + sources.mark(f.cites, 2) for q, f in shown), width)
    writes = [d.write for d in written_today(finish)]
    if writes:
        out += bullets([base.phrase("say-designation", text="; ".join(writes))], width)
    return out


def _alternatives(base: Base, advice: Advice, width: int, sources: Sources) -> list[str]:
    others = advice.recommended[1:]
    if not others:
        return []
    out = [base.phrase("say-alternatives-intro")]
    for r in others:
        out += wrap(f"{base.finishes[r.ranked.finish].name}{_in_brief(base, r)}", width, "     ", f"  {r.rank}. ")
        out += _finish(base, r, width, sources, headed=False)
    for name, finish in (("say-also-cheapest", advice.cheapest), ("say-also-longest", advice.longest)):
        if finish:
            out += wrap(base.phrase(name, finish=base.finishes[finish].name), width, "  ", "  ")
    return out


def _in_brief(base: Base, r: Recommended) -> str:
    """Life and price of an alternative in half a line."""
    parts = []
    if "life_years" in r.figures:
        parts.append(base.phrase("say-brief-life", value=years_span(*r.figures["life_years"][:2])))
    if "relative_cost" in r.figures:
        price = span(r.figures["relative_cost"].low, r.figures["relative_cost"].high)
        parts.append(base.phrase("say-brief-cost", value=price))
    if r.ranked.level == 0:
        parts.append(base.phrase("say-brief-weak"))
    return f": {', '.join(parts)}" if parts else ""


def _held(base: Base, advice: Advice, width: int, sources: Sources) -> list[str]:
    """What would do only under a condition."""
    out: list[str] = [base.phrase("say-conditional-intro")] if advice.conditional else []
    for h in advice.conditional:
        text = base.phrase("say-conditional-line", finish=base.families[h.family].name, condition=h.reasons[0].text)
        out += bullets([text + sources.mark(h.reasons[0].cites, 2)], width)
    return out


def _excluded(base: Base, advice: Advice, width: int, sources: Sources) -> list[str]:
    out = [base.phrase("say-excluded-intro")] if advice.excluded else []
    for h in advice.excluded:
        text = " ".join(r.text for r in h.reasons)
        line = base.phrase("say-excluded-line", finish=base.families[h.family].name, reason=text)
        out += bullets([line + sources.mark([c for r in h.reasons for c in r.cites])], width)
    return out


def _order_and_notes(base: Base, advice: Advice, width: int) -> list[list[str]]:
    first = advice.recommended[:1]
    blocks = []
    for intro, general, own in (
        ("say-order-text-intro", advice.requires, [x for r in first for x in r.requires]),
        ("say-notes-intro", advice.notes, [x for r in first for x in r.notes]),
    ):
        texts = dict.fromkeys(x.text for x in (*general, *own))
        blocks.append([base.phrase(intro), *bullets(texts, width)] if texts else [])
    return blocks


def _warnings(base: Base, advice: Advice, width: int, sources: Sources) -> list[str]:
    out = [base.phrase("say-cautions-intro")] if advice.cautions else []
    for c in advice.cautions:
        severity = base.phrase(f"say-severity-{c.severity}")
        line = base.phrase("say-caution-line", severity=severity, text=c.text)
        out += bullets([line + sources.mark(c.cites)], width)
    return out


def _open(base: Base, advice: Advice, width: int) -> list[str]:
    if not advice.open_questions:
        return []
    asked = " ".join(base.decisions[q.decision].text for q in advice.open_questions)
    return wrap(base.phrase("say-open-questions", questions=asked), width)
