"""Limits and dates of the rules on substances, against figures typed in from the laws and the pages that quote them."""

from __future__ import annotations

import re
from typing import Any

import pytest

from advisor.graph.base import Base

# Per cent by mass in each homogeneous material. RoHS: 2011/65/EU Annex II as amended by (EU) 2015/863; ELV: 2000/53/EC,
# notes to Annex II; China: GB 26572-2025. Cadmium first, the other substances second.
HOMOGENEOUS = {"rohs": (0.01, 0.1), "elv": (0.01, 0.1), "china-rohs": (0.01, 0.1)}

# Rule, number, unit as the law prints them.
LIMITS = [
    ("reach", 0.1, "%"),  # (EC) 1907/2006, Article 33
    ("reach-lead", 0.05, "%"),  # the same, Annex XVII entry 63
    ("reach-nickel", 0.5, "µg/cm² a week"),  # the same, entry 27
    ("reach-chromium-restriction", 0.01, "%"),  # draft opinion of 2026
    ("scip", 0.1, "%"),  # 2008/98/EC, Article 9(1)(i)
    ("packaging-heavy-metals", 100, "ppm"),  # 94/62/EC, Article 11
    ("us-food-code-rule", 6, "pH"),  # FDA Food Code 4-101.14
    ("us-chromium-workplace", 5, "µg/m³"),  # 29 CFR 1910.1027, cadmium
]

# Ranges that hold several limits of one law.
RANGES = [
    ("drinking-water-lead", [0.2, 0.25]),  # NSF/ANSI/CAN 372: solder and flux, wetted surface
    ("us-chromium-workplace", [2.5, 5]),  # 29 CFR 1910.1026: action level, limit
    ("eu-chromium-workplace", [5, 25]),  # 2004/37/EC: now, fume before
    ("pfas-restriction-eu", [0.025, 50]),  # proposal of February 2023: 25 ppb, 50 ppm
    ("rohs", [0.2, 4]),  # exemptions 6(a)-II and 6(c), lead
    ("elv", [0.35, 4]),  # Annex II entries 1(a) and 3, lead
]

# Rule, date, document.
DATES = [
    ("rohs", "22 July 2019"),  # (EU) 2015/863, phthalates
    ("rohs", "22 July 2021"),  # the same, medical devices and instruments
    ("rohs", "30 June 2027"),  # Official Journal of 21 November 2025: lead exemptions 6(a), 6(c)
    ("rohs", "1 July 2007"),  # former exemption 28 for chromate on fasteners
    ("elv", "1 July 2003"),  # 2000/53/EC, Article 4(2)(a)
    ("elv", "1 July 2007"),  # Annex II, entry 13(a)
    ("elv", "1 July 2008"),  # Annex II, entry 13(b)
    ("elv-successor", "13 July 2023"),  # COM(2023) 451
    ("elv-successor", "12 December 2025"),  # provisional deal
    ("reach", "27 June 2018"),  # lead metal on the Candidate List
    ("reach", "10 September 2015"),  # C-106/14
    ("reach-chromium-authorisation", "21 September 2017"),  # Annex XIV, entry 16, sunset date
    ("reach-chromium-authorisation", "1 July 2030"),  # OJ C/2026/696
    ("reach-chromium-authorisation", "20 April 2023"),  # C-144/21
    ("reach-chromium-authorisation", "20 April 2024"),
    ("reach-chromium-restriction", "17 August 2026"),  # end of the comments
    ("scip", "5 January 2021"),
    ("pfas-restriction-eu", "2 March 2026"),  # committee opinion
    ("pfas-restriction-eu", "26 March 2026"),
    ("pfas-restriction-eu", "25 May 2026"),  # end of the consultation
    ("eu-chromium-workplace", "17 January 2025"),
    ("california-chrome", "1 January 2024"),
    ("california-chrome", "2039"),
    ("pfas-minnesota", "1 January 2025"),
    ("pfas-minnesota", "1 July 2026"),
    ("pfas-minnesota", "1 January 2032"),
    ("pfas-maine", "1 January 2032"),
    ("pfas-new-mexico", "1 January 2027"),
    ("pfas-new-mexico", "2032"),
    ("china-rohs", "1 August 2025"),
    ("china-rohs", "1 August 2027"),
    ("packaging-heavy-metals", "30 June 2001"),
]

# Lead exemptions: steel for machining, hot-dip galvanized steel, copper alloys; per cent.
LEAD_EXEMPTIONS = {"6(a)-I": 0.35, "6(a)-II": 0.2, "6(c)": 4}

