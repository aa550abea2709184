"""Grammar of the number of pieces, and of weights, which are none."""

from __future__ import annotations

import re

from advisor.language.found import Found, number
from advisor.language.grammar.elements import END, NUMBER
from advisor.language.grammar.lexicon import Lexicon, Pattern

_GROUPED = r"(?<![0-9./\#a-z])[1-9][0-9]{0,2}(?:\.[0-9]{3}|\ 000)(?![0-9])"
"""Thousands parted by a point or a blank: 1.200, 25 000."""


def _other_unit(w: Lexicon) -> str:
    """A unit of something else than pieces, as it stands behind a figure."""
    return rf"""(?:(?:{w("unit-of-something-else")})(?![a-z]) | h\b | [mgtfc]\b | \" | ' | % | ° | : | /)"""


def _nouns(w: Lexicon) -> str:
    """Up to five describing words and then a fastener."""
    return rf"""(?: (?!(?:{w("no-description")})\b) [a-z0-9/-]+(?:\.[0-9]+)?\  ){{0,5}} (?:{w("fastener-noun")})\b"""


_BOXES = Pattern(
    lambda w: rf"""(?P<n>[0-9]{{1,5}})\ (?:{w("box")}) (?:\ of\ (?:a\ |an?\ )?(?P<m>[0-9]{{1,6}}))?""",
    gate="box|bag|pack|carton",
)
_LABELLED = Pattern(
    lambda w: (
        rf"""\b(?:{w("quantity-label")})\.? (?:\ is|\ of|:|=|\ about)? \ ?
        (?P<n>{_GROUPED}|[0-9]{{1,7}}) (?P<k>\ ?[km]\b)? (?!\ ?{_other_unit(w)})"""
    ),
)
_COUNTED = Pattern(
    lambda w: (
        rf"""(?P<n>(?<!x\ )(?<!by\ ){_GROUPED}|{NUMBER})
        (?P<k> \ ?[km] (?=\ ?(?: off(?!\ (?:the|a|our|my)\b) | pcs? | pieces | ea\b | each
            | (?:{w("fastener-noun")}) | \ of\b))
          | \ ?k\b )?
        \ ?-? (?: (?:{w("piece")})\b | of+\ (?=m[0-9]) | st{END} | nos?\b(?!\ (?:rust|salt|white|red|cad|chem))
          | of\ (?:them|these|those|em|each)\b{END} | odd\ of\b | of{END} | in\ (?:all|total)\b | only\b{END}
          | x\ (?=m[0-9]|[0-9]+/|\#) | x(?=m[0-9]) )"""
    )
)
_AFTER_LENGTH = Pattern(
    lambda _: r"""(?<![a-z0-9])m[0-9]{1,2}\ ?x\ ?[0-9]{2,3}\ ?(?:mm)?\ x\ (?P<n>[0-9]{2,6})(?P<k>k)?\b(?!\ ?mm)"""
)
_BEFORE_SIZE = Pattern(
    lambda _: (
        r"""(?P<n>(?<![0-9./\#a-z-])[0-9]{1,7}) (?P<k>k)? \ ? (?:x\ |of\ |off\ |no\ |nos\ )?
        (?= m[0-9]{1,2}(?![0-9])
          | (?:[1-9]/[0-9]{1,2}|\#[0-9]+)(?:[ \"-])
          | (?:[468]|1[02])-(?:24|28|32|36|40)(?![0-9]) )"""
    )
)
_ORDERED = Pattern(
    lambda w: (
        rf"""\b(?:{w("order-verb")})\ (?:(?:{w("order-filler")})\ )*
        (?P<n>[0-9]{{1,7}}) (?P<k>k)?\ (?!{_other_unit(w)}) {_nouns(w)}"""
    )
)
_FIRST = Pattern(
    lambda w: (
        rf"""\A(?:hi\ |hello\ |please\ |pls\ |hi,\ |hello,\ |morning,?\ )?
        (?P<n>[0-9]{{1,7}}) (?P<k>k)?\ (?!{_other_unit(w)}|point\b) {_nouns(w)}"""
    )
)
_BEFORE_NOUN = Pattern(
    lambda w: (
        rf"""(?<![0-9./\#a-z$-]) (?<!x\ ) (?<!by\ ) (?P<n>(?!1\ )[0-9]{{1,7}}) (?P<k>k)? (?:\ )
        (?!{_other_unit(w)}|point\b|x\b|by\b) {_nouns(w)}"""
    )
)
_WANTED_LAST = Pattern(
    lambda w: rf"""\b(?:{w("order-verb")})\ (?:(?:{w("order-filler")})\ )* (?P<n>[0-9]{{2,7}}) (?P<k>k)? {END}"""
)
_THOUSANDS_LAST = Pattern(
    lambda _: (
        r"""(?:\A|[ ,])(?P<n>[1-9][0-9]{0,2}(?:\.[0-9])?)(?P<k>\ ?k)(?=\ ?(?:\Z|[,.;!?](?![0-9])|\ (?:a|per)\ year))"""
    ),
    gate="k",
)
_SAID = Pattern(lambda w: rf"""\b(?:say|just|only)\ (?P<n>[0-9]{{1,6}}) (?P<k>k)? {END}""", gate="say|just|only")
_TIMES = Pattern(
    lambda w: (
        r"""(?:(?:nuts?|washers?)\ ?x|\b(?:[4-9]|1[0-4])\.[689]\ x)\ ?
        (?P<n>[0-9]{1,5}) (?P<k>k)? \b (?!\ ?(?:mm|x)|\.[0-9])"""
    ),
    gate="x",
)
"""Behind the name: "M33 nuts x 6", "10.9 x6"."""
_IN_ORDER = (
    _LABELLED,
    _COUNTED,
    _AFTER_LENGTH,
    _TIMES,
    _BEFORE_SIZE,
    _ORDERED,
    _FIRST,
    _THOUSANDS_LAST,
    _BEFORE_NOUN,
    _WANTED_LAST,
    _SAID,
)
_NUMBERED = Pattern(lambda w: rf"""(?:{w("before-a-number-of-something")}|\#)[ .]{{0,2}}\Z""")
_NAMED = Pattern(lambda w: rf"""(?:{w("before-a-name-in-figures")}|-|\#)[ .]{{0,2}}\Z""")
_WISHED = Pattern(lambda _: r"(?:need|want|about)\ \Z")
_WEIGHT = Pattern(
    lambda w: rf"""{NUMBER}\ ?(?:{w("weight-unit")}|t)\b""",
    gate="k|t|lb|pound",
)
_EACH = Pattern(
    lambda _: (
        r"""(?<![0-9./\#a-z]) (?P<n>[1-9][0-9]{0,3}) (?:\ off|\ bolts|\ screws|\ nuts)?
        \ (?:a|an|per|to\ a|in\ each|on\ each|for\ each|to\ each)
        \ (?P<w>(?!year|month|week|day|time|piece|box|bag|kilo|head|side)[a-z]{4,})\b"""
    )
)
_UNIT_MARK = "~"
_EACH_OF = Pattern(
    lambda _: rf"(?<![0-9./\#a-z]) (?P<m>[1-9][0-9]{{0,3}})\ (?:[a-z]+\ )?{_UNIT_MARK}(?:e?s)\b", gate=_UNIT_MARK
)
"""So many to each of so many: "12 a frame, 40 frames"."""
_GRADES = ("303", "304", "305", "316", "410", "18", "88", "109", "129")
"""Figures before a fastener that name its steel or class."""


