"""Grammar of thread sizes and lengths: metric, inch fractions, numbered sizes, spanner sizes, threads outside the scope."""

# ruff: noqa: E501 - a grammar is easier to check in one unbroken line

from __future__ import annotations

import re
from collections.abc import Callable

from advisor.language.found import Found, number

MM_PER_INCH = 25.4
_NUM = r"[0-9]{1,3}(?:\.[0-9]{1,3})?"
_BY = r"(?: ?(?:x|\*|by|mal|par|por|-) ?| x ?| long )"
_FRACTION = r"(?:[1-6](?: |-| and |-and-))?[0-9]{1,2}/(?:2|4|8|16|32|64)(?![0-9])"
_INCHES = r'(?:inch(?:es)?|in\b|"|\'\'|zoll|pouces?|pulgadas?)'

_METRIC = re.compile(
    rf"(?<![a-z0-9./])(?P<st>st|mf|m) ?(?P<d>[0-9]{{1,3}}(?:\.[0-9])?)(?![0-9]*/)(?P<coarse>c(?=\b))?"
    rf"(?:{_BY}(?P<a>{_NUM})(?![0-9]*/)(?: ?mm\b| ?p(?:itch)?\b)?(?:{_BY}(?P<b>{_NUM})(?: ?mm\b)?)?)?"
    rf"(?P<fine> ?(?:fine|feingewinde|fin\b))?(?![0-9])"
)
_METRIC_INCH_LENGTH = re.compile(rf"\A ?(?:x|by) ?(?P<l>{_FRACTION}|{_NUM}) ?{_INCHES}")
_BARE_METRIC = re.compile(
    r"(?<![0-9./#a-z-])(?P<d>[3-9]|1[0-9]|2[0-7]|3[036]|[3-7]\.[0-9]) ?(?:x|\*|by) ?(?P<l>[1-9][0-9]{1,2})(?: ?mm\b)?(?![0-9/\"]|\.[0-9])"
)
_INCH = re.compile(
    rf"(?<![0-9./a-z#])(?P<d>{_FRACTION})(?: ?{_INCHES})?(?:(?: ?- ?| (?=[0-9]+ ?(?:tpi|unc|unf|un\b)))(?P<tpi>[1-9][0-9]?)(?![0-9/])(?: ?tpi)?)?"
)
_WHOLE_INCH = re.compile(
    rf"(?<![0-9./a-z#-])(?P<d>[1-4](?:\.[0-9]{{1,3}})?) ?(?:{_INCHES})(?:(?: ?- ?| )(?P<tpi>[1-9][0-9]?)(?![0-9/])(?: ?tpi)?)?|(?<![0-9./a-z#-])(?P<d2>[1-3])-(?P<tpi2>[45678]|12|14)(?= ?(?:un|x|\*|by|bolt|stud|hex|thread))"
)
_DECIMAL_INCH = re.compile(
    rf"(?<![0-9/a-z#-])0?\.(?P<t>125|1875|25|250|3125|375|4375|500|5|5625|625|750|75|875) ?(?:{_INCHES})"
)
_DECIMALS = {
    "125": "1/8",
    "1875": "3/16",
    "25": "1/4",
    "250": "1/4",
    "3125": "5/16",
    "375": "3/8",
    "4375": "7/16",
    "5": "1/2",
    "500": "1/2",
    "5625": "9/16",
    "625": "5/8",
    "75": "3/4",
    "750": "3/4",
    "875": "7/8",
}
_NUMBERED = re.compile(
    r"(?<![0-9./a-z-])(?:(?P<mark>#|no\.? ?|number |num |nr\.? ?|n° ?|gauge )(?P<n>0|1[0-4]|[1-9])(?!\.[0-9])(?:(?: ?(?:-|dash|/| ) ?)(?P<tpi>80|72|64|56|48|44|40|36|32|28|24|20)(?![0-9]))?"
    r"|(?P<n2>0|1[02]|[1-8])(?: ?(?:-|dash) ?)(?P<tpi2>80|72|64|56|48|44|40|36|32|28|24)(?![0-9]|\.[0-9]))(?! ?(?:off|pcs|pieces|%|mm\b))"
)
_NUMBERED_PITCHES = {
    "0": ("80",),
    "1": ("64", "72"),
    "2": ("56", "64"),
    "3": ("48", "56"),
    "4": ("40", "48"),
    "5": ("40", "44"),
    "6": ("32", "40"),
    "8": ("32", "36"),
    "10": ("24", "32"),
    "12": ("24", "28", "32"),
}
_NO_SIZE = re.compile(r" ?(?:of\b|the (?:time|way)|full|miles?|kilomet|hour|year|nm\b|lbf?\b|ft\b)")
_SERIES = re.compile(r"\A[ ,\"-]{0,3}(?:inch |in )?(unc|unf|unef|coarse|fine|national coarse|national fine|nc|nf)\b")
_INCH_LENGTH = re.compile(
    rf"\A[ \"]{{0,2}}(?:(?:unc|unf|un|coarse|fine|inch|in|-?2a|-?3a|tpi)[ ,]{{0,2}}){{0,2}}(?: ?(?:x|\*|by|times) ?| , ?)(?P<l>{_FRACTION}|{_NUM})(?: ?(?P<mm>mm\b)| ?(?P<in>{_INCHES}))?"
)
_OUTSIDE = re.compile(
    r"\b(?:bsw|bsf|bsp[pt]?|whitworth|whit\b|british standard (?:whitworth|fine|cycle)|npt[fs]?|[0-9]{1,2} ?ba|ba(?= (?:thread|screw|size|bolt|nut))|bscy|cei thread)\b"
)
_LONG = re.compile(
    rf"(?<![0-9./a-z#-])(?P<l>{_FRACTION}|{_NUM}) ?(?P<u>mm|cm|{_INCHES}|millimet(?:er|re)s?)? ?(?:-)?(?:long\b|in length|length\b|lang\b|lg\b|lengths\b|de long\b|de largo\b|grip\b|under (?:the )?head)"
    rf"|(?<![0-9a-z])(?:x|by) ?(?P<l3>{_FRACTION}|{_NUM}) ?(?P<u3>mm|cm|{_INCHES})?(?![0-9/]| ?(?:off|pcs|pieces|bolts|screws|tpi|m[0-9]))"
    rf"|\b(?:length|len|lange|longueur|largo|long)(?: is| of|:|=)? (?P<l2>{_FRACTION}|{_NUM}) ?(?P<u2>mm|cm|{_INCHES})?(?![0-9]*(?: ?(?:years?|yrs?|h\b|hours?)))"
)
_MM = re.compile(
    r"(?<![0-9./a-z#-])(?P<l>[1-9][0-9]{1,3}) ?mm\b(?! ?(?:thick|plate|steel|sheet|gap|wide|deep|holes?|from|dia|spanner|a/?f|socket|square|tube|bar|wall|clearance"
    r"|grip|board|above|of|thread|high|timber|posts?|ply|pipe|section|angle|beams?|joists?|aluminium|stainless|copper|concrete|away|below|washers?|across|slab|flange|x|by))"
)
_DIA = re.compile(
    r"(?<![0-9./a-z#-])(?P<d>[1-9][0-9]?(?:\.[0-9])?) ?(?:mm|mil|mill|millimet(?:er|re)s?)(?: dia(?:meter)?| o)?[ -](?:\w+ ){0,2}?(?P<noun>bolts?|studs?|screws?|studding|threaded|threads?|thread|nuts?|set ?screws?|cap ?heads?|cap ?screws?|coach|allthread|rods?|anchors?|machine|hex)\b"
    r"|\b(?:dia(?:meter)?\.?|o) ?(?P<d2>[1-9][0-9]?(?:\.[0-9])?) ?(?:mm)?\b(?! ?(?:in|\"))"
)
_SPANNER = re.compile(
    r"(?<![0-9./a-z#-])(?P<s>[1-9][0-9]?(?:/[0-9]{1,2})?) ?(?:mm|inch|in|\")?(?: a/?f| across(?: the)? flats| spanner| wrench| socket(?! (?:head|cap|screw))| ring spanner| key(?:ed)?\b)"
)
_AF_ISO = {
    7: ("M4",),
    8: ("M5",),
    10: ("M6",),
    13: ("M8",),
    16: ("M10",),
    17: ("M10",),
    18: ("M12",),
    19: ("M12",),
    21: ("M14",),
    22: ("M14",),
    24: ("M16",),
    30: ("M20",),
    36: ("M24",),
    46: ("M30",),
}
_FINE = {
    "8": "1",
    "10": "1.25",
    "12": "1.25",
    "14": "1.5",
    "16": "1.5",
    "18": "1.5",
    "20": "1.5",
    "22": "1.5",
    "24": "2",
    "27": "2",
    "30": "2",
    "33": "2",
    "36": "3",
}
_LARGEST_METRIC_MM = 100