# California's list of Proposition 65 and the sectors in which cadmium plating is barred (NI SR 2003/165, regulation 7,
# the text of REACH Annex XVII entry 23).
PROP_65 = ["Cr(VI)", "lead", "cadmium", "metallic nickel", "nickel compounds"]
CADMIUM_SECTORS = [
    "food production", "agriculture", "cooling and freezing", "printing and bookbinding", "household", "furniture",
    "sanitary", "heating and air conditioning", "paper", "textiles", "rolling stock", "vessels",
]  # fmt: skip

# Conflict minerals, US Dodd-Frank section 1502.
MINERALS = ["tin", "tantalum", "tungsten", "gold"]


def facts(base: Base, rule: str) -> list[dict[str, Any]]:
    """The facts that stand under a rule on substances, in the order written."""
    found = [dict(f) for i, f in base.kind("fact").items() if re.fullmatch(re.escape(rule) + r"-fact-\d+", i)]
    assert found, rule
    return found


def words(base: Base, rule: str) -> str:
    node = base.node(rule)
    told = [node["text"], node.get("valid_from", ""), node.get("valid_until", "")]
    return " ".join([*told, *(f["text"] for f in facts(base, rule))])


@pytest.mark.parametrize(("rule", "limits"), HOMOGENEOUS.items())
def test_cadmium_has_a_tenth_of_the_limit_of_the_others(base: Base, rule: str, limits: tuple[float, float]) -> None:
    assert list(limits) in [f.get("value") for f in facts(base, rule) if f["basis"] == "published"]


@pytest.mark.parametrize(("rule", "number", "unit"), LIMITS)
def test_limit_as_the_law_prints_it(base: Base, rule: str, number: float, unit: str) -> None:
    found = {(f.get("value"), f.get("unit")) for f in facts(base, rule) if not isinstance(f.get("value"), list)}
    assert (number, unit) in found


@pytest.mark.parametrize(("rule", "limits"), RANGES)
def test_limits_of_one_law(base: Base, rule: str, limits: list[float]) -> None:
    assert limits in [f.get("value") for f in facts(base, rule)]


@pytest.mark.parametrize(("rule", "date"), DATES)
def test_date_of_a_rule(base: Base, rule: str, date: str) -> None:
    assert re.search(rf"(?<!\d){date}", words(base, rule)), (rule, date)


@pytest.mark.parametrize(("entry", "percent"), LEAD_EXEMPTIONS.items())
def test_lead_exemptions_of_the_electrical_rule(base: Base, entry: str, percent: float) -> None:
    text = next(f["text"] for f in facts(base, "rohs") if entry in f["text"] and "30 June 2027" in f["text"])
    assert re.search(rf"{percent} % \({re.escape(entry)}\)", text)


@pytest.mark.parametrize("substance", PROP_65)
def test_substances_of_proposition_65(base: Base, substance: str) -> None:
    assert substance in facts(base, "prop-65")[0]["text"]


@pytest.mark.parametrize("sector", CADMIUM_SECTORS)
def test_sectors_barred_to_cadmium(base: Base, sector: str) -> None:
    assert sector in " ".join(f["text"] for f in facts(base, "reach-cadmium") if f["basis"] == "published")


@pytest.mark.parametrize("mineral", MINERALS)
def test_conflict_minerals(base: Base, mineral: str) -> None:
    assert mineral in base.node("conflict-minerals")["text"].lower()


# IEC 62321-7-1:2015: below 0.10 negative, above 0.13 µg/cm² positive; ISO 3613:2021: sample 50 ± 5 cm².
@pytest.mark.parametrize(
    ("fact", "value"), [("chromium-test-iec", [0.10, 0.13]), ("rg-03-fact-2", [0.10, 0.13]), ("rg-03-fact-1", [45, 55])]
)
def test_proof_that_a_film_holds_no_hexavalent_chromium(base: Base, fact: str, value: list[float]) -> None:
    assert base.node(fact)["value"] == value


def test_the_same_law_has_the_same_limit_wherever_it_is_cited(base: Base) -> None:
    """Electrical goods: 0.01 % cadmium; a rule or a finish never cites another figure for it."""
    for i, fact in base.kind("fact").items():
        if fact.get("source") == "eu-2011-65" and "admium" in fact["text"] and isinstance(fact.get("value"), float):
            assert fact["value"] == 0.01, i


# PFAS: nothing in force for PTFE on 25 November 2026; Minnesota and Maine follow in 2032, New Mexico from 2027.
def test_no_rule_claims_a_european_ban_of_ptfe_before_there_is_one(base: Base) -> None:
    assert "valid_from" not in base.node("pfas-restriction-eu")
    assert "valid_from" not in base.node("reach-chromium-restriction")


def test_recalled_law_is_marked_so(base: Base) -> None:
    """The carve-outs of the cadmium entry and the plater's bath were not read in the consolidated text."""
    for fact in ("reach-cadmium-fact-3", "rg-06-fact-3", "rg-08-fact-2"):
        assert base.node(fact)["basis"] == "memory"
