"""What is made and sold, and what a named document says, against expectations typed from the documents themselves."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from advisor.graph.base import Base
from advisor.graph.nodes_of_use import Document, Offer

DATA = Path(__file__).parents[1] / "data"
OFFERS: list[dict[str, Any]] = yaml.safe_load((DATA / "offers.yaml").read_text("utf-8"))["cases"]
DOCUMENTS: list[dict[str, Any]] = yaml.safe_load((DATA / "documents.yaml").read_text("utf-8"))["cases"]


class Asked(NamedTuple):
    """One thing a customer wants to buy."""

    part: str
    family: str
    strength: str | None
    size_mm: float | None
    thread: str | None


def fits(base: Base, offer: Offer, asked: Asked) -> bool:
    """Whether an offer speaks of what is asked; a limit of a refusal must be told, that of a sale must not be
    broken."""
    refusal = offer.availability == "not-made"
    families = {base.finishes[f].family if f in base.finishes else f for f in offer.finish}
    if asked.part not in offer.part or asked.family not in families:
        return False
    if offer.strength and asked.strength not in offer.strength and (asked.strength or refusal):
        return False
    if offer.low_mm is not None and offer.high_mm is not None:
        if asked.size_mm is None and refusal:
            return False
        if asked.size_mm is not None and not offer.low_mm <= asked.size_mm <= offer.high_mm:
            return False
    named = {t for t in offer.threads if re.match(r"M\d", t)}
    if named:
        return asked.thread in named
    return "fine" not in offer.threads


def availability(base: Base, asked: Asked) -> str:
    """Refusals first, then the shelf, then the order; nothing that speaks of it is 'unknown'."""
    found = {o.availability for o in base.offers.values() if fits(base, o, asked)}
    return next((a for a in ("not-made", "stocked", "order") if a in found), "unknown")


@pytest.mark.parametrize("case", OFFERS, ids=lambda c: f"{c['family']} {c['part']} {c.get('strength', '')}".strip())
def test_what_can_be_bought(base: Base, case: dict[str, Any]) -> None:
    asked = Asked(case["part"], case["family"], case.get("strength"), case.get("size_mm"), case.get("thread"))
    assert availability(base, asked) == case["is"], case["from"]


def test_every_part_and_family_is_answered(base: Base) -> None:
    spoken = {
        (part, base.finishes[f].family if f in base.finishes else f)
        for offer in base.offers.values()
        for part in offer.part
        for f in offer.finish
    }
    missing = [(p, f) for p in base.slots["part"].values for f in base.families if (p, f) not in spoken]
    assert missing == []


def test_no_offer_is_both_refused_and_sold(base: Base) -> None:
    """A refusal without limits of size, thread or strength leaves nothing to sell in that cell."""
    refused = {
        (part, f)
        for o in base.offers.values()
        if o.availability == "not-made" and not (o.strength or o.threads or o.low_mm is not None)
        for part in o.part
        for f in o.finish
    }
    sold = {
        (part, base.finishes[f].family if f in base.finishes else f)
        for o in base.offers.values()
        if o.availability != "not-made"
        for part in o.part
        for f in o.finish
    }
    assert refused & sold == set()


@pytest.mark.parametrize("part", ["socket-cap-screw", "set-screw", "machine-screw"])
def test_no_thick_zinc_is_sold_where_the_drive_would_fill(base: Base, part: str) -> None:
    """ISO 4762 names plate and flake; 50 µm of zinc fills a socket or recess (trade)."""
    sold = {f for o in base.offers.values() if part in o.part and o.availability != "not-made" for f in o.finish}
    assert not sold & {"mechanical-zinc", "mechanical-zinc-50", "hot-dip-galvanized", "thermal-diffusion-zinc-45"}


def test_no_reference_chooses_what_nobody_sells(base: Base) -> None:
    """What competent engineers put first in the reference enquiries is stocked or made to order as that part."""
    for node_id, reference in base.references.items():
        told = reference.enquiry
        if "part" not in told or not reference.expect:
            continue
        first = reference.expect[0]
        steel = base.families[first].material == "carbon-steel"
        asked = Asked(told["part"], first, told.get("strength") if steel else None, None, None)
        assert availability(base, asked) in ("stocked", "order"), node_id


@pytest.mark.parametrize("case", DOCUMENTS, ids=lambda c: c["say"])
def test_what_a_document_says_for_certain(base: Base, case: dict[str, Any]) -> None:
    (document,) = [d for d in base.documents.values() if case["say"] in d.say]
    for slot, value in case["says"].items():
        told = document.says[slot]
        assert set(value) <= set(told) if isinstance(value, list) else told == value, case["from"]
    assert not set(case.get("silent", ())) & set(document.says), case["from"]
    assert set(case.get("never", ())) <= set(document.forbids), case["from"]
    assert set(case.get("allowed", ())) <= set(document.coats), case["from"]
    assert document.set == case.get("set", document.set)
    assert document.lubricated == case.get("lubricated", document.lubricated)
    assert document.superseded_by == case.get("followed_by", document.superseded_by)


def test_no_wording_names_two_documents(base: Base) -> None:
    said: dict[str, Document] = {}
    for document in base.documents.values():
        for words in document.say:
            assert words not in said, f"'{words}' names {said[words].id} and {document.id}"
            said[words] = document


def test_a_document_never_allows_what_it_forbids(base: Base) -> None:
    for document in base.documents.values():
        assert not set(document.coats) & set(document.forbids), document.id


def test_every_document_stands_for_itself(base: Base) -> None:
    """What one standard bars must not bar it for another: no two documents give the same value of the slot."""
    told: dict[str, str] = {}
    for document in base.documents.values():
        standard = document.says["standard"]
        assert standard not in told, f"'{standard}' is {told[standard]} and {document.id}"
        told[standard] = document.id
