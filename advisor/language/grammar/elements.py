"""Parts that several expressions of the grammar share: numbers, ranges, fractions, marks of inches."""

from __future__ import annotations

FREE = r"(?<![0-9./\#a-z])"
"""No figure, letter or mark of a size stands right before."""
NUMBER = rf"{FREE}[0-9]{{1,7}}(?:\.[0-9]{{1,3}})?"
PLAIN = r"[0-9]+(?:\.[0-9]+)?"
SHORT = r"[0-9]{1,3}(?:\.[0-9]{1,3})?"
FRACTION = r"(?:[1-6](?:\ |-|\ and\ |-and-))?[0-9]{1,2}/(?:2|4|8|16|32|64)(?![0-9])"
INCH_MARK = r"(?:\"|'')"
COEFFICIENT = r"0?\.[0-9]{1,3}"
END = r"(?=\ ?(?:\Z|[,.;!?]))"
"""The end of the line or of a clause."""
