"""Advice, cards and calculations as plain text: linear, no meaning by colour, readable aloud, at any width."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.dialogue.merging import worded
from advisor.graph.compiled import Base
from advisor.reasoning.advice import Advice, Reason, Recommended
from advisor.reasoning.calculations import Calculation
from advisor.reasoning.cards import Card
from advisor.reasoning.engine import Engine
from advisor.views.layout import bullets, wrap

ALTERNATIVES = 3
EXCLUDED_SHOWN = 8


class Sources:
    """Numbers for the citations of one text, in the order in which they are first used."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self._number: dict[tuple[str, ...], int] = {}
        self._lines: list[str] = []

    def mark(self, ids: Iterable[str]) -> str:
        """The numbers for some cited nodes, such as " [1][3]"."""
        out: list[int] = []
        for i in ids:
            c = self._base.citation(i)
            key = (c.source, c.where, c.basis)
            if key not in self._number:
                self._number[key] = len(self._number) + 1
                self._lines.append(self._line(c.title, c.edition, c.where, c.basis, c.seen))
            if self._number[key] not in out:
                out.append(self._number[key])
        return "".join(f" [{n}]" for n in out[:4])

    def _line(self, title: str, edition: str, where: str, basis: str, seen: str) -> str:
        how = {"memory": "say-unconfirmed", "practice": "say-practice"}.get(basis)
        place = ", ".join(x for x in (title, edition if edition not in title else "", where) if x)
        if how:
            return (
                place if basis == "practice" and "practice" in title.lower() else f"{place} - {self._base.phrase(how)}"
            )
        return place + (f" ({self._base.phrase('say-quoted')})" if seen == "quoted" else "")

    def listed(self, width: int) -> list[str]:
        """The numbered list of sources."""
        out: list[str] = []
        for n, line in enumerate(self._lines, 1):
            out.extend(wrap(line, width, "      ", f"  [{n}] "))
        return out


def understood_line(base: Base, said: Mapping[str, object]) -> str:
    """The one line that echoes what was understood."""
    parts = [worded(base, slot, value) for slot, value in said.items()]
    return base.phrase("say-understood", parts="; ".join(parts)) if parts else ""


def phone_line(engine: Engine, advice: Advice) -> str:
    """The line to say on the phone."""
    base = engine.base
    what = what_words(engine, advice)
    if not advice.recommended:
        return base.phrase("say-nothing-recommended")
    first = advice.recommended[0]
    reason = first.reasons[0].text if first.reasons else ""
    return base.phrase("say-phone-line", what=what, finish=base.finish(first.ranked.finish)["name"], reason=reason)


def what_words(engine: Engine, advice: Advice) -> str:
    """The fastener and its place in a few words."""
    base, told = engine.base, advice.case.told
    parts = [str(told[s]) for s in ("size", "strength") if told.get(s) not in (None, "unknown")]
    part = told.get("part")
    if isinstance(part, str) and part != "unknown":
        node = base.kind("exposure").get(part)
        parts.append(str(node["name"]) if node else part.replace("-", " "))
    places = advice.case.full.get("environment")
    if isinstance(places, list) and places:
        nodes = base.kind("exposure")
        parts.append("(" + ", ".join(str(nodes[p]["name"]) if p in nodes else p for p in places) + ")")
    return " ".join(parts) or base.phrase("say-this-fastener")


def advice_text(engine: Engine, advice: Advice, width: int, layer: int = 2) -> list[str]:
    """The advice in up to three layers: 1 the line to say, 2 reasons, figures and cautions, 3 everything with sources."""
    base = engine.base
    sources = Sources(base)
    out: list[str] = []
    if advice.refer:
        lead = advice.referral[0].text if advice.referral else ""
        out += wrap(
            base.phrase("say-referral-lead", because=lead)
            + sources.mark(advice.referral[0].cites if advice.referral else ()),
            width,
        )
        for r in advice.referral[1:]:
            out += wrap(r.text + sources.mark(r.cites), width, "  ", "  ")
        if advice.referral_to:
            out += wrap(base.phrase("say-referral-to", to="; ".join(advice.referral_to)), width)
        if advice.recommended:
            out += wrap(base.phrase("say-referral-confirm"), width)
        out.append("")
    out += wrap(phone_line(engine, advice), width)
    if advice.assumed:
        slots = base.kind("slot")
        for a in advice.assumed:
            if layer >= 3 or (slots.get(a.slot, {}).get("safety") and a.value and a.slot not in ("part", "duty")):
                out += wrap(base.phrase("say-assumed", what=worded(base, a.slot, a.value), why=a.because), width)
    if layer >= 2:
        out += _detail(engine, advice, width, layer, sources)
    if advice.cautions:
        out += ["", base.phrase("say-cautions-intro")]
        for c in advice.cautions:
            if layer == 1 and c.severity == "note":
                continue
            line = base.phrase("say-caution-line", severity=base.phrase(f"say-severity-{c.severity}"), text=c.text)
            out += bullets([line + (sources.mark(c.cites) if layer >= 3 else "")], width)
    if advice.open_questions and layer >= 2:
        decisions = base.kind("decision")
        asked = " ".join(str(decisions[q.decision]["text"]) for q in advice.open_questions[:3])
        out += ["", *wrap(base.phrase("say-open-questions", questions=asked), width)]
    if layer >= 3:
        out += ["", base.phrase("say-citations-intro"), *sources.listed(width)]
    if advice.refer:
        out += ["", *wrap(base.phrase("say-closing-referral"), width)]
    out += ["", *wrap(base.phrase("say-closing"), width)]
    return out


