"""Grammar of thread tolerance classes: 6g, 6H, 2A, 6AZ."""

from __future__ import annotations

from advisor.expressions import expression
from advisor.language.found import Found
from advisor.language.grammar.lexicon import Lexicon, Pattern

_CLASS = Pattern(
    lambda _: (
        r"""(?:(?<![a-z0-9./-])|(?<=un[cf]-)|(?<=un[cf])) (?:(?:tolerance|thread\ class|class|fit|thread|-)?\ ?)
        (?P<c>4g6g|5g6g|5h6h|4h5h|4h6h|[3-9]g|[3-9]e|6f|8f|[4-7]h|6az|6ax|az|ax|[123][ab])
        (?![a-z0-9/]|-[0-9]) (?!\ ?(?:off|pcs|kg|grams?))"""
    )
)
_CONTEXT = Pattern(
    lambda _: (
        r"""\b(?:thread|tolerance|fit|class|gauge|allowance)\b
      | (?<![0-9.])m[0-9] | [0-9]/[0-9] | \#[0-9] | [0-9]-[0-9]{2}\b | un[cf]\b"""
    )
)
_OF_A_NUT = expression(r"nut|tap|thread|class|tolerance")
_BARE = Pattern(lambda _: r"(?:class\ )?(?P<c>4g6g|5g6g|[3-9]\ ?[geh]|6az|6ax|[123][ab])[ .!?]*")


def thread_classes(lexicon: Lexicon, text: str, typed: str) -> list[Found]:
    """Thread tolerance classes; capital letters are internal, small ones external, A and B inch classes."""
    out = []
    for m in lexicon.finditer(_CLASS, text):
        raw = m["c"]
        around = text[: m.start()] + " " + text[m.end() :]
        named = m.start("c") > m.start() and text[m.start() : m.start("c")].strip(" -")
        if not named and not lexicon.search(_CONTEXT, around):
            continue
        if raw in ("az", "ax") and not _OF_A_NUT.search(text):
            continue
        as_typed = typed[m.start("c") : m.end("c")] if len(typed) == len(text) else raw
        out.append(Found(m.start("c"), m.end("c"), "thread_class", _cased(raw, as_typed), 0.95))
    return out


def _cased(raw: str, as_typed: str) -> str:
    """A class in the case that tells bolt from nut."""
    if raw[-1] in "ab" or raw in ("6az", "6ax", "az", "ax"):
        return raw.upper()
    if "h" in raw and (as_typed.isupper() or (as_typed.islower() and raw in ("6h", "7h"))):
        return raw.upper()
    return raw


def bare_thread_class(lexicon: Lexicon, text: str, typed: str) -> str | None:
    """An answer that is nothing but a thread class; `typed` is the line as typed.

    >>> lexicon = Lexicon({})
    >>> bare_thread_class(lexicon, "6h", "6H"), bare_thread_class(lexicon, "6 e", "six e")
    ('6H', '6e')
    """
    m = lexicon.fullmatch(_BARE, text)
    if m is None:
        return None
    raw = m["c"]
    if raw[-1] in "abzx":
        return raw.upper()
    as_typed = typed.strip(" .!?")
    return as_typed if as_typed.lower() == raw and " " not in as_typed else raw.replace(" ", "")[:-1] + as_typed[-1]
