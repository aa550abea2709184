"""An advice as sections: in short, what to order, candidates, pictures, why not the others, calculations, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.graph.base import Base
from advisor.graph.wording import worded, written_today
from advisor.reasoning.advice import Advice, Recommended
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import listed
from advisor.reasoning.explain import WhyNot, why_not
from advisor.reasoning.figures import ShownFigure
from advisor.views.aloud import PLACE, first_sentence, say_aloud
from advisor.views.direct import Direct
from advisor.views.figure_words import round_factor, span, telling, years_span
from advisor.views.pictures.all_of_them import pictures_of
from advisor.views.report_enquiry import open_section
from advisor.views.report_numbers import Numbering
from advisor.views.report_parts import (
    Block,
    Gallery,
    Grid,
    Notice,
    Paragraph,
    Particulars,
    Points,
    Section,
    Sentence,
)
from advisor.views.report_workings import Workings, workings_of, workings_section

MOST_CANDIDATES, MOST_EXCLUDED_SHOWN, MOST_HELD_SHOWN, MOST_STOPS_SHOWN = 4, 8, 4, 3
MOST_DESIGNATIONS = 3
COLUMNS = (
    ("life_years", "report-col-life"),
    ("relative_cost", "report-col-price"),
    ("salt_spray_red_h", "report-col-hours"),
    ("thickness_um", "report-col-coat"),
    ("temperature_limit_c", "report-col-heat"),
)
"""Figures side by side, and the heads of their columns."""


def advice_sections(engine: Engine, advice: Advice, direct: Direct | None, numbers: Numbering) -> list[Section | None]:
    """The sections of an advice, most important first; `direct` answers a question that was put."""
    base = engine.base
    workings = workings_of(engine, advice)
    return [
        _in_short(engine, advice, direct, numbers),
        _order(base, advice, workings, numbers),
        _candidates(base, advice, numbers),
        _why_not(engine, advice, numbers),
        open_section(base, advice),
        _pictures(engine, advice, workings),
        workings_section(engine, workings, numbers),
        cautions_section(engine, advice, numbers),
    ]


def _in_short(engine: Engine, advice: Advice, direct: Direct | None, numbers: Numbering) -> Section:
    base = engine.base
    say = base.phrase
    blocks: list[Block] = [*_stops(base, advice, numbers)]
    if direct is not None:
        blocks.append(Paragraph((numbers.sentence(direct.text, direct.cites),), strong=True))
    blocks.append(Paragraph(tuple(Sentence(x) for x in say_aloud(engine, advice)), strong=direct is None))
    first = advice.recommended[0] if advice.recommended else None
    if first is not None:
        blocks += [*_place_taken(base, advice), *_class_differs(base, advice, first)]
        blocks.append(Particulars(tuple(_key_figures(base, advice, first, numbers))))
    return Section("in-short", say("report-head-short"), tuple(blocks))


def _stops(base: Base, advice: Advice, numbers: Numbering) -> Iterator[Notice]:
    """Who must decide and why, then what stops everything."""
    say = base.phrase
    if advice.refer:
        because = advice.referral[0] if advice.referral else None
        text = say("report-refer", because=because.text if because else "")
        yield Notice("stop", say("report-label-refer"), numbers.sentence(text, because.cites if because else ()))
    for c in [c for c in advice.cautions if c.severity == "stop"][:MOST_STOPS_SHOWN]:
        yield Notice("stop", say("say-severity-stop"), numbers.sentence(c.brief, c.cites))


def _place_taken(base: Base, advice: Advice) -> list[Notice]:
    """That the place was not told, where all that follows hangs on one that was only taken."""
    if PLACE in advice.case.enquiry.said:
        return []
    places = listed(advice.case.full.get(PLACE))
    named = ", ".join(base.exposures[p].name for p in places if p in base.exposures)
    text = base.phrase("report-place-assumed", place=named)
    return [Notice("note", base.phrase("say-severity-note"), Sentence(text))] if named else []


def _class_differs(base: Base, advice: Advice, first: Recommended) -> list[Notice]:
    """That the first choice is of another class of the very metal that was asked for."""
    finish, told = base.finishes[first.ranked.finish], str(advice.case.told.get("strength") or "")
    asked = base.strengths.get(told.lower())
    if asked is None or not finish.grade or asked.material != finish.material:
        return []
    if told.lower() in (g.lower() for g in (finish.grade, *finish.strength_classes)):
        return []
    text = base.phrase("report-class-differs", asked=told, offered=finish.grade)
    return [Notice("warn", base.phrase("say-severity-warn"), Sentence(text))]


def _key_figures(base: Base, advice: Advice, first: Recommended, numbers: Numbering) -> Iterator[tuple[str, Sentence]]:
    """Finish, life, price, torque: what is read out."""
    say, f = base.phrase, first.figures
    finish = base.finishes[first.ranked.finish]
    label = say("report-key-confirm" if advice.refer else "report-key-finish")
    yield label, Sentence(finish.name)
    life, price, torque, hours = (f.get(q) for q in ("life_years", "relative_cost", "torque_nm", "salt_spray_red_h"))
    if life:
        text = say("report-years", value=years_span(life.low, life.high))
        yield say("report-key-life"), numbers.sentence(text, life.cites)
    elif first.ranked.level == 0:
        yield say("report-key-life"), Sentence(say("look-life-short"))
    if price:
        text = say("report-price", about=round_factor(price.low, price.high), span=span(price.low, price.high))
        yield say("report-key-price"), numbers.sentence(text, price.cites)
    if torque:
        yield say("report-key-torque"), numbers.sentence(say("look-torque", set=f"{torque.low:g}"), torque.cites)
    if hours and hours.high > 0:
        text = say("report-hours", value=span(hours.low, hours.high))
        yield say("report-key-hours"), numbers.sentence(text, hours.cites)


def _order(base: Base, advice: Advice, workings: Workings, numbers: Numbering) -> Section | None:
    """Why this finish, how it is designated, and the lines for the order."""
    if not advice.recommended:
        return None
    say = base.phrase
    first = advice.recommended[0]
    finish = base.finishes[first.ranked.finish]
    blocks: list[Block] = []
    why = tuple(numbers.sentence(r.text, r.cites) for r in first.reasons)
    blocks.append(Points(why, say("report-why", finish=finish.name)))
    written = [(d.standard, d.write) for d in written_today(finish)]
    if written:
        named = "; ".join(_designation(base, standard, write) for standard, write in written[:MOST_DESIGNATIONS])
        blocks.append(Paragraph((Sentence(say("report-designation", named=named)),)))
    texts = _order_lines(base, advice, workings, numbers)
    texts += [numbers.sentence(r.text, r.cites) for r in dict.fromkeys((*first.requires, *advice.requires))]
    if texts:
        blocks.append(Points(tuple(texts), say("report-order-lines")))
    notes = tuple(numbers.sentence(r.text, r.cites, 1) for r in dict.fromkeys((*first.notes, *advice.notes)))
    if notes:
        blocks.append(Points(notes, say("report-notes")))
    return Section("order", say("report-head-confirm" if advice.refer else "report-head-order"), tuple(blocks))


def _order_lines(base: Base, advice: Advice, workings: Workings, numbers: Numbering) -> list[Sentence]:
    """The lines of the calculation of orders, what it could not take before them, what is undecided in one line."""
    specify, told = workings.specify, advice.case.told
    if specify is None:
        return []
    before = ", ".join(worded(base, s, told[s]) for s in workings.left_out if s in told)
    out = [Sentence(before)] if before else []
    lines, undecided = (specify.results.get(k) for k in ("lines", "open"))
    if isinstance(lines, list):
        out += [numbers.sentence(str(x), () if n else specify.cites) for n, x in enumerate(lines)]
    if isinstance(undecided, list) and undecided and not before:
        out.append(Sentence(" ".join(str(x) for x in undecided)))
    return out


def _designation(base: Base, standard: str, write: str) -> str:
    """What is written, with the edition of its standard."""
    source = base.sources.get(standard)
    return (
        base.phrase("report-designation-of", write=write, edition=source.edition)
        if source and source.edition
        else write
    )


def shown_candidates(advice: Advice) -> tuple[Recommended, ...]:
    """The first few, with the cheapest that lasts and the longest-lived among them."""
    kept = [*advice.recommended[:MOST_CANDIDATES]]
    for r in advice.recommended[MOST_CANDIDATES:]:
        if r.ranked.finish in (advice.cheapest, advice.longest):
            kept.append(r)
    return tuple(kept)


def _candidates(base: Base, advice: Advice, numbers: Numbering) -> Section | None:
    shown = shown_candidates(advice)
    if not shown:
        return None
    say = base.phrase
    used = [(q, head) for q, head in COLUMNS if any(q in telling(r.figures) for r in shown)]
    rows = tuple(
        (Sentence(_named(base, advice, r)), *(_cell(base, r.figures, q, numbers) for q, _ in used)) for r in shown
    )
    heads = (say("report-col-finish"), *(say(head) for _, head in used))
    speaks = tuple(
        numbers.sentence(f"{base.finishes[r.ranked.finish].name}: {r.reasons[0].text}", r.reasons[0].cites)
        for r in shown[1:]
        if r.reasons and (r.reasons[0].rule or r.reasons[0].cites)
    )
    blocks: list[Block] = [Grid(say("report-candidates-caption"), heads, rows)]
    if speaks:
        blocks.append(Points(speaks, say("report-speaks-for")))
    return Section("candidates", say("report-head-candidates"), tuple(blocks))


def _named(base: Base, advice: Advice, r: Recommended) -> str:
    """A candidate with the part it plays."""
    say = base.phrase
    roles = [say("report-role-first")] if r.rank == 1 else [say("report-role-second")] if r.rank == 2 else []
    for chosen, name in ((advice.cheapest, "report-role-cheapest"), (advice.longest, "report-role-longest")):
        own = r.rank == 1 and not chosen and len(advice.recommended) > 1
        if own or chosen == r.ranked.finish:
            roles.append(say(name))
    if r.ranked.level == 0:
        roles.append(say("report-role-short"))
    name = base.finishes[r.ranked.finish].name
    return say("report-candidate", rank=r.rank, finish=name, roles=", ".join(roles)) if roles else f"{r.rank}. {name}"


def _cell(base: Base, figures: Mapping[str, ShownFigure], quantity: str, numbers: Numbering) -> Sentence:
    f = telling(figures).get(quantity)
    if f is None:
        return Sentence(base.phrase("report-no-figure"))
    shown = years_span(f.low, f.high) if quantity == "life_years" else span(f.low, f.high)
    return numbers.sentence(shown, f.cites, 1)


def _pictures(engine: Engine, advice: Advice, workings: Workings) -> Section | None:
    drawn = pictures_of(engine, advice, shown_candidates(advice), workings)
    return Section("pictures", engine.base.phrase("report-head-pictures"), (Gallery(drawn),)) if drawn else None


def _why_not(engine: Engine, advice: Advice, numbers: Numbering) -> Section:
    """What was named first, then what lies on every shelf: out with its reason, or in under which condition."""
    base = engine.base
    say = base.phrase
    blocks: list[Block] = []
    named = {*listed(advice.case.told.get("finish_asked")), *listed(advice.case.known.get("named"))}
    # of what nobody named only what a rule takes away or holds back is worth a line
    held = [
        w
        for w in (why_not(engine, advice.judged, f) for f in _thought_of(engine, named, advice))
        if w.reasons and (w.family in named or any(r.rule or r.cites for r in w.reasons))
    ]
    out = [w for w in held if w.state == "out"][:MOST_EXCLUDED_SHOWN]
    if out:
        heads = (say("report-col-finish"), say("report-col-because"))
        rows = tuple((Sentence(base.families[w.family].name), _because(w, numbers)) for w in out)
        blocks.append(Grid(say("report-excluded-caption"), heads, rows))
    only_if = [w for w in held if w.state == "conditional"][:MOST_HELD_SHOWN]
    if only_if:
        lines = tuple(_only_if(base, w, numbers) for w in only_if)
        blocks.append(Points(lines, say("report-held")))
    return Section("why-not", say("report-head-why-not"), tuple(blocks))


def _because(w: WhyNot, numbers: Numbering) -> Sentence:
    text = " ".join(dict.fromkeys(r.text for r in w.reasons[:2]))
    return numbers.sentence(text, [c for r in w.reasons[:2] for c in r.cites])


def _only_if(base: Base, w: WhyNot, numbers: Numbering) -> Sentence:
    name = base.families[w.family].name
    text = base.phrase("say-conditional-line", finish=name, condition=w.reasons[0].text)
    return numbers.sentence(text, w.reasons[0].cites)


def _thought_of(engine: Engine, named: set[str], advice: Advice) -> list[str]:
    """The families that a customer would think of and does not get: what was named, what is stocked."""
    shelf = [f.id for f in engine.base.families.values() if f.stock == "shelf" and not f.legacy]
    given = {r.ranked.family for r in advice.recommended}
    return [f for f in dict.fromkeys((*sorted(named), *shelf)) if f not in given and f in engine.base.families]


def cautions_section(engine: Engine, advice: Advice, numbers: Numbering, only: int | None = None) -> Section:
    """The warnings, those of the first choice first, then what is worth noting; `only` of the finishes of a mask and
    what holds whatever the finish.
    """
    base = engine.base
    say = base.phrase
    raised = [c for c in advice.cautions if only is None or c.mask == engine.rules.everything or c.mask & only]
    first = engine.rules.bit[advice.recommended[0].ranked.finish] if advice.recommended else engine.rules.everything
    warned = [c for c in raised if c.severity == "warn"]
    blocks: list[Block] = [
        Notice("warn", say("say-severity-warn"), numbers.sentence(c.brief, c.cites, 1))
        for c in warned
        if c.mask & first
    ]
    for intro, listed_ in (
        ("report-cautions-of-others", [(c.brief, c.cites) for c in warned if not c.mask & first]),
        ("report-noted", [(first_sentence(c.text), c.cites) for c in raised if c.severity == "note"]),
    ):
        if listed_:
            blocks.append(Points(tuple(numbers.sentence(text, cites, 1) for text, cites in listed_), say(intro)))
    return Section("cautions", say("report-head-cautions"), tuple(blocks))
