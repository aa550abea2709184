"""Recognises stretches that look like a drawing or order designation of a coating; it does not decode them."""

from __future__ import annotations

import re

from advisor.language.found import Found
from advisor.language.grammar.lexicon import Lexicon, Pattern

_TAIL = r"""(?:[ /,:;-]{0,2}(?:
      type\ [ivx0-9]+ | ty\ ?[ivx0-9]+ | class\ [0-9]+[a-z]? | cl\ ?[0-9]+ | sc\ ?[0-9] | fe/zn\ ?[0-9]+[a-z]*
    | fe/[a-z]+\ ?[0-9]+[a-z]* | grade\ [0-9]+[a-z]? | [abcdef]?[0-9]?[a-z]?/[a-z0-9/]+ | tzn\b | znni[a-z0-9/]*
    | zn[a-z]*[0-9][a-z0-9/]* | flzn\S* | an\b | t[02-7]\b | ah\b | [a-z][0-9][a-z]\b | dg[0-9]?\S*
    | [0-9]+h\b(?:[-/ ][a-z]+\b)? ))*"""
_METALS = r"(?:zn|ni|cd|sn|cr|cu|ag|au|e|znni|zn-?ni|zn-?fe|zn-?co|sn-?zn)"
_COATS = r"(?:zn\ ?-?ni|zn\ ?-?fe|zn\ ?-?co|zn|cd|sn\ ?-?zn|sn|ni|cu|ag)"

_DOCUMENT = rf"""(?<![a-z0-9]) (?P<a>
    (?: (?:din\ |bs\ |en\ |din\ en\ )*iso\ ?-?\ ?
        (?:4042|2081|2082|10683|10684|1461|19598|27830|9717|2093|1456|1458|4521|4527|14713|17668)(?::[0-9]{{4}})?
      | (?:astm\ ?)?
        (?:b633|f1941m?|f2329|f3393|f1136|f2833|b695|b696|b766|a153|a123|b841|b842|b454|b201|a767|b117|f3019|a380|a967)
        (?:/[a-z0-9]+)?(?:-[0-9]{{2,4}})?
      | b\ 633
      | din\ ?-?267(?:-[0-9]+)? | din\ ?(?:50961|50960|50962|50979)(?![0-9])
      | bs\ ?(?:3382|1706|7371|729)(?:-[0-9]+)?(?![0-9])
      | qq-?[ ]?[a-z]-?[0-9]+[a-z]? | mil-[a-z]+-[0-9]+[a-z]? | ams-?[ ]?(?:qq-[a-z]-)?[0-9]{{3,5}}[a-z]?
      | as\ ?1214 | en\ ?(?:1403|12329|12330|13811|15773|14399(?:-[0-9]+)?) | (?:vda|vdi)\ ?[0-9]{{3,5}} )
    {_TAIL} )"""
_FORMULA = rf"""(?<![a-z0-9]) (?P<b>
    (?:fe|cu|al)/+{_METALS}[a-z]*(?:\([0-9]+\))?\ ?-?\ ?[0-9]*(?:[abcf]n|[a-f][0-9]?[a-z]?)? {_TAIL} (?:\ ?/?{_TAIL})
  | {_COATS}[0-9]{{1,2}}(?:[ /-](?:[abcf]n?|[a-g]|an|bn|cn|fn|t[0-7]|[0-9]+h)\b)*(?:/[a-z0-9]+)*
  | fl\ ?-?zn[a-z/]*(?:-?[a-z0-9]+)*(?:[-/ ][0-9]+h)?(?:[-/](?:[a-z]{{1,3}}|[0-9]+h)\b)*
  | tzn\b | t\ ?zn\b(?:\ ?-?\ ?[a-z])? | fe/?zn[0-9]*[a-z]* ) (?![a-z])"""