def _detail(engine: Engine, advice: Advice, width: int, layer: int, sources: Sources) -> list[str]:
    base = engine.base
    out: list[str] = []
    for r in advice.recommended[:1]:
        out += ["", *_finish(engine, advice, r, width, sources)]
    others = advice.recommended[1 : 1 + (ALTERNATIVES if layer == 2 else len(advice.recommended))]
    if others:
        out += ["", base.phrase("say-alternatives-intro")]
        for r in others:
            reason = f" - {r.reasons[0].text}" if r.reasons else ""
            out += wrap(f"{base.finish(r.ranked.finish)['name']}{reason}", width, "     ", f"  {r.rank}. ")
            if layer >= 3:
                out += _finish(engine, advice, r, width, sources, headed=False)
    for name, finish in (("say-also-cheapest", advice.cheapest), ("say-also-longest", advice.longest)):
        if finish:
            out += wrap(base.phrase(name, finish=base.finish(finish)["name"]), width)
    if advice.conditional:
        out += ["", base.phrase("say-conditional-intro")]
        shown = advice.conditional if layer >= 3 else advice.conditional[:4]
        for h in shown:
            text = base.phrase(
                "say-conditional-line", finish=base.kind("family")[h.family]["name"], condition=h.reasons[0].text
            )
            out += bullets([text + (sources.mark(h.reasons[0].cites) if layer >= 3 else "")], width)
    named = set(advice.case.known.get("named") or ())
    excluded = [h for h in advice.excluded if layer >= 3 or h.family in named]
    if excluded:
        out += ["", base.phrase("say-excluded-intro")]
        for h in excluded:
            reasons: tuple[Reason, ...] = h.reasons if layer >= 3 else h.reasons[:2]
            text = " ".join(r.text for r in reasons)
            cites = [c for r in reasons for c in r.cites]
            line = base.phrase("say-excluded-line", finish=base.kind("family")[h.family]["name"], reason=text)
            out += bullets([line + sources.mark(cites)], width)
    requires = (*advice.requires, *(x for r in advice.recommended[:1] for x in r.requires))
    if requires:
        out += ["", base.phrase("say-order-text-intro"), *bullets(dict.fromkeys(r.text for r in requires), width)]
    for n in dict.fromkeys(x.text for x in (*advice.notes, *(x for r in advice.recommended[:1] for x in r.notes))):
        out += wrap(n, width)
    if layer == 2:
        listed = sources.listed(width)
        if listed:
            out += ["", base.phrase("say-citations-intro"), *listed]
    return out


def _finish(
    engine: Engine, advice: Advice, r: Recommended, width: int, sources: Sources, headed: bool = True
) -> list[str]:
    base = engine.base
    out: list[str] = []
    data = base.finish(r.ranked.finish)
    if headed:
        out += wrap(f"{r.rank}. {data['name']}", width)
    if r.reasons:
        out += bullets((x.text + sources.mark(x.cites) for x in r.reasons[:4]), width)
    shown = [
        figure_line(base, q, r.figures[q].low, r.figures[q].high) + sources.mark(r.figures[q].cites) for q in r.figures
    ]
    if shown:
        out += [f"  {base.phrase('say-figures-intro')}", *bullets(shown, width, lead="    ")]
    writes = [d["write"] for d in data.get("designations", ()) if d.get("status", "current") == "current"]
    if writes:
        out += wrap(base.phrase("say-designation", text="; ".join(writes)), width, "    ", "  ")
    return out


def figure_line(base: Base, quantity: str, low: float, high: float) -> str:
    """A figure in words: "red rust in salt spray: 480 to 720 h"."""
    shown = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return base.phrase(f"figure-{quantity.replace('_', '-')}", value=shown)


def card_text(base: Base, c: Card, width: int, sources: Sources) -> list[str]:
    """A card: its name, then one labelled line after another."""
    out = wrap(f"{c.name} ({base.phrase('kind-' + c.kind)})", width)
    for line in c.lines:
        label = f"{line.label}: " if line.label else ""
        out += wrap(label + line.text + sources.mark(line.cites), width, "    ", "  ")
    if c.neighbours:
        near = list(
            dict.fromkeys(str(base.node(o).get("name") or base.node(o).get("title") or o) for _, o, _ in c.neighbours)
        )
        out += wrap(base.phrase("say-see-also", names="; ".join(near[:10])), width, "    ", "  ")
    return out


def cards_text(base: Base, cards: Iterable[Card], width: int) -> list[str]:
    """Several cards and the list of their sources."""
    sources = Sources(base)
    out: list[str] = []
    for c in cards:
        out += ["", *card_text(base, c, width, sources)] if out else card_text(base, c, width, sources)
    listed = sources.listed(width)
    if listed:
        out += ["", base.phrase("say-citations-intro"), *listed]
    return out


def calculation_text(base: Base, c: Calculation, width: int) -> list[str]:
    """A calculation: its lines, the method, cautions and sources."""
    sources = Sources(base)
    marks = sources.mark(c.cites)
    out = [x for line in c.lines for x in wrap(line, width, "  ")]
    out += ["", *wrap(base.phrase("say-method", method=c.method) + marks, width)]
    nodes = base.kind("caution")
    warned = [nodes[i] for i in c.cautions if i in nodes]
    if warned:
        out += ["", base.phrase("say-cautions-intro")]
        for n in warned:
            severity = base.phrase(f"say-severity-{n['severity']}")
            out += bullets([base.phrase("say-caution-line", severity=severity, text=n["text"])], width)
    listed = sources.listed(width)
    if listed:
        out += ["", base.phrase("say-citations-intro"), *listed]
    return [*out, "", *wrap(base.phrase("say-closing"), width)]
