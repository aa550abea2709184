"""What `specify` writes, `decode` reads back; order lines hold what a purchase order needs."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.calculations import decode, specify
from advisor.errors import UsageError
from advisor.graph.base import Base


def _reading(base: Base, text: str) -> dict[str, Any]:
    results: Any = decode.run(base, {"callout": text}).results
    return dict(results["readings"][0])


def _order(base: Base, finish: str, **given: str) -> dict[str, Any]:
    return dict(specify.run(base, {"finish": finish, **given}).results)


def _text(base: Base, finish: str, **given: str) -> str:
    return " ".join(_order(base, finish, **given)["lines"])


def test_every_designation_of_every_living_finish_is_read_back(base: Base) -> None:
    wrong = []
    count = 0
    for i, finish in base.kind("finish").items():
        if finish.get("legacy"):
            continue
        figure = base.figure(i, "thickness_um")
        for d in _order(base, i)["designations"]:
            count += 1
            r = _reading(base, d["designation"])
            um = r["thickness_um"]
            low, high = (min(um), max(um)) if isinstance(um, list) else (um, um)
            same_coat = r["family"] == finish["family"] and i in (r["finish"], *r["also"])
            same_um = um is None or figure is None or figure.low is None or figure.high is None
            if not same_um:
                assert figure is not None
                assert figure.low is not None
                assert figure.high is not None
                same_um = low <= figure.high * 1.02 and figure.low <= high * 1.02
            if not (same_coat and same_um):
                wrong.append((i, d["designation"], r["family"], um))
    assert wrong == []
    assert count > 300


def test_every_living_finish_can_be_ordered(base: Base) -> None:
    for i, finish in base.kind("finish").items():
        order = _order(base, i)
        assert order["lines"]
        if not finish.get("legacy"):
            assert order["designations"], i


def test_chromium_free_finishes_are_read_back_as_chromium_free(base: Base) -> None:
    for i, finish in base.kind("finish").items():
        if finish["family"] in ("zinc-electroplate", "zinc-nickel", "zinc-iron") and not finish.get("legacy"):
            for d in _order(base, i)["designations"]:
                assert _reading(base, d["designation"])["hexavalent_chromium"] != "yes", d["designation"]


def test_clear_zinc_is_written_in_each_system(base: Base) -> None:
    written = {d["designation"] for d in _order(base, "zinc-8-clear")["designations"]}
    assert {"ISO 4042/Zn8/An/T0", "ASTM F1941/F1941M Fe/Zn 8AN"} <= written


def test_withdrawn_documents_are_not_written_for_a_living_finish(base: Base) -> None:
    for i, finish in base.kind("finish").items():
        if not finish.get("legacy"):
            assert all(d["status"] == "current" for d in _order(base, i)["designations"])


def test_plated_10_9_gets_bake_and_hydrogen_tests(base: Base) -> None:
    text = _text(base, "zinc-8-clear", strength="10.9", size="M10")
    assert "Bake" in text
    assert "F1940" in text


def test_plated_8_8_needs_no_bake(base: Base) -> None:
    assert "none called for" in _text(base, "zinc-8-clear", strength="8.8", size="M10")


def test_flake_on_12_9_is_ordered_with_blast_cleaning(base: Base) -> None:
    assert "no acid pickle" in _text(base, "zinc-flake-720-lubricated", strength="12.9", size="M10")


def test_hot_dip_order_names_the_oversize_nut_and_no_salt_spray(base: Base) -> None:
    text = _text(base, "hot-dip-galvanized", size="M16", strength="8.8")
    assert "6AZ" in text
    assert "No salt-spray hours" in text


def test_hot_dip_on_m6_is_called_too_small(base: Base) -> None:
    assert "M6 is below 8 mm" in _text(base, "hot-dip-galvanized", size="M6")


def test_friction_window_stands_in_the_order(base: Base) -> None:
    assert "0.09 to 0.14" in _text(base, "zinc-flake-720-lubricated", friction="0.09-0.14")


def test_hours_beyond_the_coat_are_refused_in_words(base: Base) -> None:
    found = specify.run(base, {"finish": "zinc-8-clear", "hours": "1000", "rust": "red"})
    assert "unrealistic-requirement" in found.cautions
    assert any("beyond this finish" in line for line in found.lines)


def test_hours_within_the_coat_are_ordered(base: Base) -> None:
    assert "480 h to red rust" in _text(base, "zinc-flake-720-lubricated", hours="480")


def test_chromium_free_declaration_is_ordered(base: Base) -> None:
    assert "ISO 3613" in _text(base, "zinc-8-clear")


def test_stainless_is_ordered_with_a_material_certificate(base: Base) -> None:
    assert "3.1" in _text(base, "stainless-a4-80")


def test_bare_order_says_what_is_still_to_be_decided(base: Base) -> None:
    still_open = " ".join(_order(base, "zinc-8-clear")["open"])
    for word in ("part", "size", "strength", "friction", "quantity"):
        assert word in still_open


def test_full_order_leaves_nothing_open(base: Base) -> None:
    given = {"part": "hex-bolt", "size": "M10", "length": "50", "strength": "8.8", "quantity": "500"}
    assert _order(base, "zinc-8-clear", friction="0.12-0.18", **given)["open"] == []


@pytest.mark.parametrize(
    ("option", "value"),
    [
        ("hours", "many"),
        ("hours", "-5"),
        ("rust", "blue"),
        ("friction", "slippery"),
        ("friction", "0.2-0.1"),
        ("friction", "0.9-1.2"),
        ("strength", "13.9"),
        ("size", "M7.3"),
        ("length", "0"),
        ("quantity", "x"),
    ],
)
def test_bad_input_is_refused(base: Base, option: str, value: str) -> None:
    with pytest.raises(UsageError):
        specify.run(base, {"finish": "zinc-8-clear", option: value})


def test_unknown_finish_names_the_nearest(base: Base) -> None:
    with pytest.raises(UsageError, match="zinc-flake"):
        specify.run(base, {"finish": "zinc-flke"})


def test_old_designations_of_the_base_are_read_to_the_right_coat(base: Base) -> None:
    wrong = []
    for i, finish in base.kind("finish").items():
        for d in finish.get("designations", ()):
            r = _reading(base, d["write"])
            if r["family"] != finish["family"]:
                wrong.append((i, d["write"], r["family"]))
            elif d.get("status") == "withdrawn" and r["status"] == "current":
                # DIN 50979 and ISO 19598 write the same letters: without the name the newer one comes first;
                # a mark with an old passivation document is read by its mark.
                assert d["standard"] in ("din-50979-2008", "qq-p-35c"), d
    assert wrong == []


def test_no_old_zinc_or_cadmium_code_with_hexavalent_chromium_is_read_as_free_of_it(base: Base) -> None:
    for i, finish in base.kind("finish").items():
        if finish["family"] in ("zinc-electroplate", "cadmium") and finish.get("hexavalent_chromium") == "yes":
            for d in finish.get("designations", ()):
                assert _reading(base, d["write"])["hexavalent_chromium"] != "no", (i, d["write"])


def test_class_12_9_in_electroplated_zinc_is_stopped_first(base: Base) -> None:
    lines = _order(base, "zinc-8-clear", strength="12.9", size="M10")["lines"]
    assert lines[0].startswith("Stop")
    assert "inc flake" in lines[0]


def test_a490_hot_dip_is_stopped_first(base: Base) -> None:
    assert _order(base, "hot-dip-f2329", strength="A490", size="3/4-10")["lines"][0].startswith("Stop")


def test_inch_part_gets_the_inch_document_first(base: Base) -> None:
    assert _order(base, "zinc-8-clear", size="3/8-16")["designations"][0]["standard"].startswith("astm")
    assert _order(base, "zinc-8-clear", size="M10")["designations"][0]["standard"].startswith("iso")
