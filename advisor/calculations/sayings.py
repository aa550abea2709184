"""How a calculation says what it found: its sentences from the knowledge, its figures in the digits they deserve."""

from __future__ import annotations

from advisor.graph.base import Base


class Sayings:
    """The sentences of one calculation by their short key."""

    def __init__(self, base: Base, topic: str) -> None:
        self._base, self._topic = base, topic

    def __call__(self, key: str, **values: object) -> str:
        return self._base.phrase(f"say-{self._topic}-{key}", **values)


def figure(value: float, digits: int = 4) -> str:
    """A figure with so many significant digits, never as a power of ten.

    >>> figure(12.3456), figure(0.5), figure(123456), figure(0.3334, 2)
    ('12.35', '0.5', '123456', '0.33')
    """
    return f"{value:.0f}" if abs(value) >= 10**digits else f"{value:.{digits}g}"


def span(pair: tuple[float, float], to: str = " to ", digits: int = 4) -> str:
    """Two figures as from and to, one where both read the same.

    >>> span((8, 12)), span((8.0, 8.0))
    ('8 to 12', '8')
    """
    low, high = (figure(x, digits) for x in pair)
    return high if low == high else f"{low}{to}{high}"


def rounded(value: float, digits: int = 6) -> float:
    """A figure for a program: more digits would pretend, fewer would round its checks away.

    >>> rounded(1234.56789), rounded(0.1 + 0.2, 5)
    (1234.57, 0.3)
    """
    return float(f"{value:.{digits}g}")