def inches(text: str) -> float:
    """Inches from a fraction or number.

    >>> inches("1-1/2"), inches("3/8"), inches("2")
    (1.5, 0.375, 2.0)
    """
    parts = re.split(r"[ -]+(?:and[ -])?", text)
    total = 0.0
    for part in parts:
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom) if bottom else float(top)
    return total


def _length(text: str, unit: str) -> int | float:
    return number(f"{inches(text) * MM_PER_INCH:.3f}") if unit == "in" else number(text)


def _fraction_key(text: str) -> str:
    return re.sub(r"[ -]+(?:and[ -])?", "-", text)


def _words(nominal: str) -> str:
    return nominal.replace("#", "no ").replace("-", " ").replace("/", " ")


def _kind(named: str) -> str:
    """UNC or UNF from the names of a series."""
    coarse = named in ("coarse", "nc", "national coarse")
    return "unc" if coarse else "unf" if named in ("fine", "nf", "national fine") else named


def find(text: str, series: Callable[[str], str | None]) -> list[Found]:
    """Every size and length in a folded line. `series` knows the threads an inch of a named series, e.g. "3 8 unf".

    >>> [(f.slot, f.value) for f in find("m10x1.5x40", lambda _: None)]
    [('size', 'M10x1.5'), ('length_mm', 40)]
    >>> [(f.slot, f.value) for f in find('3/8-16 x 1-1/2', lambda _: None)]
    [('size', '3/8-16'), ('length_mm', 38.1)]
    """
    if not any(c.isdigit() for c in text):
        return []
    out: list[Found] = []
    _metric(text, out)
    _inch(text, out, series)
    numbered = next((f for f in out if f.slot == "size" and str(f.value).startswith("#")), None)
    if numbered and not any(f.slot == "length_mm" for f in out):
        # "number six screws, half inch": the second inch figure is the length
        out = [
            f._replace(slot="length_mm", value=number(f"{inches(str(f.value)) * MM_PER_INCH:.3f}"))
            if f.slot == "size" and f.start > numbered.start and re.fullmatch(r"[0-9/-]+", str(f.value))
            else f
            for f in out
        ]
    taken = [(f.start, f.end) for f in out]

    def free(start: int, end: int) -> bool:
        return all(end <= a or start >= b for a, b in taken)

    if not any(f.slot == "size" for f in out):
        for m in _BARE_METRIC.finditer(text):
            d, length = float(m["d"]), float(m["l"])
            if free(m.start(), m.end()) and 1.5 * d <= length <= 30 * d:
                wood = re.search(
                    r"\b(?:wood|chipboard|deck(?:ing)?|self|tapp(?:ing|er)|drywall|csk|countersunk|screws?|holz|terrass|spanplatten|madera|tirafondo|bois)",
                    text,
                ) and not re.search(r"\b(?:bolt|machine|socket|cap|set)", text)
                size = m["d"] if wood or "." in m["d"] else "M" + m["d"]
                out.append(Found(m.start(), m.start("l") - 1, "size", size, 0.9))
                out.append(Found(m.start("l"), m.end(), "length_mm", number(m["l"]), 0.95))
                taken.append((m.start(), m.end()))
    if not any(f.slot == "size" for f in out):
        for m in _DIA.finditer(text):
            raw = m["d"] or m["d2"]
            if free(m.start(), m.end()):
                plain = (
                    "." in raw
                    or (m["noun"] or "").startswith("screw")
                    or re.search(r"self ?-?(?:drill|tapp)|wood ?screw|coach|chipboard|tek\b", text)
                )
                end = m.end("d") if m["d"] else m.end()
                out.append(Found(m.start(), end, "size", raw if plain else "M" + raw, 0.8))
        for m in re.finditer(r"(?<![0-9./a-z#-])(?P<d>[3-9]\.[0-9]) ?mm\b", text):
            if (
                re.search(r"screw|tek|self", text)
                and free(m.start(), m.end())
                and not any(f.slot == "size" for f in out)
            ):
                out.append(Found(m.start(), m.end(), "size", m["d"], 0.9))
    for m in _SPANNER.finditer(text):
        raw = m["s"]
        candidates = _AF_ISO.get(int(raw), ()) if raw.isdigit() else ()
        out = [f for f in out if f.slot != "size" or f.end <= m.start() or f.start >= m.end()]
        out.append(Found(m.start(), m.end(), "size", None, 0.5, candidates=candidates))
    for m in _OUTSIDE.finditer(text):
        sizes = [f for f in out if f.slot == "size" and abs(f.end - m.start()) <= 12]
        out = [f for f in out if f not in sizes]
        start = min([f.start for f in sizes] + [m.start()])
        out.append(Found(start, max([f.end for f in sizes] + [m.end()]), "size", None, 0.5, slug="thread-outside"))
    if not any(f.slot == "length_mm" for f in out):
        for m in _LONG.finditer(text):
            raw, unit = next((m[f"l{k}"], m[f"u{k}"]) for k in ("", "2", "3") if m[f"l{k}"])
            mm = _length(raw, "in" if (unit and not unit.startswith(("mm", "cm", "mil"))) or "/" in raw else "mm")
            out.append(Found(m.start(), m.end(), "length_mm", mm * 10 if unit == "cm" else mm, 0.95))
            out = [
                f for f in out if not (f.slot == "size" and f.start < m.end() and f.end > m.start() and f.certainty < 1)
            ]
            break
    metric = next((f for f in out if f.slot == "size" and str(f.value).startswith("M")), None)
    if metric and not any(f.slot == "length_mm" for f in out):
        diameter = float(re.split("[Mx]", str(metric.value))[1])
        for m in _MM.finditer(text):
            if float(m["l"]) >= 1.2 * diameter and all(m.end() <= f.start or m.start() >= f.end for f in out):
                out.append(Found(m.start(), m.end(), "length_mm", number(m["l"]), 0.8))
                break
    return out


