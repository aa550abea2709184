"""Friction classes, nut factors, torque multipliers and scatter against figures typed in from the published tables."""

from __future__ import annotations

import pytest

from advisor.graph.base import Base
from advisor.trade.tables import Cell

# VDI 2230-1, friction classes at room temperature, in a fastener catalogue and on a one-page information sheet.
CLASSES: dict[str, tuple[float, float | None]] = {
    "A": (0.04, 0.10),
    "B": (0.08, 0.16),
    "C": (0.14, 0.24),
    "D": (0.20, 0.35),
    "E": (0.30, None),
}

# The same sheet: surface and the classes in which it stands without a lubricant of its own.
DRY = {
    "zinc, zinc-iron, zinc-nickel and zinc flake without lubricant": "C",
    "zinc and zinc-iron without lubricant": "D",
    "hot-dip galvanized without lubricant": "D",
    "zinc-iron and zinc-nickel without lubricant": "E",
    "austenitic stainless dry": "E",
    "light metals dry": "E",
}
LUBRICATED = {
    "hot-dip galvanized with solid lubricant or wax": "B",
    "organic coat with built-in lubricant": "B",
    "austenitic stainless with solid lubricant, wax or paste": "B",
    "austenitic stainless with wax or paste": "C",
    "austenitic stainless with oil": "D",
}

# Finish and the classes whose limits its first printed range of VDI 2230-1 runs through.
FINISH_CLASSES = {
    "black-oxide-oil": "BB",
    "phosphate-zinc-oil": "BB",
    "phosphate-manganese-oil": "BB",
    "phosphate-zinc-wax": "AA",
    "phosphate-manganese-dry-film": "AA",
    "plain-light-oil": "CC",
    "zinc-8-clear": "CD",
    "zinc-8-iridescent": "CD",
    "zinc-iron-8-black": "DD",
    "zinc-flake-base-480": "CC",
    "zinc-flake-720-ptfe": "AA",
    "hot-dip-iso-10684": "DD",
    "hot-dip-waxed-set": "BB",
    "stainless-a2-70-waxed": "CC",
    "stainless-a4-80-dry-film": "BB",
    "fluoropolymer-over-phosphate": "AA",
    "zinc-flake-480-lubricated": "BB",
    "stainless-a2-70": "EE",
    "aluminium-6061": "EE",
    "zinc-8-clear-lubricated": "BB",
}

# Distributor's list of K by finish.
K_RANGES = {
    "zinc-8-clear": (0.17, 0.35),
    "phosphate-zinc-oil": (0.15, 0.22),
    "zinc-flake-base-480": (0.16, 0.32),
    "cadmium-8-yellow": (0.15, 0.19),
    "stainless-a2-70": (0.30, 0.50),
    "stainless-a4-80": (0.30, 0.50),
}

# Metric-fastener merchant's page: torque multipliers on a table made for 0.14; nut down the side, bolt self, zinc,
# cadmium, phosphate.
MULTIPLIERS = {
    "self": (1.00, 1.00, 0.80, 0.90),
    "zinc": (1.15, 1.20, 1.35, 1.15),
    "cadmium": (0.85, 0.90, 1.20, 1.00),
    "phosphate-and-oil": (0.70, 0.65, 0.70, 0.75),
    "zinc-and-wax": (0.60, 0.55, 0.65, 0.55),
}

# VDI 2230 of 1986 and 2015 on trade pages: tightening factor, greatest over smallest preload.
TIGHTENING = {
    "torque-wrench": (1.6, 2.0),
    "torque-wrench-tested": (1.4, 1.6),
    "power-driver": (1.7, 2.5),
    "yield-controlled": (1.1, 1.27),
    "hydraulic-tensioner": (1.2, 1.6),
}
# NASA-STD-5020 (2012) and an engineering-course page: half width of the scatter.
SCATTER = {
    "torque-wrench-as-received": 0.35,
    "torque-wrench-lubricated": 0.25,
    "feel": 0.35,
    "turn-of-nut": 0.15,
    "yield-sensing": 0.08,
    "indicating-washer": 0.10,
}

