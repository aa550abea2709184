"""Grammar of strength classes and grades: 10.9s, grade eight, A325, A2-70, "a ten, a dot and a nine"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from advisor.expressions import expression
from advisor.language.found import Found
from advisor.language.grammar.lexicon import Lexicon, Pattern

_NO_GRADE_AFTER = r"(?![0-9/]|\.[0-9])"
_SPOKEN = Pattern(
    lambda w: (
        rf"""(?<![0-9./]) (?:an?\ )? (?P<a>3|4|5|6|8|9|10|12|14) \ ?,?(?:\ and|\ then)?\ ? (?:an?\ )?
        (?:{w("decimal-point")})s? \ ?,?\ ?(?:and\ )?(?:then\ )?(?:an?\ |another\ )? (?P<b>6|8|9) {_NO_GRADE_AFTER}"""
    ),
    gate="point|dot|pt|stop|komma|coma|virgule|punto|decimal",
)
_GAPPED = Pattern(
    lambda _: (
        r"""(?<![0-9./,xm-]) (?P<c>4\ 6|4\ 8|5\ 6|5\ 8|6\ 8|8\ 8|9\ 8|10\ 9|12\ 9)s?
        (?![0-9/]|\.[0-9]|[gh]\b|\ ?(?:mm|x|pcs|off|h\b|years))"""
    )
)
_BEHIND_A_SIZE = Pattern(
    lambda _: (
        r"""(?<![a-z0-9./]) m[0-9]{1,2}(?:\ ?x\ ?[0-9.]+){1,2} \ ?-\ ?
        (?P<c>4\.6|4\.8|5\.6|5\.8|6\.8|8\.8|9\.8|10\.9|12\.9) (?![0-9/]|\.[0-9])"""
    ),
    gate="-",
)
"""As drawings write it: M8x25-10.9."""
_SQUEEZED = Pattern(
    lambda w: (
        rf"""\b(?:{w("strength-word")})\.?\ ? (?P<c>{w("squeezed-class")})s?\b
      | (?<![0-9./a-z-]) (?P<c2>88|109|129)(?:s\b|\ (?:grade|class)\b)"""
    )
)
_INCH_GRADE = Pattern(
    lambda w: (
        rf"""\b(?:{w("inch-grade-word")})s? [ .-]{{0,2}} (?P<n>{w("inch-grade")}) (?P<s>s)?
        (?! [0-9a-z/] | \.[0-9] | -[0-9]
          | \ ?(?:nuts?\b|titanium|ti\b|mm\b|off\b|point|dot|pcs) )"""
    )
)
_GRADE_LAST = Pattern(lambda _: r"(?<![0-9./a-z-]) (?P<n>5|8)\ grade\b", gate="grade")
_NUT_CLASS = Pattern(
    lambda _: (
        r"""\b(?:class|grade|gr|cl)[ .]? (?P<n>4|5|6|8|9|10|12|2h|dh|c)\b (?=\ (?:hex\ |heavy\ |full\ )?nuts?\b)
      | \bnuts?,?\ (?:class|grade|gr|cl)[ .]? (?P<n2>4|5|6|8|9|10|12|2h|dh)\b (?!\.[0-9])"""
    ),
    gate="nut",
)
_BARE = Pattern(lambda w: rf"""(?:grade\ |gr\ |class\ |its\ |an?\ )* (?P<n>{w("squeezed-class")}|2|5|7|8)s?[ .!?]*""")
_SET_BEFORE = expression(r"(?<![a-z0-9])(?<![0-9]{3} )(?:hv|hr)[ -]\Z")
_NO_CLASS = ("3.8", "14.8")


def compile_grades(grades: Iterable[str]) -> tuple[str, dict[str, str]]:
    """One expression for every grade slug, tolerant of blanks and hyphens, and the slug each spelling stands for.

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
        # a hyphen in a slug may be typed as blank, slash, nothing or "grade"; C3 is also a place: not there
        loose = "-" if re.match(r"[cd][0-9]|f1-", low) else r"(?:[ /.-]{0,2}|,?[ ](?:grade|gr\.?|class|type)[ ]?)"
        parts.append(re.escape(low).replace(r"\-", loose))
    return "|".join(parts), slugs