def _metric(text: str, out: list[Found]) -> None:
    for m in _METRIC.finditer(text):
        d = m["d"]
        if not 1 <= float(d) <= _LARGEST_METRIC_MM or (
            m["st"] == "m" and text[m.start() + 1] == " " and m.start() and text[m.start() - 1] == "'"
        ):
            continue
        if re.match(
            r" ?(?:deep|high|above|below|from|away|metres?|meters?|miles?|motorway|junction|services|toll)\b",
            text[m.end() :],
        ):
            continue
        size = ("ST" if m["st"] == "st" else "M") + d
        inch = _METRIC_INCH_LENGTH.match(text[m.end("d") :])
        if inch:
            where = m.end("d")
            out.append(Found(m.start(), where, "size", size))
            out.append(Found(where, where + inch.end(), "length_mm", _length(inch["l"], "in")))
            continue
        a, b = m["a"], m["b"]
        end = m.end("d")
        length, at = "", 0
        if a is not None:
            pitch = float(a) <= max(float(d) / 4, 0.5) and m["st"] != "st"
            if pitch:
                size, end = f"{size}x{number(a)}", m.end("a")
                length, at = (b, m.start("b")) if b else ("", 0)
            else:
                length, at = a, m.start("a")
                if b and float(b) <= float(d) / 4:
                    size = f"{size}x{number(b)}"
        elif m["fine"] or m["st"] == "mf":
            fine = _FINE.get(d)
            out.append(Found(m.start(), m.end(), "size", f"{size}x{fine}" if fine else size, 0.7))
            continue
        out.append(Found(m.start(), end, "size", size))
        if length:
            out.append(Found(at, at + len(length), "length_mm", number(length)))