# AISC 360-05, Table J3.1: least pretension in kips, A325 and A490; Table J3.1M in kN.
PRETENSION_KIPS = {
    "1/2": (12, 15), "5/8": (19, 24), "3/4": (28, 35), "7/8": (39, 49), "1": (51, 64), "1-1/8": (56, 80),
    "1-1/4": (71, 102), "1-3/8": (85, 121), "1-1/2": (103, 148),
}  # fmt: skip
PRETENSION_KN = {
    "M16": (91, 114), "M20": (142, 179), "M22": (176, 221), "M24": (205, 257), "M27": (267, 334), "M30": (326, 408),
    "M36": (475, 595),
}  # fmt: skip


def number(cell: Cell) -> float:
    return float(str(cell))


@pytest.mark.parametrize(("cls", "limits"), CLASSES.items())
def test_limits_of_the_friction_classes(base: Base, cls: str, limits: tuple[float, float | None]) -> None:
    row = {r["class"]: r for r in base.table("friction-classes").records()}[cls]
    assert (row["low"], row["high"]) == limits


@pytest.mark.parametrize(("surface", "cls"), [*DRY.items(), *LUBRICATED.items()])
def test_surfaces_of_the_friction_classes(base: Base, surface: str, cls: str) -> None:
    row = {r["class"]: r for r in base.table("friction-classes").records()}[cls]
    assert surface in str(row["surfaces"])


@pytest.mark.parametrize(("finish", "classes"), FINISH_CLASSES.items())
def test_ranges_called_published_are_the_classes_of_the_guideline(base: Base, finish: str, classes: str) -> None:
    """What cites the guideline runs from the bottom of one class to the top of a class, never beyond."""
    ranges = [
        (f.low, f.high)
        for f in base.figures(finish, "friction")
        if f.basis == "published" and base.node(f.cite)["source"].startswith("vdi-2230")
    ]
    low, high = CLASSES[classes[0]][0], CLASSES[classes[1]][1]
    assert (low, low if high is None else high) in ranges


def test_no_finish_cites_the_guideline_for_a_range_it_does_not_print(base: Base) -> None:
    lows = {low for low, _ in CLASSES.values()}
    highs = {high for _, high in CLASSES.values()}
    for finish in base.kind("finish"):
        for f in base.figures(finish, "friction"):
            if f.basis == "published" and base.node(f.cite)["source"].startswith("vdi-2230"):
                assert f.low in lows, (finish, f)
                assert f.high in highs or f.low == f.high == 0.30, (finish, f)


def test_dry_zinc_has_no_single_friction_value(base: Base) -> None:
    figure = base.figure("zinc-8-clear", "friction")
    assert figure is not None
    assert (figure.low, figure.high) == (0.14, 0.35)


# Metal-finishing guidebook 2012-13, Table 4: measured on M10x50 without post-dip.
@pytest.mark.parametrize(
    ("finish", "friction", "k"), [("zinc-8-clear", 0.27, 0.33), ("zinc-nickel-8-black", 0.34, 0.42)]
)
def test_measured_friction_of_passivated_plate(base: Base, finish: str, friction: float, k: float) -> None:
    assert friction in {f.low for f in base.figures(finish, "friction")}
    measured = [f.low for f in base.figures(finish, "k_factor") if "measured" in f.when]
    assert measured == [pytest.approx(k, abs=0.005)]


def test_nut_factor_follows_from_the_measured_torque_and_force(base: Base) -> None:
    # the same table: 120.3 and 150.9 N·m for 36.1 kN on M10
    for finish, torque_nm in (("zinc-8-clear", 120.3), ("zinc-nickel-8-black", 150.9)):
        measured = [f.low for f in base.figures(finish, "k_factor") if "measured" in f.when]
        assert measured == [pytest.approx(torque_nm / (36.1 * 10), abs=0.001)]