class Grades:
    """Finds classes and grades. Built from the compiled expression, which is only made ready when first used."""

    def __init__(self, pattern: str, slugs: Mapping[str, str], inch_grades: frozenset[str]) -> None:
        self.slugs = slugs
        self._inch_grades = inch_grades
        self.named = Pattern(
            lambda _: (
                rf"""(?<![a-z0-9/.\#-]) (?:(?:m|grd?\.?|grade|class|cl\.?)(?=[0-9]{{1,2}}\.[689]))?
                (?P<g>{pattern}) (?P<s>s|m|hb|k|[ -]?(?:hv|hr)(?!\ ?[0-9]))? (?![a-z0-9]|\.[0-9]|/[0-9])
                (?!\ ?(?:mm|um|inch|years?|yrs|kg|°|hours?|hrs|microns?|nm\b|mpa|bar|m\b|thou|%))"""
            ),
            name="named grades",  # its source hangs on the grades, as whoever compiles it for the base knows
        )

    def find(self, lexicon: Lexicon, text: str, answering: str | None) -> list[Found]:
        """Classes and grades in a folded line; a class of a nut is noticed as such."""
        out = [
            *self._slugs_named(lexicon, text),
            *(_strength(m, f"{m['a']}.{m['b']}") for m in lexicon.finditer(_SPOKEN, text)),
            *(_strength(m, m["c"].replace(" ", "."), 0.9) for m in lexicon.finditer(_GAPPED, text)),
            *(Found(m.start("c"), m.end("c"), "strength", m["c"]) for m in lexicon.finditer(_BEHIND_A_SIZE, text)),
            *(_strength(m, self._dotted(m["c"] or m["c2"]), 0.9) for m in lexicon.finditer(_SQUEEZED, text)),
            *(
                _strength(m, "gr" + m["n"])
                for m in lexicon.finditer(_INCH_GRADE, text)
                if "gr" + m["n"] in self._inch_grades
            ),
            *(_strength(m, "gr" + m["n"], 0.9) for m in lexicon.finditer(_GRADE_LAST, text) if "nut" not in text),
        ]
        nuts = [
            Found(m.start(), m.end(), slug="nut-class", candidates=(m["n"] or m["n2"],))
            for m in lexicon.finditer(_NUT_CLASS, text)
        ]
        out = [
            f for f in out if f.value not in _NO_CLASS and not any(n.start < f.end and f.start < n.end for n in nuts)
        ]
        if answering == "strength" and not out:
            out = self._bare(lexicon, text)
        return out + nuts

    def _slugs_named(self, lexicon: Lexicon, text: str) -> list[Found]:
        out = []
        for m in lexicon.finditer(self.named, text):
            key = re.sub(r"[ /,-]|grade|gr\.?(?=[ 0-9a-z])|class|type", "", m["g"])
            slug = self.slugs.get(key) or self.slugs.get(re.sub(r"(?<=[a-z0-9])\.(?=[0-9]{2})", "", key))
            if slug is None or (slug.endswith("HV") and "washer" not in text):
                continue
            matched = "en-14399-set" if is_set(slug, m["s"] or "", text[: m.start()]) else ""
            out.append(Found(m.start(), m.end(), "strength", slug, slug=matched))
        return out

    def _bare(self, lexicon: Lexicon, text: str) -> list[Found]:
        """An answer that is nothing but a class or an inch grade."""
        m = lexicon.fullmatch(_BARE, text)
        if m is None:
            return []
        squeezed = self._dotted(m["n"])
        strength, certainty = (squeezed, 0.9) if "." in squeezed else ("gr" + m["n"], 0.6)
        return [Found(m.start("n"), m.end("n"), "strength", strength, certainty)]

    def _dotted(self, squeezed: str) -> str:
        """ "109" as the class 10.9."""
        return f"{squeezed[:-1]}.{squeezed[-1]}" if len(squeezed) > 1 else squeezed


def _strength(m: re.Match[str], value: str, certainty: float = 1.0) -> Found:
    return Found(m.start(), m.end(), "strength", value, certainty)


def squeezed_classes(grades: Iterable[str]) -> list[str]:
    """The classes as people write them without the dot.

    >>> squeezed_classes(["8.8", "A2-70", "10.9", "gr5.2"])
    ['88', '109']
    """
    return [g.replace(".", "") for g in grades if re.fullmatch(r"[0-9]{1,2}\.[689]", g)]


def is_set(grade: str, after: str, before: str) -> bool:
    """Whether "HV" or "HR" beside 8.8 or 10.9 names the preloadable set ("10.9 HV"); "390 HV" is a hardness.

    >>> is_set("10.9", " hv", "m16 "), is_set("8.8", "", "system hr "), is_set("12.9", " hv", "")
    (True, True, False)
    """
    if grade not in ("8.8", "10.9"):
        return False
    return after.strip(" -") in ("hv", "hr") or _SET_BEFORE.search(before) is not None