def _inch(text: str, out: list[Found], series: Callable[[str], str | None]) -> None:
    found = [
        (m.start(), m.end(), _fraction_key(m["d"]), m["tpi"] or "")
        for m in _INCH.finditer(text)
        if not _NO_SIZE.match(text[m.end() :])
    ]
    for m in _WHOLE_INCH.finditer(text):
        if not re.match(
            r" ?(?:long|thick|of|deep|wide|micron|um\b)|\A ?(?:in (?:a|the|my)\b)", text[m.end() :]
        ) and not re.search(r"(?:x|by|\*) ?\Z", text[: m.start()]):
            if m["d"] and "." in m["d"] and not m["d"].endswith((".25", ".5", ".75", ".125", ".375")):
                continue
            found.append((m.start(), m.end(), m["d"] or m["d2"], m["tpi"] or m["tpi2"] or ""))
    found.extend((m.start(), m.end(), _DECIMALS[m["t"]], "") for m in _DECIMAL_INCH.finditer(text))
    for m in _NUMBERED.finditer(text):
        n, tpi = (m["n"], m["tpi"]) if m["n"] else (m["n2"], m["tpi2"])
        if m["n2"] and tpi not in _NUMBERED_PITCHES.get(n, ()):
            continue
        if (
            m["mark"]
            and not tpi
            and m["mark"] != "#"
            and not re.search(r"screw|bolt|unc|unf|machine|size|gauge|#|tapper|tek|self|csk|thread", text)
        ):
            continue
        found.append((m.start(), m.end(), "#" + n, tpi or ""))
    found.sort()
    last = -1
    for start, end, nominal, tpi in found:
        if start < last or any(f.start < end and start < f.end for f in out):
            continue
        rest = text[end:]
        named = _SERIES.match(rest)
        if named and not tpi:
            kind = {
                "coarse": "unc",
                "fine": "unf",
                "nc": "unc",
                "nf": "unf",
                "national coarse": "unc",
                "national fine": "unf",
            }.get(named[1], named[1])
            value = series(f"{nominal.replace('#', 'no ').replace('-', ' ').replace('/', ' ')} {kind}")
            if value:
                nominal, tpi = value, ""
        size = f"{nominal}-{tpi}" if tpi else nominal
        tail = _INCH_LENGTH.match(rest)
        stop = end + (named.end() if named else 0)
        out.append(Found(start, stop, "size", size))
        last = stop
        if tail:
            raw = tail["l"]
            millimetres = tail["mm"] is not None or ("/" not in raw and tail["in"] is None and float(raw) > 14)
            out.append(
                Found(end + tail.start("l"), end + tail.end(), "length_mm", _length(raw, "mm" if millimetres else "in"))
            )
            last = end + tail.end()


def outside(text: str) -> list[Found]:
    """Threads outside the scope (Whitworth, British Association, pipe threads) in a line without figures.

    >>> [f.slug for f in outside("old whitworth bolts")]
    ['thread-outside']
    """
    return [Found(m.start(), m.end(), "size", None, 0.5, slug="thread-outside") for m in _OUTSIDE.finditer(text)]
