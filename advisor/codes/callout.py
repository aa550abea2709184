"""What a designation says, as a record; what is open are slugs beside the sentence that asks."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.codes.forms import Letter, Open
from advisor.codes.spelling import shown
from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Callout(NamedTuple):
    """One reading of a note, field by field as the contract names them; None where the note says nothing."""

    standard: str | None = None
    edition: str | None = None
    status: str | None = None
    code: str = ""
    superseded_by: str | None = None
    current_equivalents: tuple[str, ...] = ()
    family: str | None = None
    finish: str | None = None
    also: tuple[str, ...] = ()
    thickness_um: Any = None
    passivation: str | None = None
    hexavalent_chromium: str = "unstated"
    sealed: bool | None = None
    lubricated: bool | None = None
    top_coat: bool | None = None
    salt_spray_white_h: float | None = None
    salt_spray_red_h: float | None = None
    strength: str | None = None
    letters: tuple[Letter, ...] = ()
    open: tuple[Open, ...] = ()
    notes: tuple[str, ...] = ()
    cites: tuple[str, ...] = ()

    @property
    def bears_film(self) -> bool:
        """Whether a conversion film is on it, as far as the note says."""
        return self.passivation not in (None, "none", "phosphate")

    def asking_first(self, question: Open) -> Callout:
        """The same reading with one more open point, before the others."""
        return self._replace(open=(question, *self.open))

    def as_data(self) -> dict[str, object]:
        """The reading for a program, keyed as in the contract."""
        out: dict[str, object] = {k: v for k, v in self._asdict().items() if k not in ("open", "cites")}
        out["current_equivalents"], out["also"] = list(self.current_equivalents), list(self.also)
        out["letters"] = [{"code": x.code, "means": x.means} for x in self.letters]
        out["incomplete"] = list(dict.fromkeys(o.text for o in self.open))
        out["notes"] = list(dict.fromkeys(self.notes))
        return out


def still_open(base: Base, questions: Iterable[Open], answered: frozenset[str]) -> list[Open]:
    """The questions that what was read leaves: answered ones fall away, half answered ones ask for the rest."""
    out: list[Open] = []
    for q in questions:
        left = [a for a in q.asks if a not in answered]
        if not q.asks or len(left) == len(q.asks):
            out.append(q)
        else:
            # a film that was named by its colour alone may still hold chromium
            chromium = ["chromium"] if "film" in q.asks and "film" not in left else []
            out += [ask(base, a) for a in dict.fromkeys((*left, *chromium)) if a not in answered]
    return out


def ask(base: Base, slug: str) -> Open:
    """The plain question for one slug."""
    return Open(base.phrase(f"say-decode-ask-{slug}"), (slug,))


def clash(base: Base, key: str, old: object, new: object) -> Open:
    """The question which of two things holds."""
    named = f"say-decode-{key}"
    name = base.phrase(named) if named in base.kind("phrase") else key.replace("_", " ")
    return Open(base.phrase("say-decode-clash", key=name, old=shown(old), new=shown(new)))
