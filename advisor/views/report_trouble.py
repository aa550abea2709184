"""A diagnosis as sections: what stops, what to do now, the causes side by side, what to ask, what to order next."""

from __future__ import annotations

from advisor.calculations.options import Calculation
from advisor.reasoning.advice import Advice
from advisor.reasoning.diagnosis import Diagnosis, Weighed
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import listed
from advisor.views.diagnosis_text import closing_of, said_of, stop_of
from advisor.views.pictures.causes_picture import causes_picture
from advisor.views.pictures.hydrogen_picture import hydrogen_picture
from advisor.views.report_numbers import Numbering
from advisor.views.report_parts import (
    Block,
    Gallery,
    Grid,
    Notice,
    Paragraph,
    Points,
    Section,
    Sentence,
)
from advisor.views.report_recommended import cautions_section
from advisor.views.report_workings import hydrogen_of, summed_up


def trouble_sections(
    engine: Engine, found: Diagnosis, advice: Advice | None, numbers: Numbering
) -> list[Section | None]:
    """The sections of a diagnosis, most important first; of an advice beside it only the cautions."""
    base = engine.base
    say = base.phrase
    drawn = [causes_picture(base, found)]
    hydrogen = _hydrogen(engine, found)
    if hydrogen is not None:
        drawn.insert(0, hydrogen_picture(base, hydrogen))
    pictures = tuple(p for p in drawn if p is not None)
    return [
        _in_short(engine, found, numbers),
        _points("now", say("report-head-now"), found.now),
        _causes(engine, found, numbers),
        Section("pictures", say("report-head-pictures"), (Gallery(pictures),)) if pictures else None,
        Section("workings", say("report-head-workings"), (summed_up(base, hydrogen, numbers),)) if hydrogen else None,
        _ask(engine, found),
        _points("next", say("report-head-next"), () if found.stop else found.next),
        cautions_section(engine, advice, numbers, _on_it(engine, found)) if advice is not None else None,
    ]


def _on_it(engine: Engine, found: Diagnosis) -> int:
    """The finishes that are on the part or were spoken of, as a mask: cautions of others are no matter here."""
    named = found.facts.get("finish_now")
    return engine.rules.mask_of(listed(named))


def _hydrogen(engine: Engine, found: Diagnosis) -> Calculation | None:
    """What hydrogen does to the part with the finish on it, where something broke."""
    on_it = listed(found.facts.get("finish_now"))
    if not found.stop or not on_it:
        return None
    return hydrogen_of(engine, found.case, str(on_it[0]))


def _points(id_: str, heading: str, texts: tuple[str, ...]) -> Section:
    return Section(id_, heading, (Points(tuple(Sentence(x) for x in texts)),) if texts else ())


def _in_short(engine: Engine, found: Diagnosis, numbers: Numbering) -> Section:
    base = engine.base
    cites = tuple(c.id for c in found.complaints[:1])
    blocks: list[Block] = []
    if found.stop:
        text = numbers.sentence(stop_of(base, found), cites)
        blocks.append(Notice("stop", base.phrase("say-severity-stop"), text))
    blocks.append(Paragraph((numbers.sentence(said_of(base, found), cites),), strong=True))
    closing = base.phrase("report-not-to-order") if found.stop else closing_of(base, found)
    blocks.append(Paragraph((Sentence(closing),)))
    return Section("in-short", base.phrase("report-head-short"), tuple(blocks))


def _causes(engine: Engine, found: Diagnosis, numbers: Numbering) -> Section:
    base = engine.base
    say = base.phrase
    heads = tuple(say(f"report-col-{x}") for x in ("cause", "likelihood", "signs", "tell"))
    rows = tuple(_row(engine, w, numbers) for w in found.causes)
    blocks = (Grid(say("report-causes-caption"), heads, rows),) if rows else ()
    return Section("causes", say("report-head-causes"), blocks)


def _row(engine: Engine, w: Weighed, numbers: Numbering) -> tuple[Sentence, ...]:
    base = engine.base
    say = base.phrase
    pro = "; ".join(e.text.rstrip(".") for e in w.signs_for)
    con = "; ".join(e.text.rstrip(".") for e in w.signs_against)
    signs = [say("report-signs-for", signs=pro)] if pro else []
    signs += [say("report-signs-against", signs=con)] if con else []
    return (
        numbers.sentence(w.cause.name, (w.cause.id,), 1),
        Sentence(say(f"trouble-{w.likelihood}")),
        Sentence(" ".join(signs) or say("report-no-signs")),
        Sentence(w.cause.tell_apart),
    )


def _ask(engine: Engine, found: Diagnosis) -> Section:
    texts = list(found.ask)
    if found.question is not None:
        texts.insert(0, found.question.text)
    return _points("ask", engine.base.phrase("report-head-ask"), tuple(dict.fromkeys(texts)))
