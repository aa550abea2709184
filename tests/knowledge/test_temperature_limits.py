"""Temperatures that coatings and steels stand, against figures typed in from the published sources."""

from __future__ import annotations

import pytest

from advisor.graph.base import Base

# Finish, quantity, °C, source: German fastener catalogue (guide table, temperature column); SAE AMS 2417G; ASTM B695-04
# X2.1; MIL-DTL-16232G 6.1.1; galvanizers' design manual; ISO 3506-1:2020 scope; British stainless steel industry's
# article on service temperatures (duplex: 250 °C, the end of EN 10028-7).
PRINTED = [
    ("zinc-8-clear", "temperature_ok_c", 60, "fastener-catalogue-german"),
    ("zinc-8-clear-sealed", "temperature_ok_c", 60, "fastener-catalogue-german"),
    ("zinc-8-black-sealed", "temperature_ok_c", 60, "fastener-catalogue-german"),
    ("zinc-8-yellow-hexavalent", "temperature_ok_c", 60, "fastener-catalogue-german"),
    ("zinc-8-iridescent", "temperature_ok_c", 120, "fastener-catalogue-german"),
    ("zinc-8-iridescent-sealed", "temperature_ok_c", 120, "fastener-catalogue-german"),
    ("zinc-iron-8-black", "temperature_ok_c", 100, "fastener-catalogue-german"),
    ("zinc-nickel-8-clear", "temperature_ok_c", 180, "fastener-catalogue-german"),
    ("zinc-nickel-8-black", "temperature_ok_c", 180, "fastener-catalogue-german"),
    ("zinc-nickel-8-sealed", "temperature_ok_c", 121, "sae-ams-2417g-2004"),
    ("mechanical-zinc-50", "temperature_ok_c", 120, "astm-b695-2004"),
    ("phosphate-manganese-oil", "temperature_ok_c", 121, "mil-dtl-16232g"),
    ("hot-dip-iso-10684", "temperature_ok_c", 200, "galvanizers-manual"),
    ("hot-dip-iso-10684", "temperature_limit_c", 275, "galvanizers-manual"),
    ("cadmium-8-yellow", "temperature_limit_c", 188, "lme-column"),
    ("stainless-a2-70", "temperature_ok_c", 150, "iso-3506-1-2020"),
    ("stainless-a2-70", "temperature_ok_c", 300, "iso-3506-1-2020"),
    ("stainless-a4-80", "temperature_ok_c", 150, "iso-3506-1-2020"),
    ("stainless-d6-80", "temperature_ok_c", 250, "stainless-service-temperatures"),
    ("stainless-a4-80", "temperature_min_c", -20, "iso-3506-1-2020"),
    ("stainless-a4-80", "temperature_min_c", -60, "din-267-13"),
    ("stainless-a4-80", "temperature_min_c", -200, "din-267-13"),
]

# The same documents in the degrees they print: °F and the fact that holds it.
FAHRENHEIT = [
    ("zinc-nickel-plain-temperature", 500),  # AMS 2417G type 1
    ("zinc-nickel-chromated-temperature", 250),  # AMS 2417G type 2
    ("zinc-nickel-phosphated-177", 350),  # AMS 2417G type 3
    ("cadmium-zinc-mixed-149", 300),  # naval-style caution on mixed zinc and cadmium
    ("zinc-hard-steel-temperature", 400),  # the same caution
    ("zinc-lme-399", 750),  # trade-journal column on liquid-metal embrittlement
    ("silver-lock-nuts", 1400),  # FAA AC 43.13-1B, page 7-12
]

# NASA RP-1228: cadmium 450 °F, melts 600 °F; metal-finishing guidebook: chromate 55 to 66 °C, trivalent film 200 °C.
FACTS = {
    "hexavalent-film-heat": [55, 66],
    "trivalent-film-heat": 200,
    "zinc-thin-film-temperature": 60,
    "zinc-thick-film-temperature": 120,
    "hot-dip-200c": 200,
    "zinc-hot-water": 55,
    "stainless-scc-temperature": 50,
}


@pytest.mark.parametrize(("finish", "quantity", "celsius", "source"), PRINTED)
def test_temperature_as_printed(base: Base, finish: str, quantity: str, celsius: int, source: str) -> None:
    found = {(f.low, f.high) for f in base.figures(finish, quantity) if base.node(f.cite)["source"] == source}
    assert (celsius, celsius) in found


@pytest.mark.parametrize(("fact", "fahrenheit"), FAHRENHEIT)
def test_fahrenheit_of_the_source(base: Base, fact: str, fahrenheit: int) -> None:
    assert base.node(fact)["value"] == pytest.approx((fahrenheit - 32) / 1.8, abs=1)


@pytest.mark.parametrize(("fact", "value"), FACTS.items())
def test_single_temperatures(base: Base, fact: str, value: object) -> None:
    assert base.node(fact)["value"] == value


def test_cadmium_stands_450_f_and_melts_at_600_f(base: Base) -> None:
    coat = [f.low for f in base.figures("cadmium-8-yellow", "temperature_limit_c") if "coat" in f.when]
    assert coat == [pytest.approx((450 - 32) / 1.8, abs=1)]
    assert base.node("cadmium-melts")["value"][0] == pytest.approx((600 - 32) / 1.8, abs=1)


def test_the_limit_used_for_cadmium_keeps_below_its_melting_point(base: Base) -> None:
    melts = base.node("cadmium-melts")["value"][0]
    for finish in base.kind("finish"):
        if base.finish(finish)["family"] == "cadmium":
            for quantity in ("temperature_ok_c", "temperature_limit_c"):
                assert all(f.high is None or f.high < melts for f in base.figures(finish, quantity))


def test_a_film_with_hexavalent_chromium_is_never_offered_above_66_degrees(base: Base) -> None:
    """Chromates dry out and fail from 55 to 66 °C on (metal-finishing guidebook)."""
    for finish, node in base.kind("finish").items():
        if node["family"] == "zinc-electroplate" and node.get("hexavalent_chromium") == "yes":
            figure = base.figure(finish, "temperature_ok_c")
            assert figure is not None
            assert figure.high is not None
            assert figure.high <= 66, finish


@pytest.mark.parametrize("finish", ["stainless-a2-70", "stainless-a4-70"])
def test_austenitic_stainless_ends_below_the_scaling_limit_of_304_and_316(base: Base, finish: str) -> None:
    """1700 °F (927 °C) in air for types 304 and 316: North American stainless steel industry, hot properties."""
    limit = max(f.high for f in base.figures(finish, "temperature_limit_c") if f.high is not None)
    assert 700 < limit < (1700 - 32) / 1.8