def pieces(lexicon: Lexicon, text: str) -> list[Found]:
    """Number of pieces; kilograms are none."""
    for m in lexicon.finditer(_BOXES, text):
        if m["m"]:
            return [Found(m.start(), m.end(), "quantity", int(m["n"]) * int(m["m"]))]
    each = lexicon.search(_EACH, text)
    if each:
        whole = lexicon.search(_EACH_OF, text.replace(each["w"], _UNIT_MARK))
        if whole:
            return [Found(each.start(), each.end(), "quantity", int(each["n"]) * int(whole["m"]))]
    for pattern in _IN_ORDER:
        for m in lexicon.finditer(pattern, text):
            count = _whole(m["n"]) * (1000 if m["k"] and m["k"].strip() else 1)
            if count < 1 or not count.is_integer() or _no_count(lexicon, pattern, text, m):
                continue
            end = m.end() if pattern is _COUNTED else m.end("k") if m["k"] else m.end("n")
            return [Found(m.start("n"), end, "quantity", int(number(str(count))))]
    return []


def _whole(figure: str) -> float:
    """Pieces are whole: "1.200" and "25 000" are thousands.

    >>> _whole("1.200"), _whole("25 000"), _whole("1.5")
    (1200.0, 25000.0, 1.5)
    """
    grouped = re.fullmatch(r"[1-9][0-9]{0,2}[. ][0-9]{3}", figure)
    return float(re.sub(r"[. ]", "", figure)) if grouped else float(figure)


def _no_count(lexicon: Lexicon, pattern: Pattern, text: str, m: re.Match[str]) -> bool:
    """Whether the figure counts something else: "grade 8 bolts", "316 screws", "DIN 933 ..."."""
    if pattern is _COUNTED:
        return lexicon.ends(_NUMBERED, text, m.start()) is not None
    if pattern in (_FIRST, _ORDERED, _BEFORE_NOUN, _BEFORE_SIZE) and m["n"] in _GRADES:
        return True
    if pattern in (_BEFORE_SIZE, _ORDERED, _FIRST, _BEFORE_NOUN):
        named = lexicon.ends(_NAMED, text, m.start("n"))
        return named is not None and lexicon.ends(_WISHED, text, m.start("n")) is None
    return False


def weights(lexicon: Lexicon, text: str) -> list[Found]:
    """Weights: no number of pieces, but used words."""
    return [Found(m.start(), m.end(), slug="weight-given") for m in lexicon.finditer(_WEIGHT, text)]
