"""Grammar of thread sizes: metric, inch fractions, numbered sizes, spanner sizes, threads outside the scope.

It finds the stretch and what stands there; which thread that is says the table of threads (`Threads`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.expressions import expression
from advisor.language.found import Found, number
from advisor.language.grammar.british_threads import with_british
from advisor.language.grammar.elements import FRACTION, INCH_MARK, SHORT
from advisor.language.grammar.lexicon import Lexicon, Pattern
from advisor.records import NamedTuple
from advisor.trade.sizes import INCH_MM, LONGEST_IN, inches

LARGEST_METRIC_MM = 100
_BY = r"(?:\ ?(?:x|\*|by|mal|par|por|-)\ ?|\ x\ ?|\ long\ )"


class Threads(NamedTuple):
    """What the tables of threads and spanners say: `series` "3/8 unf" -> 3/8-24, `fine` diameter -> fine pitch,
    `turns` numbered size -> threads an inch, `spanners` width across flats in mm -> sizes."""

    series: Mapping[str, str]
    fine: Mapping[str, str]
    turns: Mapping[str, Sequence[str]]
    spanners: Mapping[str, Sequence[str]]


def _inches(w: Lexicon) -> str:
    return rf"(?:(?:{w('inch')})\b(?!\ (?:[0-9]+\.[0-9]|a\b|an\b|the\b|my\b|our\b))|{INCH_MARK})"


_METRIC = Pattern(
    lambda w: (
        rf"""(?<![a-z0-9./]) (?P<st>st|mf|m)\ ? (?P<d>[0-9]{{1,3}}(?:\.[0-9])?) (?![0-9]*/) (?P<coarse>c(?=\b))?
        (?: {_BY} (?P<a>{SHORT}) (?![0-9]*/) (?:\ ?mm\b|\ ?p(?:itch)?\b)? (?:{_BY}(?P<b>{SHORT})(?:\ ?mm\b)?)? )?
        (?P<fine>\ ?(?:{w("fine-thread")})\b)? (?![0-9])"""
    ),
    gate="m|st",
)
_INCH_LENGTH_BEHIND = Pattern(lambda w: rf"\ ?(?:x|by)\ ?(?P<l>{FRACTION}|{SHORT})\ ?{_inches(w)}")
_NO_BOLT = Pattern(lambda w: rf"\ ?(?:{w('after-a-distance')})\b")
_WITHOUT_M = Pattern(
    lambda _: (
        r"""(?<![0-9./\#a-z-]) (?P<d>[3-9]|1[0-9]|2[0-7]|3[036]|[3-7]\.[0-9]) (?:\ ?mm)? \ ?(?:x|\*|by)\ ?
        (?:(?P<p>[0-3]\.[0-9]{1,2})\ ?(?:x|\*|by)\ ?)? (?P<l>[1-9][0-9]{1,2}) (?:\ ?mm\b)? (?![0-9/\"]|\.[0-9])"""
    )
)
_FRACTION = Pattern(
    lambda w: (
        rf"""(?<![0-9./a-z\#]) (?P<d>{FRACTION}) (?:\ ?{_inches(w)})?
        (?: (?:\ ?-\ ?|\ (?=[0-9]+\ ?(?:tpi|unc|unf|un\b))) (?P<tpi>[1-9][0-9]?) (?![0-9/]) (?:\ ?tpi)? )?"""
    ),
    gate="/",
)
_WHOLE = Pattern(
    lambda w: (
        rf"""(?<![0-9./a-z\#-]) (?P<d>[1-4](?:\.[0-9]{{1,3}})?)\ ?{_inches(w)}
        (?: (?:\ ?-\ ?|\ ) (?P<tpi>[1-9][0-9]?) (?![0-9/]) (?:\ ?tpi)? )?
      | (?<![0-9./a-z\#-]) (?P<d2>[1-3])-(?P<tpi2>[45678]|12|14) (?=\ ?(?:un|x|\*|by|bolt|stud|hex|thread))"""
    )
)
_DECIMAL = Pattern(
    lambda w: (
        rf"""(?<![0-9/a-z\#-]) 0?\.(?P<t>125|1875|25|250|3125|375|4375|500|5|5625|625|750|75|875)\ ?{_inches(w)}"""
    ),
    gate=".",
)
_NUMBERED = Pattern(
    lambda w: (
        r"""(?<![0-9./a-z-])
        (?: (?P<mark>\#|no\.?\ ?|number\ |num\ |nr\.?\ ?|n°\ ?|gauge\ ) (?P<n>0|1[0-4]|[1-9]) (?!\.[0-9])
            (?: (?:\ ?(?:-|dash|/|\ )\ ?) (?P<tpi>80|72|64|56|48|44|40|36|32|28|24|20) (?![0-9]) )?
          | (?P<n2>0|1[02]|[1-8]) (?:\ ?(?:-|dash)\ ?) (?P<tpi2>80|72|64|56|48|44|40|36|32|28|24) (?![0-9]|\.[0-9])
          | (?P<n3>[4-9]|1[0-4]) (?:\ ?(?:gauge|ga)\b | (?=\ ?(?:x|by)\ ?(?:[1-6][ -])?[1-7]/(?:2|4|8|16)\b)) )
        (?!\ ?(?:off|pcs|pieces|%|mm\b))"""
    )
)
_TAPPING = Pattern(
    lambda _: (
        r"""(?<![0-9./a-z-]) (?P<n>6|8|10|12|14)\ ?(?:g|ga|gauge)?\ ?-\ ?(?P<tpi>1[0-8]|20) (?=\ ?(?:x|by)\ ?[0-9])"""
    ),
    gate="-",
)
"""Tapping and drilling screws: "12-14 x 20"."""
_SPOKEN_TURNS = Pattern(
    lambda _: rf"(?<![0-9./a-z\#]) (?P<d>{FRACTION})\ (?P<tpi>[1-9][0-9]?) (?=\ (?:by|x)\b)", gate="/"
)
"""Said aloud: "five sixteenths eighteen by one inch"."""
_NUMBERED_CONTEXT = Pattern(lambda w: rf"{w('beside-a-numbered-size')}|\#")
_NO_SIZE = Pattern(lambda w: rf"\ ?(?:{w('after-a-fraction-of-something')})\b")
_NO_WHOLE_INCH = Pattern(lambda w: rf"\ ?(?:{w('after-inches-of-something')})|\ ?in\ (?:a|the|my)\b")
_MULTIPLIED = expression(r"(?:x|by|\*) ?\Z")
_SERIES = Pattern(
    lambda _: (
        r"""[ ,\"-]{0,3}(?:inch\ |in\ )?(?P<s>unc|unf|unef|national\ coarse|national\ fine|coarse|fine|nc|nf)\b"""
    ),
    gate="n|fine|coarse",
)
_LENGTH_BEHIND = Pattern(
    lambda w: (
        rf"""[ \"]{{0,2}} (?:(?:unc|unf|un|coarse|fine|inch|in|-?2a|-?3a|tpi)[ ,]{{0,2}}){{0,2}}
        (?:\ ?(?:x|\*|by|times)\ ?|\ ,\ ?) (?P<l>{FRACTION}|{SHORT}) (?:\ ?(?P<mm>mm\b)|\ ?(?P<in>{_inches(w)}))?"""
    )
)
_DIAMETER = Pattern(
    lambda w: (
        rf"""(?<![0-9./a-z\#-]) (?P<d>[1-9][0-9]?(?:\.[0-9])?) \ ?(?:mm|mil|mill|millimet(?:er|re)s?)
        (?:\ dia(?:meter)?|\ o)?[ -](?:\w+\ ){{0,2}}? (?P<noun>{w("threaded-noun")})\b
      | (?:(?:{w("threaded-noun")})(?:\ is|\ are|,)?\ | \A | [.;]\ (?:about\ |size\ )?)
        (?P<d3>[3-9]|1[0-9]|2[0-4])\ ?mm\b (?=\ ?(?:\Z|[,.;]))
      | \b(?:dia(?:meter)?\.?|o)\ (?P<d2>[1-9][0-9]?(?:\.[0-9])?)\ ?(?:mm)?\b (?!\ ?(?:in|\"))"""
    )
)
_SCREW_DIAMETER = Pattern(lambda _: r"(?<![0-9./a-z\#-])(?P<d>[3-9]\.[0-9])\ ?mm\b", gate="mm")
_SCREW = expression(r"screw|tek|self")
_WOOD_OR_TAPPING = Pattern(lambda w: rf"\b(?:{w('screw-without-m')})")
_MACHINE = expression(r"\b(?:bolt|machine|socket|cap|set)")
_PLAIN_DIAMETER = expression(r"self ?-?(?:drill|tapp)|wood ?screw|coach|chipboard|tek\b")
_SPANNER = Pattern(
    lambda _: (
        r"""(?<![0-9./a-z\#-]) (?P<s>[1-9][0-9]?(?:/[0-9]{1,2})?)\ ?(?:mm|inch|in|\")?
        (?:\ a/?f | \ across(?:\ the)?\ flats | \ spanner | \ wrench | \ ring\ spanner
          | \ socket(?!\ (?:head|cap|screw))
          | \ key(?:ed)?\b )"""
    ),
    gate="f|spanner|wrench|socket|key",
)
_PLAIN_INCHES = expression(r"[0-9/-]+")
_USUAL_DECIMALS = (".25", ".5", ".75", ".125", ".375")


def sizes(lexicon: Lexicon, text: str, threads: Threads) -> list[Found]:
    """Every size in a folded line, with the lengths that stand right behind one."""
    out = _metric(lexicon, text, threads)
    out += _inch(lexicon, text, threads, out)
    out = _second_inch_is_length(out)
    if not _has_size(out):
        out += _without_m(lexicon, text, out)
    if not _has_size(out):
        out += _diameters(lexicon, text, out)
    return with_british(lexicon, text, _spanners(lexicon, text, threads, out))


def length_mm(text: str, unit: str) -> int | float:
    """A length in mm from a figure or fraction; `unit` in or mm."""
    return number(f"{inches(text) * INCH_MM:.3f}") if unit == "in" else number(text)


def _has_size(found: Sequence[Found]) -> bool:
    return any(f.slot == "size" for f in found)


def _free(found: Sequence[Found], start: int, end: int) -> bool:
    return all(end <= f.start or start >= f.end for f in found)


# metric ------------------------------------------------------------------------------------------------------------


def _metric(lexicon: Lexicon, text: str, threads: Threads) -> list[Found]:
    out: list[Found] = []
    for m in lexicon.finditer(_METRIC, text):
        if not 1 <= float(m["d"]) <= LARGEST_METRIC_MM or _short_for_am(text, m):
            continue
        if not lexicon.match(_NO_BOLT, text, m.end()):
            out.extend(_metric_of(lexicon, text, m, threads))
    return out


def _short_for_am(text: str, m: re.Match[str]) -> bool:
    """ "I'm 40": no thread."""
    return m["st"] == "m" and text[m.start() + 1] == " " and m.start() > 0 and text[m.start() - 1] == "'"


def _metric_of(lexicon: Lexicon, text: str, m: re.Match[str], threads: Threads) -> list[Found]:
    """One metric size: a second figure is the pitch when it is fine enough for one, otherwise the length."""
    d, a, b = m["d"], m["a"], m["b"]
    size, end = ("ST" if m["st"] == "st" else "M") + d, m.end("d")
    behind = lexicon.match(_INCH_LENGTH_BEHIND, text, end)
    if behind:
        long = Found(end, behind.end(), "length_mm", length_mm(behind["l"], "in"))
        return [Found(m.start(), end, "size", size), long]
    if a is None:
        if not (m["fine"] or m["st"] == "mf"):
            return [Found(m.start(), end, "size", size)]
        fine = threads.fine.get(d)
        return [Found(m.start(), m.end(), "size", f"{size}x{fine}" if fine else size, 0.7)]
    length, at = a, m.start("a")
    if float(a) <= max(float(d) / 4, 0.5) and m["st"] != "st":
        size, end = f"{size}x{number(a)}", m.end("a")
        length, at = (b, m.start("b")) if b else ("", 0)
    elif b and float(b) <= float(d) / 4:
        size = f"{size}x{number(b)}"
    out = [Found(m.start(), end, "size", size)]
    if length:
        out.append(Found(at, at + len(length), "length_mm", number(length)))
    return out


# inch --------------------------------------------------------------------------------------------------------------


def _inch(lexicon: Lexicon, text: str, threads: Threads, taken: Sequence[Found]) -> list[Found]:
    out: list[Found] = []
    last = -1
    for start, end, nominal, turns in sorted(_inch_stretches(lexicon, text, threads), key=lambda s: (s[0], -s[1])):
        if start < last or not _free(taken, start, end):
            continue
        named = lexicon.match(_SERIES, text, end)
        known = threads.series.get(f"{nominal} {_series(named['s'])}") if named and not turns else None
        size = known or (f"{nominal}-{turns}" if turns else nominal)
        last = named.end() if named else end
        out.append(Found(start, last, "size", size))
        behind = lexicon.match(_LENGTH_BEHIND, text, end)
        if behind:
            raw = behind["l"]
            in_mm = behind["mm"] or ("/" not in raw and behind["in"] is None and float(raw) > LONGEST_IN)
            length = length_mm(raw, "mm" if in_mm else "in")
            out.append(Found(behind.start("l"), behind.end(), "length_mm", length))
            last = behind.end()
    return out


def _inch_stretches(lexicon: Lexicon, text: str, threads: Threads) -> list[tuple[int, int, str, str]]:
    """(start, end, nominal size, threads an inch) of everything that looks like an inch size."""
    out = [
        (m.start(), m.end(), _nominal(m["d"]), m["tpi"] or "")
        for m in lexicon.finditer(_FRACTION, text)
        if not lexicon.match(_NO_SIZE, text, m.end())
    ]
    for m in lexicon.finditer(_WHOLE, text):
        if lexicon.match(_NO_WHOLE_INCH, text, m.end()) or _MULTIPLIED.search(text[: m.start()]):
            continue
        if not (m["d"] and "." in m["d"] and not m["d"].endswith(_USUAL_DECIMALS)):
            out.append((m.start(), m.end(), m["d"] or m["d2"], m["tpi"] or m["tpi2"] or ""))
    out.extend((m.start(), m.end(), _as_fraction(m["t"]), "") for m in lexicon.finditer(_DECIMAL, text))
    for m in lexicon.finditer(_NUMBERED, text):
        n, turns = (m["n"], m["tpi"]) if m["n"] else (m["n2"], m["tpi2"]) if m["n2"] else (m["n3"], "")
        if m["n2"] and turns not in threads.turns.get(n, ()):
            continue
        known = m["mark"] in (None, "#") or turns or lexicon.match(_LENGTH_BEHIND, text, m.end())
        if not known and not lexicon.search(_NUMBERED_CONTEXT, text):
            continue
        out.append((m.start(), m.end(), "#" + n, turns or ""))
    if _SCREW.search(text):
        out.extend((m.start(), m.end(), "#" + m["n"], m["tpi"]) for m in lexicon.finditer(_TAPPING, text))
    out.extend(
        (m.start(), m.end(), _nominal(m["d"]), m["tpi"])
        for m in lexicon.finditer(_SPOKEN_TURNS, text)
        if f"{_nominal(m['d'])}-{m['tpi']}" in threads.series.values()
    )
    return out


def _nominal(text: str) -> str:
    return re.sub(r"[ -]+(?:and[ -])?", "-", text)


def _as_fraction(decimals: str) -> str:
    """The fraction of an inch that decimals stand for.

    >>> _as_fraction("375"), _as_fraction("1875"), _as_fraction("5")
    ('3/8', '3/16', '1/2')
    """
    sixteenths = round(float("0." + decimals) * 16)
    parts = 16
    while sixteenths % 2 == 0:
        sixteenths, parts = sixteenths // 2, parts // 2
    return f"{sixteenths}/{parts}"


def _series(named: str) -> str:
    """UNC or UNF from the names of a series."""
    short = named.replace("national ", "")
    return {"coarse": "unc", "nc": "unc", "fine": "unf", "nf": "unf"}.get(short, short)


def _second_inch_is_length(found: list[Found]) -> list[Found]:
    """ "number six screws, half inch": the second inch figure is the length."""
    numbered = next((f for f in found if f.slot == "size" and str(f.value).startswith("#")), None)
    if numbered is None or any(f.slot == "length_mm" for f in found):
        return found
    return [
        f._replace(slot="length_mm", value=length_mm(str(f.value), "in"))
        if f.slot == "size" and f.start > numbered.start and _PLAIN_INCHES.fullmatch(str(f.value))
        else f
        for f in found
    ]


# bare diameters, spanners, outside the scope --------------------------------------------------------------------------


def _without_m(lexicon: Lexicon, text: str, taken: Sequence[Found]) -> list[Found]:
    """ "10 x 50": a bolt of 10 mm, or a screw of 10 mm where screws are spoken of."""
    out: list[Found] = []
    for m in lexicon.finditer(_WITHOUT_M, text):
        d, length = float(m["d"]), float(m["l"])
        if _free([*taken, *out], m.start(), m.end()) and 1.5 * d <= length <= 30 * d:
            wood = lexicon.search(_WOOD_OR_TAPPING, text) and not _MACHINE.search(text)
            size = m["d"] if wood or "." in m["d"] else "M" + m["d"] + (f"x{number(m['p'])}" if m["p"] else "")
            out.append(Found(m.start(), m.start("l") - 1, "size", size, 0.9))
            out.append(Found(m.start("l"), m.end(), "length_mm", number(m["l"]), 0.95))
    return out


def _diameters(lexicon: Lexicon, text: str, taken: Sequence[Found]) -> list[Found]:
    """ "10 mm bolts", "4.8 mm tek screws"."""
    out: list[Found] = []
    for m in lexicon.finditer(_DIAMETER, text):
        raw = m["d"] or m["d2"] or m["d3"]
        if not _free(taken, m.start(), m.end()):
            continue
        plain = "." in raw or (m["noun"] or "").startswith("screw") or _PLAIN_DIAMETER.search(text)
        start = m.start("d3") if m["d3"] else m.start()
        end = m.end("d") if m["d"] else m.end()
        out.append(Found(start, end, "size", raw if plain else "M" + raw, 0.8))
    for m in lexicon.finditer(_SCREW_DIAMETER, text):
        if not out and _SCREW.search(text) and _free(taken, m.start(), m.end()):
            out.append(Found(m.start(), m.end(), "size", m["d"], 0.9))
    return out


def _spanners(lexicon: Lexicon, text: str, threads: Threads, found: list[Found]) -> list[Found]:
    """A spanner's width is asked back with the sizes that it fits."""
    for m in lexicon.finditer(_SPANNER, text):
        candidates = tuple(threads.spanners.get(m["s"], ()))
        found = [f for f in found if f.slot != "size" or f.end <= m.start() or f.start >= m.end()]
        found.append(Found(m.start(), m.end(), "size", None, 0.5, candidates=candidates))
    return found
