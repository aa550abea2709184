"""Two metals in contact: difference of potential, allowed difference, which one suffers, and by how much faster."""

from __future__ import annotations

from advisor.errors import UsageError
from advisor.records import NamedTuple

FAR_ABOVE = 3.0
"""So many times the allowance, outdoors or wet, is refused whatever the areas."""

HARMLESS_AREA = 1.0
"""A nobler area above this share of the less noble one, outdoors or wet, turns caution into refusal."""


class Couple(NamedTuple):
    """The voltage rule for two metals. `anode` is 0 for the first metal, 1 for the second, None when they are alike."""

    difference_v: float
    allowed_v: float
    verdict: str
    anode: int | None


def judge_by_index(
    index_v: tuple[float, float], allowed_v: float, outdoors_or_wet: bool, area_ratio: float | None = None
) -> Couple:
    """The verdict of the voltage rule on two anodic indices in V (higher is less noble).

    `compatible` up to the allowance; above it `caution`, or `incompatible` when the difference is more than three
    times the allowance, or when the nobler area exceeds the less noble one (`area_ratio` = nobler / less noble),
    outdoors or wet. Source: anodic index and permitted differences of 0.15, 0.25 and 0.50 V (a design convention);
    the area rule is trade practice after MIL-STD-1250A, 5.6. Raises UsageError when the area ratio is not above 0.

    >>> judge_by_index((0.50, 0.90), 0.15, True)
    Couple(difference_v=0.4, allowed_v=0.15, verdict='caution', anode=1)
    >>> judge_by_index((1.25, 0.50), 0.15, True).verdict, judge_by_index((0.50, 0.90), 0.50, False).verdict
    ('incompatible', 'compatible')
    """
    first, second = index_v
    # Rounded: 0.90 - 0.50 must not come out as 0.40000000000000002 and fail a comparison at the limit.
    difference = round(abs(first - second), 3)
    anode = None if difference == 0 else (0 if first > second else 1)
    if area_ratio is not None:
        area_factor(area_ratio)
    if difference <= allowed_v:
        return Couple(difference, allowed_v, "compatible", anode)
    far = difference > round(FAR_ABOVE * allowed_v, 3)
    small_anode = area_ratio is not None and area_ratio > HARMLESS_AREA
    refused = outdoors_or_wet and (far or small_anode)
    return Couple(difference, allowed_v, "incompatible" if refused else "caution", anode)


def judge_by_potential(
    potential_v: tuple[float, float], allowed_v: float, outdoors_or_wet: bool, area_ratio: float | None = None
) -> Couple:
    """The same rule on potentials in sea water, V against one reference electrode (lower is less noble).

    For materials without an anodic index, such as carbon fibre. Source: sea-water series of the US Naval Research
    Laboratory. Raises UsageError as judge_by_index.

    >>> judge_by_potential((0.25, -1.03), 0.15, True)
    Couple(difference_v=1.28, allowed_v=0.15, verdict='incompatible', anode=1)
    >>> judge_by_potential((-0.10, 0.25), 0.15, True)
    Couple(difference_v=0.35, allowed_v=0.15, verdict='caution', anode=0)
    """
    return judge_by_index((-potential_v[0], -potential_v[1]), allowed_v, outdoors_or_wet, area_ratio)


def area_factor(area_ratio: float) -> float:
    """How many times faster the less noble metal is eaten: 1 + area of the nobler / area of the less noble.

    Source: catchment principle of the textbooks (oxygen-limited cathode), recalled.
    Raises UsageError unless the ratio is above 0.

    >>> area_factor(10), round(area_factor(0.1), 3)
    (11.0, 1.1)
    """
    if not area_ratio > 0:
        raise UsageError(
            f"an area ratio of {area_ratio:g} makes no sense; give the area of the nobler metal divided by that of the "
            "less noble one, a number above 0"
        )
    return 1.0 + area_ratio


def penetration_um_a(current_ua_cm2: float, equivalent_weight_g: float, density_g_cm3: float) -> float:
    """Loss in µm/a of a corrosion current in µA/cm²: 3.27·i·EW/ρ.

    Source: ASTM G102 (rate = 0.00327·i·EW/ρ in mm/a). Raises UsageError unless the density is above 0.

    >>> round(penetration_um_a(1, 32.69, 7.14), 2), round(penetration_um_a(1, 27.92, 7.87), 2)
    (14.97, 11.6)
    """
    if not density_g_cm3 > 0:
        raise UsageError(f"a density of {density_g_cm3:g} g/cm³ makes no sense; give a number above 0")
    return 3.27 * current_ua_cm2 * equivalent_weight_g / density_g_cm3
