"""Spoken numbers become figures: "three hundred and fifty", "half a dozen", "one point seven five", "three eighths"."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.records import NamedTuple

JOINTS = (" ", "-")
_INCH_WORDS = frozenset(("inch", "inches", "in", '"', "unc", "unf", "bsw", "whitworth", "x", "by"))
_OF_HUNDREDS = frozenset(
    {"hour", "hours", "hrs", "hr", "h", "vickers", "hv", "brinell", "hb"}
    | {"degree", "degrees", "deg", "fahrenheit", "celsius", "centigrade"}
)
"""Units of which "seven twenty" are 720."""
_POINT = frozenset(("point", "dot"))
_HALF = -2


class Piece(NamedTuple):
    """A word, number, gap or mark, and the stretch of the line as typed that it came from."""

    text: str
    start: int
    end: int


def spoken_to_figures(pieces: list[Piece], numbers: Mapping[str, int]) -> list[Piece]:
    """Replaces runs of number words by one number; `numbers` gives their values (negative: parts of an inch).

    >>> words = {"three": 3, "hundred": 100, "fifty": 50, "half": -2, "dozen": 12, "one": 1, "seven": 7, "five": 5}
    >>> def said(text):
    ...     pieces = [Piece(w, 0, 0) for w in text.replace(" ", "| |").split("|")]
    ...     return "".join(p.text for p in spoken_to_figures(pieces, words))
    >>> said("three hundred and fifty off"), said("half a dozen"), said("one point seven five")
    ('350 off', '6', '1.75')
    >>> said("one in three")
    'one in 3'
    """
    out: list[Piece] = []
    i = 0
    while i < len(pieces):
        value = numbers.get(pieces[i].text)
        if pieces[i].text == "couple" and _couple_of(pieces, i, numbers):
            # "a couple of hundred" is 200; "galvanic couple" stays a word
            out.append(Piece("2", pieces[i].start, pieces[i + 2].end))
            i += 3
        elif value is None and pieces[i].text.isdigit() and _half_ahead(pieces, i):
            figure, end, j = _and_a_half(pieces[i].text, pieces[i].end, pieces, i + 1, numbers)
            out.append(Piece(figure, pieces[i].start, end))
            i = j
        elif value is None or _glued(pieces, i) or _shares(pieces, i):
            out.append(pieces[i])
            i += 1
        elif value < 0:
            i = _half_of(out, pieces, i, numbers) if value == _HALF else i
            i = _fraction(out, pieces, i, numbers)
        else:
            i = _run(out, pieces, i, numbers)
    return out


def _glued(pieces: list[Piece], i: int) -> bool:
    """Whether the word is part of a token with figures."""
    before = i > 0 and pieces[i - 1].text[-1:].isdigit()
    return before or (i + 1 < len(pieces) and pieces[i + 1].text[:1].isdigit())


def _shares(pieces: list[Piece], i: int) -> bool:
    """ "One in three", "one of those", "one goes in the beam": no figure is told."""
    behind = [p.text for p in pieces[i + 1 : i + 4]]
    return pieces[i].text == "one" and (
        behind[1:] == ["in", " "] or behind[1:2] in (["of"], ["goes"], ["side"], ["day"])
    )


def _run(out: list[Piece], pieces: list[Piece], i: int, numbers: Mapping[str, int]) -> int:
    """Appends a run of number words as one figure; returns the place behind it."""
    start, end, last, total = pieces[i].start, pieces[i].end, numbers[pieces[i].text], 0
    if (last >= 100 or pieces[i].text == "dozen") and len(out) > 1 and out[-1].text == " " and _is_figure(out[-2].text):
        # "2 dozen", "3 hundred", "1.5 thousand"
        last, start = round(float(out[-2].text) * last), out[-2].start
        del out[-2:]
    j = i + 1
    while j + 1 < len(pieces) and pieces[j].text in JOINTS:
        k = _behind_and(pieces, j + 1, last)
        following = numbers.get(pieces[k].text)
        if following is None or following < 0:
            break
        hundreds = _in_hundreds(pieces, k) or (not out and _alone(pieces, k))
        if _parts_ahead(pieces, k, numbers):
            break  # "two thousand five sixteenths"
        step = _joined(total, last, following, pieces[k].text, hundreds)
        if step is None:
            if 0 < last < 10 <= following < 100 and not total and _among_sizes(out, pieces, k, numbers):
                return _pitch(out, pieces, i, k, f"{last}.{following}", numbers)
            break
        total, last = step
        end, j = pieces[k].end, k + 1
    figure, end, j = _decimals(str(total + last), end, pieces, j, numbers)
    figure, end, j = _and_a_half(figure, end, pieces, j, numbers)
    by = " off" if _fraction_ahead(pieces, j) else ""
    out.append(Piece(figure + by, start, end))
    return j


def _is_figure(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


def _behind_and(pieces: list[Piece], k: int, last: int) -> int:
    """The place behind "and" in "three hundred and fifty"."""
    over = pieces[k].text == "and" and last >= 100 and k + 2 < len(pieces) and pieces[k + 1].text == " "
    return k + 2 if over else k


def _joined(total: int, last: int, following: int, word: str, hundreds: bool) -> tuple[int, int] | None:
    """(thousands so far, the rest) with the next number word taken in; None when it begins a number of its own."""
    multiplies = following in (100, 144) or following >= 1000 or word == "dozen"
    if multiplies and last + total > 0:
        return ((total + last) * following, 0) if following >= 1000 else (total, last * following)
    if (last % 100 == 0 and 0 < following < 100) or (last % 1000 == 0 and following < 1000):
        return total + last, following
    if last >= 20 and last % 10 == 0 and following < 10:
        return total, last + following
    if hundreds and 0 < last < 10 <= following < 100:
        return total, last * 100 + following  # "seven twenty hours"
    return None


def _in_hundreds(pieces: list[Piece], k: int) -> bool:
    return k + 2 < len(pieces) and pieces[k + 2].text in _OF_HUNDREDS


def _alone(pieces: list[Piece], k: int) -> bool:
    """Whether the line or its first clause ends behind a word: "seven twenty, red"."""
    return k + 1 >= len(pieces) or pieces[k + 1].text in ",.;!?"


def _decimals(figure: str, end: int, pieces: list[Piece], j: int, numbers: Mapping[str, int]) -> tuple[str, int, int]:
    """ "One point seven five" as 1.75."""
    if [p.text for p in pieces[j : j + 3 : 2]] != [" ", " "] or pieces[j + 1].text not in _POINT:
        return figure, end, j
    digits, k = "", j + 2
    while k + 1 < len(pieces) and pieces[k].text in JOINTS and 0 <= numbers.get(pieces[k + 1].text, -1) <= 9:
        digits += str(numbers[pieces[k + 1].text])
        k += 2
    return (f"{figure}.{digits}", pieces[k - 1].end, k) if digits else (figure, end, j)


def _and_a_half(figure: str, end: int, pieces: list[Piece], j: int, numbers: Mapping[str, int]) -> tuple[str, int, int]:
    """ "A gross and a half" as 216, "two and a half thousand" as 2500, "two and a half inch" as 2.5 inch."""
    words = [p.text for p in pieces[j : j + 8]]
    if words[:6] != [" ", "and", " ", "a", " ", "half"] or not figure.isdigit():
        return figure, end, j
    if int(figure) >= 12:
        return (str(int(figure) * 3 // 2), pieces[j + 5].end, j + 6) if int(figure) % 2 == 0 else (figure, end, j)
    times = numbers.get(words[7], 1) if len(words) == 8 else 1
    if times >= 12:
        return str(int((int(figure) + 0.5) * times)), pieces[j + 7].end, j + 8
    return f"{figure}.5", pieces[j + 5].end, j + 6


def _half_ahead(pieces: list[Piece], i: int) -> bool:
    return i + 6 < len(pieces) and pieces[i + 6].text == "half" and pieces[i + 2].text == "and"


def _parts_ahead(pieces: list[Piece], k: int, numbers: Mapping[str, int]) -> bool:
    """Whether a number word counts parts of an inch: "five sixteenths"."""
    return k + 2 < len(pieces) and pieces[k + 1].text in JOINTS and numbers.get(pieces[k + 2].text, 0) < _HALF


def _among_sizes(out: list[Piece], pieces: list[Piece], k: int, numbers: Mapping[str, int]) -> bool:
    """Whether a number stands where a pitch does: "twelve by one seventy-five by sixty"."""
    before = [p.text for p in out[-2:]]
    behind = [p.text for p in pieces[k + 1 : k + 5]]
    if len(behind) == 4 and behind[0] in JOINTS and 0 < numbers.get(behind[1], 0) < 10:
        behind = [p.text for p in pieces[k + 3 : k + 5]]
    return before[:1] in (["by"], ["x"]) and behind[1:2] in (["by"], ["x"])


def _pitch(out: list[Piece], pieces: list[Piece], i: int, k: int, figure: str, numbers: Mapping[str, int]) -> int:
    """Appends "one seventy-five" as 1.75; returns the place behind it."""
    if k + 2 < len(pieces) and pieces[k + 1].text in JOINTS and 0 < numbers.get(pieces[k + 2].text, 0) < 10:
        k, figure = k + 2, f"{figure[:-1]}{numbers[pieces[k + 2].text]}"
    out.append(Piece(figure, pieces[i].start, pieces[k].end))
    return k + 1


def _fraction_ahead(pieces: list[Piece], j: int) -> bool:
    """ "Four 3/4 bolts" are four of three quarters, not four and three quarters."""
    words = [p.text for p in pieces[j : j + 4]]
    return len(words) == 4 and words[0] == " " and words[1].isdigit() and words[2] == "/" and words[3].isdigit()


def _couple_of(pieces: list[Piece], i: int, numbers: Mapping[str, int]) -> bool:
    """Whether "couple of" counts hundreds, dozens, seasons or decades here."""
    words = [p.text for p in pieces[i + 1 : i + 5]]
    return (
        words[:3] == [" ", "of", " "]
        and len(words) == 4
        and (numbers.get(words[3], 0) >= 12 or words[3] in ("decades", "seasons"))
    )


def _fraction(out: list[Piece], pieces: list[Piece], i: int, numbers: Mapping[str, int]) -> int:
    """Appends a fraction word: "three eighths" becomes 3/8, "half inch" 1/2 inch; elsewhere the word stays."""
    parts = -numbers.get(pieces[i].text, 0) if i < len(pieces) else 0
    if parts <= 0:
        return i
    word, start, end = pieces[i]
    if len(out) > 1 and out[-1].text in JOINTS and out[-2].text.isdigit() and 0 < int(out[-2].text) < parts:
        count, start = out[-2].text, out[-2].start
        del out[-2:]
        out.append(Piece(f"{count}/{parts}", start, end))
        return i + 1
    after = [p.text for p in pieces[i + 1 : i + 5] if p.text not in JOINTS][:1]
    out.append(Piece(f"1/{parts}" if after and after[0] in _INCH_WORDS else word, start, end))
    return i + 1


def _half_of(out: list[Piece], pieces: list[Piece], i: int, numbers: Mapping[str, int]) -> int:
    """Appends "half a dozen" as 6; stays where it is when the words say something else."""
    words = [p.text for p in pieces[i : i + 5]]
    if len(words) == 5 and words[1] in JOINTS and words[2] == "a" and words[3] in JOINTS:
        whole = numbers.get(words[4], 0)
        if whole >= 12:
            out.append(Piece(str(whole // 2), pieces[i].start, pieces[i + 4].end))
            return i + 5
    return i
