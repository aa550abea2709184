"""Applications, documents, offers, substances, complaints and causes: read, checked at their place, typed; words that
name.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.graph.base import Base
from advisor.graph.build import build
from advisor.graph.store import open_base
from tests.graph.small_knowledge import GOOD, USE, line_of, write_knowledge

PLANTED = {
    "a place that is none": (
        "environment: [coastal], text",
        "environment: [seaside], text",
        "'seaside' is not a value",
    ),
    "a broader thing that is none": ("is_a: [pier]", "is_a: [quay]", "'quay' does not exist"),
    "a duty that is none": ("duty: [person]\n", "duty: [hanging]\n", "'hanging' is not a value of duty"),
    "a family that is none": ("usual: [plate]", "usual: [paint]", "'paint' is not a set, family or finish"),
    "a substance that is none": ("chemical: [brine]", "chemical: [acid]", "'acid' does not exist"),
    "somebody unknown in danger": ("endangered: user", "endangered: dog", "'dog' is not allowed here"),
    "a document that says no slot": ("says: {part:", "says: {prat:", "unknown slot 'prat'"),
    "a document that says no value": ("says: {part: hex-bolt", "says: {part: bolt", "'bolt' is not a value of part"),
    "a document about nothing": ('    about: "Bolts for piers."\n', "", "'about' is missing"),
    "an offer of no part": ("part: nut,", "part: knut,", "'knut' is not a value of part"),
    "an offer that is neither": ("availability: not-made", "availability: rare", "'rare' is not allowed here"),
    "a verdict that is none": ("verdicts: {plate: bad}", "verdicts: {plate: poor}", "'poor' is not allowed here"),
    "a metal that is none": (
        "verdicts: {plate: bad}",
        "verdicts: {plat: bad}",
        "'plat' is not a set, family or finish",
    ),
    "a range upside down": ("[0, 60]", "[60, 0]", "upside down"),
    "a caution that is none": ("caution: rust-soon", "caution: slippery", "'slippery' does not exist"),
    "trouble that is none": ("problem: red-rust", "problem: rust", "'rust' is not a value of problem"),
    "a cause that is none": ("causes: [too-thin]", "causes: [too-thick]", "'too-thick' does not exist"),
    "evidence on no slot": (
        "- {when: {environment: {in: [coastal]",
        "- {when: {weather: {in: [coastal]",
        "unknown slot 'weather'",
    ),
    "evidence of no weight": ("weight: strong", "weight: heavy", "'heavy' is not allowed here"),
}


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_is_found_at_its_line(tmp_path: Path, name: str) -> None:
    good, bad, message = PLANTED[name]
    assert USE.count(good) == 1
    text = USE.replace(good, bad)
    faults = build(write_knowledge(tmp_path / "k", GOOD, use=text)).faults
    assert [f for f in faults if f.file == "use.yaml" and message in f.text], faults
    if "missing" not in message:
        assert line_of(text, bad.strip()) in {f.line for f in faults}


def test_a_chemical_without_bands_or_hazards_changes_nothing(tmp_path: Path) -> None:
    own = "chemicals:\n  - {id: air, name: air, say: [air]}\n"
    (fault,) = build(write_knowledge(tmp_path / "k", GOOD, own=own)).faults
    assert "needs bands or hazards" in fault.text


def test_the_nodes_of_use_are_typed(own_folders: Path) -> None:
    base = open_base(write_knowledge(own_folders / "k", GOOD, use=USE))
    swing = base.applications["pier-swing"]
    assert (swing.is_a, swing.duty, swing.endangered, swing.usual) == (("pier",), ("person",), "user", ("plate",))
    assert base.documents["doc-en-90"].says == {"part": "hex-bolt", "duty": ["lifting"]}
    assert (base.offers["plated-hex"].low_mm, base.offers["plated-hex"].high_mm) == (3, 24)
    assert base.offers["oiled-nut"].part == ("nut",)
    (band,) = base.chemicals["brine"].bands
    assert band.concentration_pct == (0, 10)
    assert base.chemicals["brine"].hazards[0].severity == "warn"
    assert base.complaints["rusty"].causes == ("too-thin",)
    (evidence,) = base.causes["too-thin"].speaks_for
    assert evidence.when == ["test", "environment", "in", ["coastal"]]
    assert base.causes["too-thin"].next == ("Order a thicker coat.",)


@pytest.mark.parametrize(
    ("names", "slot", "value"),
    [
        ("plate", "finish_asked", ["plate"]),
        ("plate-8", "finish_asked", ["plate"]),
        ("rust-soon", None, None),
    ],
)
def test_a_word_that_names_a_finish_is_a_wish_for_it(
    own_folders: Path, names: str, slot: str | None, value: object
) -> None:
    own = f"terms:\n  - {{id: w-own, say: [bichromated], names: {names}}}\n"
    term = open_base(write_knowledge(own_folders / "k", GOOD, use=USE, own=own)).kind("term")["w-own"]
    assert (term.get("slot"), term.get("value")) == (slot, value)


def test_a_synonym_in_the_shipped_words_is_read_as_a_wish(base: Base, knowledge: Path, own_folders: Path) -> None:
    """The words of a curator's own layer, by YAML alone."""
    from advisor.language.reading import read
    from advisor.language.vocabulary import Vocabulary
    from advisor.shells.opening import open_knowledge

    own = own_folders / "own"
    own.mkdir()
    (own / "words.yaml").write_text("terms:\n  - {id: w-own, say: [bichromated], names: zinc-electroplate}\n", "utf-8")
    mine = open_knowledge(knowledge, [own])
    reading = read("bichromated M10 bolts indoors", Vocabulary.of(mine))
    assert list(reading.understood["finish_asked"].value) == ["zinc-electroplate"]