@pytest.mark.parametrize(("finish", "limits"), K_RANGES.items())
def test_nut_factors_of_the_distributor_list(base: Base, finish: str, limits: tuple[float, float]) -> None:
    assert limits in {(f.low, f.high) for f in base.figures(finish, "k_factor") if f.basis == "published"}


# Trade article: sealer only 0.22 ± 0.08, sealer with lubricant 0.12 ± 0.02, dry bright zinc over 0.4.
@pytest.mark.parametrize(
    ("fact", "value"),
    [
        ("plated-sealed-friction", [0.14, 0.30]),
        ("plated-lubricated-friction-articles", [0.10, 0.14]),
        ("dry-bright-zinc-friction", 0.4),
    ],
)
def test_friction_of_sealers(base: Base, fact: str, value: object) -> None:
    assert base.node(fact)["value"] == value


@pytest.mark.parametrize(("nut", "printed"), MULTIPLIERS.items())
def test_torque_multipliers_by_nut_and_bolt(base: Base, nut: str, printed: tuple[float, ...]) -> None:
    row = {r["nut"]: r for r in base.table("torque-multipliers").records()}[nut]
    assert tuple(row[c] for c in ("bolt_self", "bolt_zinc", "bolt_cadmium", "bolt_phosphate")) == printed


def test_like_on_like_soft_plate_is_worse_than_plate_on_one_side(base: Base) -> None:
    rows = {r["nut"]: r for r in base.table("torque-multipliers").records()}
    assert number(rows["cadmium"]["bolt_cadmium"]) > number(rows["self"]["bolt_cadmium"])
    assert number(rows["zinc"]["bolt_zinc"]) > number(rows["self"]["bolt_zinc"])


@pytest.mark.parametrize(("method", "limits"), TIGHTENING.items())
def test_tightening_factors(base: Base, method: str, limits: tuple[float, float]) -> None:
    row = {r["method"]: r for r in base.table("tightening-scatter").records()}[method]
    assert (row["alpha_low"], row["alpha_high"]) == limits


@pytest.mark.parametrize(("method", "half_width"), SCATTER.items())
def test_scatter_of_the_preload(base: Base, method: str, half_width: float) -> None:
    row = {r["method"]: r for r in base.table("tightening-scatter").records()}[method]
    assert row["scatter"] == half_width


def pretension(base: Base, size: str, column: str, *, edition_2005: bool = True) -> tuple[Cell, Cell]:
    rows = {(r["size"], r["grade"]): r[column] for r in base.table("pretension-structural").records()}
    older = rows.get((size, "a325-before-f3125"))
    return (older if edition_2005 and older is not None else rows[size, "a325"]), rows[size, "a490"]


@pytest.mark.parametrize(("size", "printed"), PRETENSION_KIPS.items())
def test_least_pretension_of_inch_structural_bolts(base: Base, size: str, printed: tuple[int, int]) -> None:
    assert pretension(base, size, "kips") == printed


@pytest.mark.parametrize(("size", "printed"), PRETENSION_KN.items())
def test_least_pretension_of_metric_structural_bolts(base: Base, size: str, printed: tuple[int, int]) -> None:
    assert pretension(base, size, "kn") == printed


def test_large_a325_bolts_carry_more_since_one_strength_holds_for_all_sizes(base: Base) -> None:
    """ASTM F3125 gives A325 120 ksi in every size, ASTM A325 gave 105 ksi above 1 in: 0.7 of the strength follows."""
    for size in ("1-1/8", "1-1/4", "1-3/8", "1-1/2"):
        now, before = (pretension(base, size, "kips", edition_2005=e)[0] for e in (False, True))
        assert number(now) / number(before) == pytest.approx(120 / 105, abs=0.01)
