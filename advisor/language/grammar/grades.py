"""Grammar of strength classes, grades and thread classes: 10.9s, grade eight, A325, A2-70, "a ten, a dot and a nine"."""

# ruff: noqa: E501 - a grammar is easier to check in one unbroken line

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.language.found import Found

_WORDED = r"(?:grade|gr|grd|g|sae|j429|class|cl|klasse|festigkeitsklasse|calidad|grado|classe|qualite)"
_SPOKEN = re.compile(
    r"(?<![0-9./])(?:an? )?(?P<a>3|4|5|6|8|9|10|12|14) ?,?(?: and)? ?(?:an? )?(?:point|dot|pt|stop|full stop|komma|coma|virgule|punto|decimal)s? ?,? ?(?:and )?(?:then )?(?:an? )?(?P<b>6|8|9)(?![0-9/]|\.[0-9])"
)
_GAPPED = re.compile(
    r"(?<![0-9./,x-])(?P<c>4 6|4 8|5 6|5 8|6 8|8 8|9 8|10 9|12 9)s?(?![0-9/]|\.[0-9]| ?(?:mm|x|pcs|off|h\b|years))"
)
_SQUEEZED = re.compile(
    rf"\b{_WORDED}\.? ?(?P<c>46|48|56|58|68|88|98|109|129)s?\b|(?<![0-9./a-z-])(?P<c2>88|109|129)(?:s\b| (?:grade|class)\b)"
)
_SQUEEZED_CLASS = {
    "46": "4.6",
    "48": "4.8",
    "56": "5.6",
    "58": "5.8",
    "68": "6.8",
    "88": "8.8",
    "98": "9.8",
    "109": "10.9",
    "129": "12.9",
}
_INCH_GRADE = re.compile(
    r"\b(?:grade|gr|grd|g|sae|sae grade|j429 grade|j429 gr|grado)s?[ .-]{0,2}(?P<n>1|2|5|7|8|5\.2|8\.1|8\.2)(?P<s>s)?(?![0-9a-z/]|\.[0-9]|-[0-9]| ?(?:nuts?\b|titanium|ti\b|mm\b|off\b|point|dot|pcs))"
)
_WORD_GRADE_AFTER = re.compile(r"(?<![0-9./a-z-])(?P<n>5|8) grade\b")
_NUT_CLASS = re.compile(
    r"\b(?:class|grade|gr|cl)[ .]?(?P<n>4|5|6|8|9|10|12|2h|dh|c)\b(?= (?:hex |heavy |full )?nuts?\b)|\bnuts?,? (?:class|grade|gr|cl)[ .]?(?P<n2>4|5|6|8|9|10|12|2h|dh)\b(?!\.[0-9])"
)
_SET_BEFORE = re.compile(r"(?<![a-z0-9])(?<![0-9]{3} )(?:hv|hr)[ -]\Z")
_THREAD = re.compile(
    r"(?:(?<![a-z0-9./-])|(?<=un[cf]-)|(?<=un[cf]))(?:(?:tolerance|thread class|class|fit|thread|-)? ?)(?P<c>4g6g|5g6g|5h6h|4h5h|4h6h|[3-9]g|[3-9]e|6f|8f|[4-7]h|6az|6ax|az|ax|[123][ab])(?![a-z0-9/]|-[0-9])(?! ?(?:off|pcs|kg|grams?))"
)
_THREAD_CONTEXT = re.compile(
    r"\b(?:thread|tolerance|fit|class|gauge|allowance)\b|(?<![0-9.])m[0-9]|[0-9]/[0-9]|#[0-9]|[0-9]-[0-9]{2}\b|un[cf]\b"
)


def compile_grades(grades: Iterable[str]) -> tuple[str, dict[str, str]]:
    """One pattern for every grade slug, tolerant of blanks and hyphens, and the slug each spelling stands for.

    >>> pattern, slugs = compile_grades(["10.9", "A2-70", "gr5", "A354-BD"])
    >>> sorted(slugs)
    ['10.9', 'a270', 'a354bd']
    """
    parts, slugs = [], {}
    for grade in sorted({str(g) for g in grades}, key=lambda g: (-len(g), g)):
        low = grade.lower()
        if re.fullmatch(r"gr[0-9.]+|[0-9]{1,2}", low) or not re.match(r"[A-Z0-9]", grade):
            continue
        slugs[low.replace("-", "")] = grade
        # a hyphen in a slug may be typed as blank, slash, nothing or "grade"; C3 and the like are also places, so not there
        loose = "-" if re.match(r"[cd][0-9]|f1-", low) else r"(?:[ /.-]{0,2}|,? (?:grade|gr\.?|class|type) ?)"
        parts.append(re.escape(low).replace(r"\-", loose))
    return "|".join(parts), slugs


