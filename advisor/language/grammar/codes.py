"""Recognises stretches that look like a drawing or order designation of a coating; it does not decode them."""

# ruff: noqa: E501 - a grammar is easier to check in one unbroken line

from __future__ import annotations

import re

from advisor.language.found import Found

_TAIL = r"(?:[ /,:;-]{0,2}(?:type [ivx0-9]+|ty ?[ivx0-9]+|class [0-9]+[a-z]?|cl ?[0-9]+|sc ?[0-9]|fe/zn ?[0-9]+[a-z]*|fe/[a-z]+ ?[0-9]+[a-z]*|grade [0-9]+[a-z]?|[abcdef]?[0-9]?[a-z]?/[a-z0-9/]+|tzn\b|znni[a-z0-9/]*|zn[a-z]*[0-9][a-z0-9/]*|flzn\S*|an\b|t[02-7]\b|ah\b|[a-z][0-9][a-z]\b|dg[0-9]?\S*|[0-9]+h\b(?:[-/ ][a-z]+\b)?))*"
_SHAPES = re.compile(
    r"(?<![a-z0-9])(?P<a>"
    r"(?:(?:din |bs |en |din en )*iso ?-? ?(?:4042|2081|2082|10683|10684|1461|19598|27830|9717|2093|1456|1458|4521|4527|14713|17668)(?::[0-9]{4})?"
    rf"|(?:astm ?)?(?:b633|f1941m?|f2329|f3393|f1136|f2833|b695|b696|b766|a153|a123|b841|b842|b454|b201|a767|b117|f3019|a380|a967)(?:/[a-z0-9]+)?(?:-[0-9]{{2,4}})?"
    r"|b 633"
    rf"|din ?-?267(?:-[0-9]+)?|din ?(?:50961|50960|50962|50979)(?![0-9])|bs ?(?:3382|1706|7371|729)(?:-[0-9]+)?(?![0-9])"
    r"|qq-?[ ]?[a-z]-?[0-9]+[a-z]?|mil-[a-z]+-[0-9]+[a-z]?|ams-?[ ]?(?:qq-[a-z]-)?[0-9]{3,5}[a-z]?|as ?1214|en ?(?:1403|12329|12330|13811|15773|14399(?:-[0-9]+)?)"
    r"|(?:vda|vdi) ?[0-9]{3,5})"
    rf"{_TAIL})"
    rf"|(?<![a-z0-9])(?P<b>(?:fe|cu|al)/+(?:zn|ni|cd|sn|cr|cu|ag|au|e|znni|zn-?ni|zn-?fe|zn-?co|sn-?zn)[a-z]*(?:\([0-9]+\))? ?-? ?[0-9]*(?:[abcf]n|[a-f][0-9]?[a-z]?)?{_TAIL}(?: ?/?{_TAIL})"
    rf"|(?:zn ?-?ni|zn ?-?fe|zn ?-?co|zn|cd|sn ?-?zn|sn|ni|cu|ag)[0-9]{{1,2}}(?:[ /-](?:[abcf]n?|[a-g]|an|bn|cn|fn|t[0-7]|[0-9]+h)\b)*(?:/[a-z0-9]+)*"
    rf"|fl ?-?zn[a-z/]*(?:-?[a-z0-9]+)*(?:[-/ ][0-9]+h)?(?:[-/](?:[a-z]{{1,3}}|[0-9]+h)\b)*"
    rf"|tzn\b|t ?zn\b(?: ?-? ?[a-z])?|fe/?zn[0-9]*[a-z]*)(?![a-z])"
)
_BARE_NUMBER = re.compile(
    r"(?<![a-z0-9./-])(?:to |per |acc(?:ording)?\.? to )?(?P<n>4042|10683|10684|2081|1461|19598)(?![0-9]|\.[0-9])(?P<t>[ /:-]{0,2}[a-z0-9/]+)?"
)
_LETTER_CODE = re.compile(r"(?<![a-z0-9./-])(?P<c>[a-hk-u][0-9][a-z])(?![a-z0-9-])")
_LETTER_CONTEXT = re.compile(
    r"\b(?:coating|coat|finish|plating|plated|surface|code|callout|symbol|4042|267|drawing|title block|note|galvanic|oberflache|suffix|stamp|means?|marked|din|iso|decode)\b"
)
_JOINS = re.compile(r"[ ,:/-]{0,3}(?:(?:as )?per|acc(?:ording)?\.? ?to|to)?[ ,:/-]{0,3}")
"""What may stand between two parts of one code: "Fe/Zn 8C per ASTM F1941"."""
_NOT_CODES = frozenset(("m4a", "h4h"))
_THREAD_LIKE = re.compile(r"[1-7][aegh]|[0-9]h[0-9]")


def find(text: str) -> list[Found]:
    """Designations in a folded line, longest first at each place.

    >>> t = "m10 8.8 iso 4042/zn8/an/t0 please"
    >>> [t[f.start:f.end] for f in find(t)]
    ['iso 4042/zn8/an/t0']
    """
    out: list[Found] = []
    if not any(c.isdigit() for c in text) and "zn" not in text:
        return out
    end = -1
    for m in _SHAPES.finditer(text):
        start, stop = m.start(), m.end()
        body = text[start:stop].rstrip(" /,:;-")
        if out and start - end <= 3 and text[end:start].strip(" -/,:") == "":
            out[-1] = out[-1]._replace(end=start + len(body))
        else:
            out.append(Found(start, start + len(body), "callout", None, 0.98))
        end = start + len(body)
    for m in _BARE_NUMBER.finditer(text):
        if not _overlaps(out, m.start("n"), m.end("n")) and re.search(
            r"iso|to|per|coat|finish|din|zn|\A", text[: m.start("n")]
        ):
            out.append(Found(m.start("n"), m.end("n"), "callout", None, 0.9))
    whole = text.strip(" .?!")
    for m in _LETTER_CODE.finditer(text):
        code = m["c"]
        if _overlaps(out, m.start(), m.end()) or code in _NOT_CODES:
            continue
        if (
            code == whole
            or _LETTER_CONTEXT.search(text[max(0, m.start() - 40) : m.start()])
            or re.match(r"\s*(?:to (?:iso|din)|coating|finish|plat|mean|stand|ok\b|okay)", text[m.end() :])
            or re.search(r"\b(?:what is|whats|what's|read|is|to|per)(?: a| an| the)? \Z", text[: m.start()])
        ):
            out.append(Found(m.start(), m.end(), "callout", None, 0.95))
    out.sort()
    joined: list[Found] = []
    for f in out:
        if joined and _JOINS.fullmatch(text, joined[-1].end, f.start):
            joined[-1] = joined[-1]._replace(end=f.end)
        else:
            joined.append(f)
    out = joined
    return [f._replace(value=text[f.start : f.end]) for f in out]


def _overlaps(found: list[Found], start: int, end: int) -> bool:
    return any(f.start < end and start < f.end for f in found)
