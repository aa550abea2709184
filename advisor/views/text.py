"""Advice, cards and calculations as plain text: linear, no meaning by colour, readable aloud, at any width."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.calculations.options import Calculation
from advisor.dialogue.facts import worded
from advisor.graph.base import Base, Citation
from advisor.lookup.cards import Card
from advisor.reasoning.advice import Advice, Reason, Recommended
from advisor.reasoning.engine import Engine
from advisor.reasoning.figures import ShownFigure
from advisor.trade.zinc_life import CAP_YEARS, LifeTable
from advisor.views.layout import bullets, wrap

ALTERNATIVES = 3
CONDITIONAL_SHOWN = 4


class Sources:
    """Numbers for the citations of one text, in the order in which they are first used."""

    def __init__(self, base: Base, full: bool = True) -> None:
        self._base = base
        self._full = full
        self._number: dict[tuple[str, ...], int] = {}
        self._lines: list[str] = []

    def mark(self, ids: Iterable[str], most: int = 4) -> str:
        """The numbers for some cited nodes, such as " [1][3]"."""
        out: list[int] = []
        for i in ids:
            c = self._base.citation(i)
            line = self._line(c) if self._full else self._short(c)
            if (line,) not in self._number:
                if len(out) >= most:
                    continue
                self._number[(line,)] = len(self._number) + 1
                self._lines.append(line)
            if self._number[(line,)] not in out:
                out.append(self._number[(line,)])
        return (" " + "".join(f"[{n}]" for n in out[:most])) if out else ""

    def _line(self, c: Citation) -> str:
        how = {"memory": "say-unconfirmed", "practice": "say-practice", "derived": "say-derived"}.get(c.basis)
        place = ", ".join(x for x in (c.title, c.edition if c.edition not in c.title else "", c.where) if x)
        if how:
            return place if c.basis == "practice" and not c.where else f"{place} - {self._base.phrase(how)}"
        return place + (f" ({self._base.phrase('say-quoted')})" if c.seen == "quoted" else "")

    def _short(self, c: Citation) -> str:
        name = short_name(c.source, self._base.kind("source").get(c.source, {}))
        if c.basis == "practice":
            return self._base.phrase("say-practice-short")
        if c.basis == "memory":
            known = self._base.kind("source").get(c.source, {}).get("body")
            return (
                self._base.phrase("say-unconfirmed-short", name=name)
                if known
                else self._base.phrase("say-recalled-short")
            )
        return name

    def listed(self, width: int) -> list[str]:
        """The list of sources: one a line in full, or run on in one paragraph when short."""
        if not self._lines:
            return []
        if not self._full:
            run = " ".join(f"[{n}] {line};" for n, line in enumerate(self._lines, 1)).rstrip(";")
            return wrap(run, width, "  ", "  ")
        out: list[str] = []
        for n, line in enumerate(self._lines, 1):
            out.extend(wrap(line, width, "      ", f"  [{n}] "))
        return out


def short_name(source_id: str, source: Mapping[str, object]) -> str:
    """A document by its number where it has one, else by its title.

    >>> short_name("iso-9223-2012", {"body": "ISO", "edition": "ISO 9223:2012 (2nd edition)"})
    'ISO 9223:2012'
    >>> short_name("astm-f1941-2015", {"body": "ASTM", "edition": "2015"})
    'ASTM F1941 (2015)'
    """
    body, edition = str(source.get("body", "")), str(source.get("edition", ""))
    prefix = body.lower().replace("/", "-") + "-"
    if not body or not source_id.startswith(prefix):
        return str(source.get("title", source_id))
    if edition.upper().startswith(body.upper()):
        return edition.split(" (")[0]
    number = source_id[len(prefix) :].upper()
    head, _, tail = number.rpartition("-")
    if head and len(tail) == 4 and tail.isdigit() and tail[:2] in ("19", "20"):
        return f"{body} {head} ({tail})"
    return f"{body} {number}"


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
    """The advice in layers: 1 the line to say, 2 reasons, figures and cautions, 3 everything with sources."""
    base = engine.base
    sources = Sources(base, full=layer >= 3)
    blocks = [_referral(base, advice, width, sources), _lead(engine, advice, width, layer)]
    if layer >= 2:
        blocks += _detail(engine, advice, width, layer, sources)
    blocks.append(_warnings(base, advice, width, layer, sources))
    if layer >= 2 and advice.open_questions:
        decisions = base.kind("decision")
        asked = " ".join(str(decisions[q.decision]["text"]) for q in advice.open_questions[:3])
        blocks.append(wrap(base.phrase("say-open-questions", questions=asked), width))
    listed = sources.listed(width) if layer >= 2 else []
    if listed:
        blocks.append([base.phrase("say-citations-intro"), *listed])
    if layer < 3:
        blocks.append(wrap(base.phrase(f"say-more-{layer}"), width))
    closing = wrap(base.phrase("say-closing-referral"), width) if advice.refer else []
    blocks.append([*closing, *wrap(base.phrase("say-closing"), width)])
    return _apart(blocks)


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
    out: list[str] = []
    first, *others = advice.referral or (Reason("", ()),)
    out += wrap(base.phrase("say-referral-lead", because=first.text) + sources.mark(first.cites), width)
    for r in others:
        out += wrap(r.text + sources.mark(r.cites), width, "  ", "  ")
    if advice.referral_to:
        out += wrap(base.phrase("say-referral-to", to="; ".join(advice.referral_to)), width)
    if advice.recommended:
        out += wrap(base.phrase("say-referral-confirm"), width)
    return out


def _lead(engine: Engine, advice: Advice, width: int, layer: int) -> list[str]:
    base = engine.base
    out = wrap(phone_line(engine, advice), width)
    slots = base.kind("slot")
    for a in advice.assumed if advice.recommended else ():
        spoken = slots.get(a.slot, {}).get("safety") and a.value and a.slot not in ("part", "duty")
        if layer >= 3 or spoken:
            out += wrap(base.phrase("say-assumed", what=worded(base, a.slot, a.value), why=a.because), width)
    return out


def _warnings(base: Base, advice: Advice, width: int, layer: int, sources: Sources) -> list[str]:
    shown = [c for c in advice.cautions if layer > 1 or c.severity != "note"]
    if not shown:
        return []
    out = [base.phrase("say-cautions-intro")]
    for c in shown:
        line = base.phrase(
            "say-caution-line",
            severity=base.phrase(f"say-severity-{c.severity}"),
            text=c.text if layer >= 3 else c.brief,
        )
        out += bullets([line + (sources.mark(c.cites) if layer >= 3 else "")], width)
    return out


def _detail(engine: Engine, advice: Advice, width: int, layer: int, sources: Sources) -> list[list[str]]:
    base = engine.base
    blocks: list[list[str]] = [_finish(engine, r, width, sources) for r in advice.recommended[:1]]
    others = advice.recommended[1 : 1 + (ALTERNATIVES if layer == 2 else len(advice.recommended))]
    if others:
        block = [base.phrase("say-alternatives-intro")]
        for r in others:
            block += wrap(
                f"{base.finish(r.ranked.finish)['name']}{_in_brief(base, r)}", width, "     ", f"  {r.rank}. "
            )
            if layer >= 3:
                block += _finish(engine, r, width, sources, headed=False)
        for name, finish in (("say-also-cheapest", advice.cheapest), ("say-also-longest", advice.longest)):
            if finish:
                block += wrap(base.phrase(name, finish=base.finish(finish)["name"]), width, "  ", "  ")
        blocks.append(block)
    asked = advice.case.known.get("finish_asked")
    places = {r.family: n for n, r in enumerate(advice.judged.ranked, 1)}
    shown = {r.ranked.family for r in advice.recommended[: 1 + len(others)]}
    later = [f for f in asked if f in places and f not in shown] if isinstance(asked, list) else []
    if later:
        blocks.append(
            [
                x
                for f in later
                for x in wrap(
                    base.phrase("say-why-not-but", finish=base.kind("family")[f]["name"], rank=places[f]), width
                )
            ]
        )
    named = set(advice.case.known.get("named") or ())
    held = [h for h in advice.conditional if layer >= 3 or h.family in named or _usual_goods(base, h.family)]
    if held:
        block = [base.phrase("say-conditional-intro")]
        for h in held[: None if layer >= 3 else CONDITIONAL_SHOWN]:
            name = base.kind("family")[h.family]["name"]
            text = base.phrase("say-conditional-line", finish=name, condition=h.reasons[0].text)
            block += bullets([text + sources.mark(h.reasons[0].cites, 2)], width)
        blocks.append(block)
    excluded = [h for h in advice.excluded if layer >= 3 or h.family in named]
    if excluded:
        block = [base.phrase("say-excluded-intro")]
        for h in excluded:
            reasons: tuple[Reason, ...] = h.reasons if layer >= 3 else h.reasons[:2]
            cites = [c for r in reasons for c in r.cites]
            name = base.kind("family")[h.family]["name"]
            line = base.phrase("say-excluded-line", finish=name, reason=" ".join(r.text for r in reasons))
            block += bullets([line + sources.mark(cites)], width)
        blocks.append(block)
    requires = dict.fromkeys(
        r.text for r in (*advice.requires, *(x for r in advice.recommended[:1] for x in r.requires))
    )
    if requires:
        blocks.append([base.phrase("say-order-text-intro"), *bullets(requires, width)])
    notes = dict.fromkeys(x.text for x in (*advice.notes, *(x for r in advice.recommended[:1] for x in r.notes)))
    if notes:
        blocks.append([base.phrase("say-notes-intro"), *bullets(notes, width)])
    return blocks


def _usual_goods(base: Base, family: str) -> bool:
    """Whether a family is something the counter sells every day."""
    return base.kind("family")[family].get("stock") == "shelf"


def _in_brief(base: Base, r: Recommended) -> str:
    """Life and price of an alternative in half a line."""
    parts = []
    if "life_years" in r.figures:
        parts.append(base.phrase("say-brief-life", value=_years(*r.figures["life_years"][:2])))
    if "relative_cost" in r.figures:
        parts.append(
            base.phrase("say-brief-cost", value=_span(r.figures["relative_cost"].low, r.figures["relative_cost"].high))
        )
    if r.ranked.level == 0:
        parts.append(base.phrase("say-brief-weak"))
    return f": {', '.join(parts)}" if parts else ""


def _years(low: float, high: float) -> str:
    """Years as people say them: whole ones from ten on, "over 100" at the cap."""
    first, last = (LifeTable.shown(x + (x >= CAP_YEARS)) for x in (low, high))
    return first if first == last else f"{first} to {last}"


def _span(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _finish(engine: Engine, r: Recommended, width: int, sources: Sources, headed: bool = True) -> list[str]:
    base = engine.base
    out: list[str] = []
    data = base.finish(r.ranked.finish)
    if headed:
        out += wrap(f"{r.rank}. {data['name']}", width)
    out += bullets((x.text + sources.mark(x.cites) for x in r.reasons[:4]), width)
    out += bullets(
        (figure_line(base, q, f.low, f.high) + sources.mark(f.cites, 2) for q, f in telling(r.figures).items()), width
    )
    writes = [d["write"] for d in data.get("designations", ()) if d.get("status", "current") == "current"]
    if writes:
        out += bullets([base.phrase("say-designation", text="; ".join(writes))], width)
    return out


def telling(figures: Mapping[str, ShownFigure]) -> dict[str, ShownFigure]:
    """The figures worth a line: no zeros, no white rust where it is no other figure than red rust, one limit of heat."""
    out = {q: f for q, f in figures.items() if f.high > 0}
    for q, same in (("salt_spray_white_h", "salt_spray_red_h"), ("temperature_ok_c", "temperature_limit_c")):
        if q in out and same in out and out[q][:2] == out[same][:2]:
            del out[q]
    return out


def figure_line(base: Base, quantity: str, low: float, high: float) -> str:
    """A figure in words: "red rust in salt spray: 480 to 720 h"."""
    shown = _years(low, high) if quantity == "life_years" else _span(low, high)
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
    marks = sources.mark(c.cites, 12)
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