class Grades:
    """Finds classes and grades. Built from the compiled pattern; the pattern is only compiled when first used."""

    def __init__(self, pattern: str, slugs: dict[str, str], worded: frozenset[str]) -> None:
        self._pattern = pattern
        self.slugs = slugs
        self._worded = worded
        self._regex: re.Pattern[str] | None = None

    def find(self, text: str, shown: str, answering: str | None) -> list[Found]:
        """Classes and grades in a folded line; `shown` is not needed to tell them apart, but thread classes look at case."""
        if not any(c.isdigit() for c in text):
            return []
        if self._regex is None:
            self._regex = re.compile(
                rf"(?<![a-z0-9/.#-])(?:(?:m|grd?\.?|grade|class|cl\.?)(?=[0-9]{{1,2}}\.[689]))?(?P<g>{self._pattern})(?P<s>s|m|hb|k|[ -]?(?:hv|hr)(?! ?[0-9]))?(?![a-z0-9]|\.[0-9]|/[0-9])(?! ?(?:mm|um|inch|years?|yrs|kg|°|hours?|hrs|microns?|nm\b|mpa|bar|m\b|thou|%))"
            )
        out = []
        for m in self._regex.finditer(text):
            key = re.sub(r"[ /,-]|grade|gr\.?(?=[ 0-9a-z])|class|type", "", m["g"])
            slug = self.slugs.get(key) or self.slugs.get(re.sub(r"(?<=[a-z0-9])\.(?=[0-9]{2})", "", key))
            if slug and not (slug.endswith("HV") and "washer" not in text):
                out.append(
                    Found(
                        m.start(),
                        m.end(),
                        "strength",
                        slug,
                        slug="en-14399-set" if _is_set(slug, m["s"] or "", text[: m.start()]) else "",
                    )
                )
        out.extend(Found(m.start(), m.end(), "strength", f"{m['a']}.{m['b']}") for m in _SPOKEN.finditer(text))
        out.extend(Found(m.start(), m.end(), "strength", m["c"].replace(" ", "."), 0.9) for m in _GAPPED.finditer(text))
        out.extend(
            Found(m.start(), m.end(), "strength", _SQUEEZED_CLASS[m["c"] or m["c2"]], 0.9)
            for m in _SQUEEZED.finditer(text)
        )
        out.extend(
            Found(m.start(), m.end(), "strength", "gr" + m["n"])
            for m in _INCH_GRADE.finditer(text)
            if "gr" + m["n"] in self._worded
        )
        out.extend(Found(m.start(), m.end(), "strength", "gr" + m["n"], 0.9) for m in _WORD_GRADE_AFTER.finditer(text))
        nuts = [
            Found(m.start(), m.end(), slug="nut-class", candidates=(m["n"] or m["n2"],))
            for m in _NUT_CLASS.finditer(text)
        ]
        out = [
            f
            for f in out
            if f.value not in ("3.8", "14.8") and not any(n.start < f.end and f.start < n.end for n in nuts)
        ]
        if answering == "strength" and not out:
            m2 = re.fullmatch(
                r"(?:grade |gr |class |its |an? )*(?P<n>46|48|56|58|68|88|98|109|129|2|5|7|8)s?[ .!?]*", text
            )
            if m2:
                n = m2["n"]
                out.append(
                    Found(
                        m2.start("n"),
                        m2.end("n"),
                        "strength",
                        _SQUEEZED_CLASS.get(n, "gr" + n),
                        0.9 if n in _SQUEEZED_CLASS else 0.6,
                    )
                )
        return out + nuts


def _is_set(grade: str, after: str, before: str) -> bool:
    """Whether "HV" or "HR" beside 8.8 or 10.9 names the preloadable set ("10.9 HV"); "390 HV" is a hardness.

    >>> _is_set("10.9", " hv", "m16 "), _is_set("8.8", "", "system hr "), _is_set("12.9", " hv", "")
    (True, True, False)
    """
    if grade not in ("8.8", "10.9"):
        return False
    return after.strip(" -") in ("hv", "hr") or _SET_BEFORE.search(before) is not None


def thread_classes(text: str, typed: str) -> list[Found]:
    """Thread tolerance classes; capital letters are internal, small ones external, A and B inch classes.

    >>> [f.value for f in thread_classes("m10 6g bolt", "M10 6g bolt")]
    ['6g']
    """
    out = []
    for m in _THREAD.finditer(text):
        raw = m["c"]
        asked = _THREAD_CONTEXT.search(text[: m.start()] + " " + text[m.end() :]) or re.search(
            r"class|thread|tolerance|fit", text[m.start() : m.start("c")]
        )
        if not asked or (raw in ("az", "ax") and not re.search(r"nut|tap|thread|class|tolerance", text)):
            continue
        as_typed = typed[m.start("c") : m.end("c")] if len(typed) == len(text) else raw
        if raw[-1] in "ab" or raw in ("6az", "6ax", "az", "ax"):
            value = raw.upper()
        elif "h" in raw:
            value = raw.upper() if as_typed.isupper() or (as_typed.islower() and raw in ("6h", "7h")) else raw
        else:
            value = raw
        out.append(Found(m.start("c"), m.end("c"), "thread_class", value, 0.95))
    return out
