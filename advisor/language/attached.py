"""Which readings of materials, colours, classes and years count, once it is known what each is said of."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.language.said_of import COMPARED, NOW, OTHER, WANTED
from advisor.language.scene import Steered


def materials_told(steered: Sequence[Steered], answering: str | None) -> list[Steered]:
    """A material word is the part's own finish or what the part touches: what it is said of tells which."""
    out: list[Steered] = []
    twins: dict[tuple[int, int], set[str]] = {}
    for s in steered:
        if s.found.slot in ("finish_asked", "mating"):
            twins.setdefault((s.found.start, s.found.end), set()).add(s.found.slot)
    for s in steered:
        f = s.found
        both = twins.get((f.start, f.end), set()) == {"finish_asked", "mating"}
        if f.slot == "environment" and answering == "mating" and both:
            continue
        if f.slot == "mating" and not f.answering:
            if _touching(s, answering) or not (both or f.gives_way):
                out.append(s)
        elif f.slot == "finish_asked" and not f.answering:
            out.extend(_finish(s, both, answering))
        elif f.slot == "appearance" and answering == "mating":
            continue  # the colour of what it touches
        else:
            out.append(s)
    return out


def _touching(s: Steered, answering: str | None) -> bool:
    if answering == "mating":
        return True
    return answering not in ("finish_asked", "exclude") and s.said_of == OTHER


def _finish(s: Steered, both: bool, answering: str | None) -> list[Steered]:
    """The finish said of the fastener; said of another part it is only known to be there."""
    if answering == "finish_now":
        return [] if s.said_of == OTHER else [s._replace(said_of=NOW)]
    if answering == "finish_asked" and s.said_of == NOW:
        return [s]
    if answering in ("finish_asked", "exclude"):
        return [s._replace(said_of=WANTED)]
    if answering == "mating" and not both:
        return []
    if s.said_of == OTHER:
        return [] if both else [s._replace(said_of=COMPARED)]
    return [] if both and answering == "mating" else [s]


def of_no_matter(s: Steered, steered: Sequence[Steered]) -> bool:
    """Whether a colour is that of something else, or a class that of the fastener there now ("fitter used A2")."""
    f = s.found
    if f.slot == "life_years":
        return s.said_of == NOW and not f.answering
    if f.slot == "appearance":
        return s.said_of != WANTED and not f.answering
    if f.slot != "strength":
        return False
    return any(
        x.found.slot == "finish_asked" and x.said_of in (NOW, COMPARED) and x.found.start <= f.start < x.found.end
        for x in steered
    )
