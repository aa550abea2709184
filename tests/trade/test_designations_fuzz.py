"""Truncated, mistyped, mixed-up and invented codes: no crash, and nothing read that they do not say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.calculations import decode
from advisor.codes.shapes import find
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary

DATA = Path(__file__).parent.parent / "data" / "designations.txt"
TEXTS = [
    line.split(" | ")[0].strip()
    for line in DATA.read_text(encoding="utf-8").splitlines()
    if line.strip() and not line.startswith("#")
]
QUIET = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def _read(base: Base, text: str) -> list[dict[str, Any]] | None:
    """The readings, or None where the program refuses; anything else is a crash."""
    try:
        results: Any = decode.run(base, {"callout": text}).results
    except UsageError:
        return None
    assert results["readings"]
    return list(results["readings"])


# ISO 4042 since 2018, complete: letters and thicknesses as in the German catalogue page and ISO 4042:1999 Table 1
_METALS = {"Zn": "zinc-electroplate", "ZnNi": "zinc-nickel", "ZnFe": "zinc-iron", "Cd": "cadmium"}
_FILMS = {"An": "no", "Cn": "no", "Fn": "no", "A": "yes", "C": "yes", "D": "yes", "F": "yes", "U": "no"}
_NOMINAL = {3, 5, 8, 10, 12, 15, 20, 25, 30}


@QUIET
@given(
    metal=st.sampled_from([*_METALS, "Zi", "Xn", "ZnZn", "Al"]),
    um=st.integers(0, 60),
    film=st.sampled_from([*_FILMS, "Gn", "Hn", "Tn", "Bn", "Q", "CC"]),
    post=st.sampled_from(["T0", "T2", "T1", "T9"]),
)
def test_iso_4042_reads_what_it_says_or_refuses(base: Base, metal: str, um: int, film: str, post: str) -> None:
    readings = _read(base, f"ISO 4042/{metal}{um}/{film}/{post}")
    valid = metal in _METALS and um in _NOMINAL and film in _FILMS and post in ("T0", "T2")
    if not valid:
        assert readings is None
        return
    assert readings is not None
    r = readings[0]
    assert (r["family"], r["thickness_um"], r["sealed"]) == (_METALS[metal], um, post == "T2")
    assert r["hexavalent_chromium"] == _FILMS[film]


def test_every_letter_digit_letter_code_is_read_or_refused(base: Base) -> None:
    """DIN 267-9: fifteen metals, digits 0 to 9 (no 1 for two layers), eighteen film letters, and nothing else."""
    metals, two_layers, films = "ABCDEFGHJKLNPQR", "FGHN", "ABCDEFGHJKLMNPRSTU"
    um = (None, 3, 5, 8, 12, 15, 20, 25, 32, 40)
    for metal in "ABCFHKMOQRZ":
        for digit in range(10):
            for film in "ACILOPRUVZ":
                text = f"DIN 267-9 {metal}{digit}{film}"
                readings = _read(base, text)
                known = metal in metals and film in films and not (metal in two_layers and digit == 1)
                if not known:
                    assert readings is None or readings[0]["family"] is None or "ISO 3506" in readings[0]["standard"]
                    continue
                assert readings is not None, text
                assert readings[0]["thickness_um"] == um[digit], text


# ASTM F1941: thickness classes and letters of the bolt distributor's specification page
@QUIET
@given(
    metal=st.sampled_from(["Zn", "Cd", "Zn-Ni", "Zn-Co", "Zn-Fe", "Pb", "ZnX"]),
    um=st.integers(0, 40),
    letter=st.sampled_from("ABCDEFGHQZ"),
    suffix=st.sampled_from(["", "T", "N", "X"]),
)
def test_f1941_reads_what_it_says_or_refuses(base: Base, metal: str, um: int, letter: str, suffix: str) -> None:
    readings = _read(base, f"ASTM F1941 Fe/{metal} {um}{letter}{suffix}")
    known_metal = metal in ("Zn", "Cd", "Zn-Ni", "Zn-Co", "Zn-Fe")
    valid = known_metal and um in (3, 5, 8, 12) and letter in "ABCDEF" and suffix in ("", "T", "N")
    if not valid or (letter, suffix) == ("F", "N"):
        # the document and the metal may be told; what its table does not hold is never made up
        assert readings is None or (readings[0]["finish"], readings[0]["thickness_um"]) == (None, None)
        return
    assert readings is not None
    assert readings[0]["thickness_um"] == um
    if suffix:
        assert readings[0]["hexavalent_chromium"] == "no"
    elif letter in "CDE":
        assert readings[0]["hexavalent_chromium"] == "yes"


@pytest.mark.parametrize("text", TEXTS)
def test_truncated_codes_never_crash(base: Base, text: str) -> None:
    for end in range(1, len(text)):
        _read(base, text[:end])


@QUIET
@given(text=st.sampled_from(TEXTS), at=st.integers(0, 40), letter=st.sampled_from("abcfnz0159/-. µ"))
def test_mistyped_codes_never_crash(base: Base, text: str, at: int, letter: str) -> None:
    at = min(at, len(text) - 1)
    _read(base, text[:at] + letter + text[at + 1 :])
    _read(base, text[:at] + letter + text[at:])


@QUIET
@given(a=st.sampled_from(TEXTS), b=st.sampled_from(TEXTS))
def test_two_codes_in_one_note_never_pass_as_one(base: Base, a: str, b: str) -> None:
    readings = _read(base, f"{a}, {b}")
    one, other = _read(base, a), _read(base, b)
    if readings is None or one is None or other is None or one[0]["family"] == other[0]["family"]:
        return
    if len(readings) == 1 and readings[0]["family"] is not None:
        assert readings[0]["incomplete"], (a, b)


@QUIET
@given(text=st.text(max_size=60))
def test_any_text_is_read_or_refused(base: Base, text: str) -> None:
    _read(base, text)


@QUIET
@given(words=st.lists(st.from_regex(r"[A-Z]{1,3}[0-9]{0,3}[/-]?[a-z]{0,2}", fullmatch=True), min_size=1, max_size=4))
def test_invented_codes_never_state_a_thickness_they_do_not_hold(base: Base, words: list[str]) -> None:
    text = " ".join(words)
    for r in _read(base, text) or []:
        um = r["thickness_um"]
        for value in um if isinstance(um, list) else [um]:
            assert value is None or any(c.isdigit() for c in text)


def test_very_long_and_odd_notes_are_refused_not_choked_on(base: Base) -> None:
    for text in ("A2L " * 4000, "/" * 5000, "Fe/" * 3000, "(" * 2000, "\x00\ud83d" * 50, "８．８　ＨＤＧ"):
        _read(base, text)


def test_what_the_conversation_recognises_as_a_callout_can_be_decoded_or_is_refused_in_words(
    base: Base, vocabulary: Vocabulary
) -> None:
    unread = []
    for text in TEXTS:
        for found in find(vocabulary.shapes, text.lower()):
            piece = text.lower()[found.start : found.end]
            if _read(base, piece) is None:
                unread.append((text, piece))
    assert unread == []