_SHAPES = Pattern(lambda _: rf"{_DOCUMENT}|{_FORMULA}")
_BARE_NUMBER = Pattern(
    lambda _: (
        r"""(?<![a-z0-9./-]) (?:to\ |per\ |acc(?:ording)?\.?\ to\ )? (?P<n>4042|10683|10684|2081|1461|19598)
        (?![0-9]|\.[0-9]) (?P<t>[ /:-]{0,2}[a-z0-9/]+)?"""
    )
)
_LETTER_CODE = Pattern(lambda _: r"(?<![a-z0-9./-]) (?P<c>[a-hk-u][0-9][a-z]) (?![a-z0-9-])")
_CODE_WORD_BEFORE = Pattern(lambda w: rf"""\b(?:{w("word-of-a-code")})\b""")
_CODE_WORD_AFTER = Pattern(lambda _: r"\s*(?:to\ (?:iso|din)|coating|finish|plat|mean|stand|ok\b|okay)")
_ASKED_BEFORE = Pattern(lambda _: r"\b(?:what\ is|whats|what's|read|is|to|per)(?:\ a|\ an|\ the)?\ \Z")
_DOCUMENT_BEFORE = re.compile(r"iso|to|per|coat|finish|din|zn|\A")
_JOINS = Pattern(lambda _: r"[ ,:/-]{0,3}(?:(?:as\ )?per|acc(?:ording)?\.?\ ?to|to)?[ ,:/-]{0,3}")
"""What may stand between two parts of one code: "Fe/Zn 8C per ASTM F1941"."""
_NOT_CODES = frozenset(("m4a", "h4h"))
_REACH = 40
"""A word of a coating this many characters before makes three letters and figures a code."""


def designations(lexicon: Lexicon, text: str) -> list[Found]:
    """Designations in a folded line, joined where they are parts of one."""
    if not any(c.isdigit() for c in text) and "zn" not in text:
        return []
    out = _shaped(lexicon, text)
    for m in lexicon.finditer(_BARE_NUMBER, text):
        if not _overlaps(out, m.start("n"), m.end("n")) and _DOCUMENT_BEFORE.search(text[: m.start("n")]):
            out.append(Found(m.start("n"), m.end("n"), "callout", None, 0.9))
    whole = text.strip(" .?!")
    for m in lexicon.finditer(_LETTER_CODE, text):
        known = _overlaps(out, m.start(), m.end()) or m["c"] in _NOT_CODES
        if not known and (m["c"] == whole or _spoken_of(lexicon, text, m)):
            out.append(Found(m.start(), m.end(), "callout", None, 0.95))
    return [f._replace(value=text[f.start : f.end]) for f in _joined(lexicon, text, sorted(out))]


def _shaped(lexicon: Lexicon, text: str) -> list[Found]:
    out: list[Found] = []
    end = -1
    for m in lexicon.finditer(_SHAPES, text):
        start = m.start()
        stop = start + len(m[0].rstrip(" /,:;-"))
        if out and start - end <= 3 and not text[end:start].strip(" -/,:"):
            out[-1] = out[-1]._replace(end=stop)
        else:
            out.append(Found(start, stop, "callout", None, 0.98))
        end = stop
    return out


def _spoken_of(lexicon: Lexicon, text: str, m: re.Match[str]) -> bool:
    """Whether the words around three characters speak of a coating's code."""
    start = max(0, m.start() - _REACH)
    return (
        lexicon.search(_CODE_WORD_BEFORE, text[start : m.start()]) is not None
        or lexicon.match(_CODE_WORD_AFTER, text, m.end()) is not None
        or lexicon.ends(_ASKED_BEFORE, text, m.start()) is not None
    )


def _joined(lexicon: Lexicon, text: str, found: list[Found]) -> list[Found]:
    out: list[Found] = []
    for f in found:
        if out and lexicon.fullmatch(_JOINS, text, out[-1].end, f.start):
            out[-1] = out[-1]._replace(end=f.end)
        else:
            out.append(f)
    return out


def _overlaps(found: list[Found], start: int, end: int) -> bool:
    return any(f.start < end and start < f.end for f in found)
