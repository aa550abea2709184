"""How a coating changes a thread: limits after coating, greatest thickness, verdict, and what to order instead."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.trade.sizes import Thread
from advisor.trade.tables import Table
from advisor.trade.thread_limits import ClassLimits, Limits, load_tables
from advisor.trade.threads import thread_limits

__all__ = [
    "FitRemedy",
    "coated",
    "divisor",
    "greatest_thickness_um",
    "judge",
    "load_tables",
    "mid_tolerance_um",
    "nominal_below",
    "oversize_nut",
    "room_um",
    "wider_classes",
]

PITCH_FACTOR = 4
"""Pitch diameter change per thickness on a 60° thread: 2 / sin 30° = 4; crest and root diameters change by 2."""


class FitRemedy(NamedTuple):
    """A class to order instead, and the greatest thickness it takes in µm."""

    name: str
    greatest_um: float


def coated(limits: Limits, external: bool, thickness_um: float) -> Limits:
    """Limits after a uniform coat: pitch diameter + 4 t, major and minor diameter + 2 t; nuts the other way, all in mm.

    Flanks at 30° to the plane across the axis move by t / sin 30° each side; crest and root lie along the axis.

    >>> coated(Limits(9.968, 9.732, 8.994, 8.862, 8.344, None), True, 8).pitch_max_mm
    9.026
    """
    t = thickness_um / 1000 * (1 if external else -1)

    def moved(value: float | None, factor: int) -> float | None:
        return None if value is None else round(value + factor * t, 5)

    return Limits(
        moved(limits.major_max_mm, 2),
        moved(limits.major_min_mm, 2),
        round(limits.pitch_max_mm + 4 * t, 5),
        round(limits.pitch_min_mm + 4 * t, 5),
        round(limits.minor_max_mm + 2 * t, 5),
        moved(limits.minor_min_mm, 2),
    )


def divisor(thread: Thread, length_mm: float | None) -> int:
    """Share of the allowance that a batch-mean thickness may take: 4 up to 5 d long, 5 up to 10 d, 6 up to 15 d.

    ISO 4042:1999, Table 2: long parts get more metal at the ends. Without a length 4, the thickness at the thread.
    Raises UsageError for no length or above 15 d, where the document gives no figure.

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> [divisor(m10, l) for l in (None, 50, 80, 120)]
    [4, 4, 5, 6]
    """
    if length_mm is None:
        return PITCH_FACTOR
    ratio = length_mm / thread.diameter_mm
    if not 0 < ratio <= 15 + 1e-9:
        raise UsageError(
            f"a length of {length_mm:g} mm is outside the rule for long parts, which covers {thread.size} up to 15 d = "
            f"{15 * thread.diameter_mm:g} mm; leave the length out for the thickness at the thread itself"
        )
    return 4 if ratio <= 5 + 1e-9 else 5 if ratio <= 10 + 1e-9 else 6


def greatest_thickness_um(
    tables: Mapping[str, Table], thread: Thread, thread_class: str | None = None, length_mm: float | None = None
) -> float:
    """Greatest coating thickness in µm that the allowance of the class takes, thread at its maximum-metal limit.

    Allowance / 4 at the thread; with a length, metric bolts by the long-part rule / 4, 5 or 6 (batch mean).
    The mate, or the GO gauge, is at basic size and bare. 0 for h, H, 3A and the B classes.
    Sources: ISO 4042:1999 Table 2, ASTM F1941-00 X3, ASME B1.13M 8.2.
    Raises UsageError for an unknown class or a length above 15 d.

    >>> t = {"iso-965-deviations": Table("a", ("pitch_mm", "g_um"), ((1.5, 32.0),)),
    ...      "iso-965-crest-tolerances-external": Table("c", ("pitch_mm", "grade_6"), ((1.5, 236.0),)),
    ...      "iso-965-pitch-tolerances-external":
    ...          Table("p", ("over_mm", "to_mm", "pitch_mm", "grade_6"), ((5.6, 11.2, 1.5, 132.0),))}
    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> greatest_thickness_um(t, m10), greatest_thickness_um(t, m10, "6g", 80)
    (8.0, 6.4)
    """
    c = thread_limits(tables, thread, thread_class)
    return c.allowance_um / divisor_for(c, length_mm)


def divisor_for(c: ClassLimits, length_mm: float | None) -> int:
    """The divisor for a class: the long-part rule counts for metric bolts only."""
    ruled = c.external and c.thread.system == "metric"
    return divisor(c.thread, length_mm) if ruled else PITCH_FACTOR


def mid_tolerance_um(c: ClassLimits) -> float:
    """Thickness in µm at which a thread made at the middle of its pitch tolerance still passes the basic GO gauge.

    (allowance + half the tolerance) / 4. M10 6g: (32 + 66) / 4 = 24.5.

    >>> mid_tolerance_um(ClassLimits(Thread("M10", "metric", "coarse", 10, 1.5), "6g", True, 32, 132,
    ...                              Limits(None, None, 0, 0, 0, None), ()))
    24.5
    """
    return (c.allowance_um + c.pitch_tolerance_um / 2) / PITCH_FACTOR


def judge(c: ClassLimits, thickness_um: float, greatest_um: float) -> str:
    """fits, tight or does-not-fit: not above the greatest thickness; above it, but at mid-tolerance it passes; neither.

    >>> c = ClassLimits(Thread("M10", "metric", "coarse", 10, 1.5), "6g", True, 32, 132,
    ...                 Limits(None, None, 0, 0, 0, None), ())
    >>> [judge(c, t, 8) for t in (8, 12, 50)]
    ['fits', 'tight', 'does-not-fit']
    """
    if thickness_um <= greatest_um + 1e-9:
        return "fits"
    return "tight" if thickness_um <= mid_tolerance_um(c) + 1e-9 else "does-not-fit"


def nominal_below(nominal: Table, greatest_um: float) -> float | None:
    """The next nominal plating thickness not above a greatest thickness, in µm; None below the smallest (3 µm).

    >>> n = Table("nominal-thicknesses", ("nominal_um",), ((3.0,), (5.0,), (8.0,)))
    >>> nominal_below(n, 7), nominal_below(n, 2.5)
    (5.0, None)
    """
    fitting = [float(str(x)) for x in nominal.column("nominal_um") if float(str(x)) <= greatest_um + 1e-9]
    return max(fitting, default=None)


def wider_classes(
    tables: Mapping[str, Table], c: ClassLimits, thickness_um: float, length_mm: float | None
) -> tuple[FitRemedy, ...]:
    """Classes of the same grades with more allowance that take the thickness, the tightest first.

    Metric bolts: g, f, e (az apart, it is for hot-dip zinc). Metric nuts: G. Inch bolts: 2A for 3A.
    """
    if c.thread.system == "inch":
        names: tuple[str, ...] = ("2A",) if c.external else ()
    else:
        grades = c.name[0] if c.name[0] in "4568" else "6"
        names = tuple(f"{grades if p != 'G' else '6'}{p}" for p in (("g", "f", "e") if c.external else ("G",)))
    out = []
    for name in names:
        try:
            other = thread_limits(tables, c.thread, name if c.thread.system == "inch" else _whole(name))
        except UsageError:
            continue
        greatest = other.allowance_um / divisor_for(other, length_mm)
        if other.allowance_um > c.allowance_um and greatest >= thickness_um - 1e-9:
            out.append(FitRemedy(other.name, greatest))
    return tuple(out)


def _whole(name: str) -> str:
    # closer pitch grades go with grade 6 of the major diameter, as the trade orders them (4g6g, 5g6g)
    return f"{name}6{name[1:]}" if name[0] in "45" else name


def room_um(bolt: ClassLimits, nut: ClassLimits) -> float:
    """Room on the flanks for both coats together in µm: (allowance of bolt + of nut) / 4, both at maximum metal.

    Raises UsageError for an oversize nut (6AZ, 6AX) on an undersize bolt (6az): the threads strip (ISO 965-4, -5).

    >>> b = ClassLimits(Thread("M10", "metric", "coarse", 10, 1.5), "6g", True, 32, 132,
    ...                 Limits(None, None, 0, 0, 0, None), ())
    >>> room_um(b, b._replace(name="6AZ", external=False, allowance_um=330))
    90.5
    """
    if "az" in bolt.name and ("AZ" in nut.name or "AX" in nut.name):
        raise UsageError(
            f"an undersize bolt ({bolt.name}) must never take an oversize nut ({nut.name}): the threads strip; "
            "pair 6az with 6H, or 6g with 6AZ"
        )
    return (bolt.allowance_um + nut.allowance_um) / PITCH_FACTOR


def oversize_nut(tables: Mapping[str, Table], overtap: Table, bolt: ClassLimits) -> tuple[tuple[str, float], ...]:
    """Oversize nuts for a galvanized bolt: (what to order, room on the flanks in µm with this bolt), widest last.

    Metric: 6AZ and 6AX (ISO 965-5), from M8, coarse. Inch: the overtap of ASTM A563 for the size. Empty where none is
    tabulated.

    >>> b = ClassLimits(Thread("1/2-13", "inch", "unc", 12.7, 1.9538), "2A", True, 38.1, 100,
    ...                 Limits(None, None, 0, 0, 0, None), ())
    >>> oversize_nut({}, Table("o", ("size", "amount_in"), (("1/2-13", 0.018),)), b)
    (('2B + 0.018 in', 123.825),)
    """
    if "az" in bolt.name:
        return ()
    if bolt.thread.system == "inch":
        for r in overtap.records():
            if r["size"] == bolt.thread.size:
                amount = float(str(r["amount_in"]))
                return ((f"2B + {amount:.3f} in", round((bolt.allowance_um + amount * 25400) / PITCH_FACTOR, 3)),)
        return ()
    out = []
    for name in ("6AZ", "6AX"):
        try:
            out.append((name, room_um(bolt, thread_limits(tables, bolt.thread, name))))
        except UsageError:
            return ()
    return tuple(sorted(out, key=lambda o: o[1]))
