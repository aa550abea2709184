"""A line of a parts list as a person and a program read it: what was understood, the finish, what to mind."""

from __future__ import annotations

from advisor.dialogue.parts_line import PartsLine
from advisor.graph.base import Base
from advisor.graph.wording import worded, written_today
from advisor.reasoning.enquiry import listed
from advisor.reasoning.remembered import Remembered
from advisor.reasoning.same_cases import LineOutcome
from advisor.records import NamedTuple
from advisor.views.aloud import first_sentence
from advisor.views.order_text import fastener_words

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

MOST_KEPT = 2000


class ShownLine(NamedTuple):
    """One line shown; plain values, so that it can pass between processes.

    `texts`: understood, recommended, order text, cautions, engineer, problems. `serves`: the finishes that would do, as
    a mask; `wished`: the families that the line asks for; `pieces`: how many, 1 where it was not told.
    """

    texts: tuple[str, ...]
    finish: str
    refer: str
    serves: int
    wished: tuple[str, ...]
    pieces: float
    settle: bool
    data: dict[str, Any]


class Wording:
    """How slots are said, each value once: a list says the same few over and over."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self._kept: Remembered[tuple[str, str], str] = Remembered(MOST_KEPT)

    def of(self, slot: str, value: Any) -> str:
        """A slot's value as a person says it."""
        key = (slot, repr(value))
        held = self._kept.get(key)
        if held is None:
            held = self._kept[key] = worded(self._base, slot, value)
        return held


def shown_line(base: Base, wording: Wording, line: PartsLine) -> ShownLine:
    """A line as it is shown."""
    o = line.outcome
    said = line.enquiry.said
    understood = "; ".join([wording.of(slot, s.value) for slot, s in said.items()])
    first = o.first if o else None
    finish = base.finishes[first.finish] if first else None
    written = [d.write for d in written_today(finish)] if finish else []
    order = ordered(base, line, finish.name, written, o) if finish and o else ""
    referral = _referral(base, line)
    cautions = [_caution(base, c.severity, c.brief) for c in o.cautions if c.severity != "note"] if o else []
    count = said.get("quantity")
    wish = said.get("finish_asked")
    texts = (understood, finish.name if finish else "", order, " ".join(cautions), referral, "; ".join(line.problems))
    refer = o.refer if o else "stop" if line.enquiry.said else ""
    data = {
        "understood": {
            s: {"value": x.value, "words": x.words, "certainty": round(x.certainty, 2)} for s, x in said.items()
        },
        "recommended": [
            {
                "rank": 1,
                "finish": first.finish,
                "name": finish.name,
                "family": first.family,
                "designations": written,
                "order": order,
            }
        ]
        if first and finish
        else [],
        "cautions": [
            {"id": c.id, "topic": c.topic, "severity": c.severity, "text": c.brief} for c in (o.cautions if o else ())
        ],
        "referral": {
            "required": bool(refer),
            "because": list(o.because) if o else [referral] if referral else [],
            "to": "; ".join(o.refer_to) if o else "",
        },
        "problems": list(line.problems),
    }
    return ShownLine(
        texts,
        first.finish if first else "",
        refer,
        o.serves if o else 0,
        tuple(listed(wish.value)) if wish else (),
        float(count.value) if count and isinstance(count.value, (int, float)) else 1.0,
        bool(line.problems),
        data,
    )


def ordered(base: Base, line: PartsLine, name: str, written: list[str], o: LineOutcome) -> str:
    """What to write on the order, on one line."""
    told = {s: x.value for s, x in line.enquiry.said.items()}
    requires = [first_sentence(r).rstrip(".") for r in o.requires]
    return "; ".join(x for x in (fastener_words(base, told), name, *written[:1], *requires, line.supply) if x)


def _referral(base: Base, line: PartsLine) -> str:
    o = line.outcome
    if o is None:
        return base.phrase("parts-decides", because=base.phrase("parts-unsettled")) if line.enquiry.said else ""
    if not o.refer:
        return ""
    because = first_sentence(o.because[0]) if o.because else ""
    return base.phrase("parts-decides" if o.refer == "stop" else "parts-advises", because=because)


def _caution(base: Base, severity: str, brief: str) -> str:
    text = first_sentence(brief)
    return base.phrase("parts-stop", text=text) if severity == "stop" else text


def headings(base: Base) -> tuple[str, ...]:
    """The headings of what is added to a list."""
    names = ("line", "understood", "recommended", "order", "cautions", "referral", "problems")
    return tuple(base.phrase(f"parts-{name}") for name in names)


def line_text(base: Base, number: int, shown: ShownLine) -> list[str]:
    """A line for the screen: what it should carry, then what to mind and to settle."""
    understood, finish, _, cautions, referral, problems = shown.texts
    what = understood or base.phrase("parts-this")
    phrase = "parts-one-line" if finish else "parts-one-none"
    first = base.phrase(phrase, line=number, finish=finish, what=what)
    return [first, *(x for x in (referral, cautions, problems) if x)]
