"""What a pattern or a word was read as, before context decides: the one record that all readers of the line share."""

from __future__ import annotations

from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Found(NamedTuple):
    """One reading of a stretch of the line (`start`, `end` in Line.text).

    `slot` and `value` for an enquiry slot; `slug` for a circumstance; `intent` for a role word or a request.
    `gives_way`: a general word ("outside") that a more particular one of the same slot replaces.
    """

    start: int
    end: int
    slot: str = ""
    value: Any = None
    certainty: float = 1.0
    slug: str = ""
    intent: str = ""
    also: Any = None
    gives_way: bool = False
    from_object: bool = False
    answering: str = ""
    term: str = ""
    fuzzy: bool = False
    candidates: tuple[Any, ...] = ()
    application: str = ""

    @property
    def length(self) -> int:
        return self.end - self.start

    def leaves_its_words(self, words: int) -> bool:
        """Whether a phrase only notices something and its words are read too: a circumstance, "they are" as a yes."""
        if self.slot or self.application:
            return False
        return (bool(self.slug) and not self.intent) or (self.intent in ("yes", "no") and words > 1)


def number(text: str) -> int | float:
    """A number without a needless decimal point.

    >>> number("40"), number("1.5"), number("40.0")
    (40, 1.5, 40)
    """
    value = float(text)
    return int(value) if value.is_integer() else round(value, 4)
