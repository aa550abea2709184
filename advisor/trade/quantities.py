"""Surface, mass and coating of common fasteners from published dimensions, and what coating a lot costs."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, pi, sqrt

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.trade.sizes import Thread
from advisor.trade.tables import Table

STEEL_G_MM3 = 7.85e-3
PROFILE = 1.704
"""Developed surface of a 60° thread over the cylinder of its pitch diameter (fits ISO 10684 Annex D within 0.1 %)."""
FLANGE_SLOPE = 0.364
"""Rise of the cone of a flange head over its width, 20° (the standards allow 15° to 30°)."""


class Body(NamedTuple):
    """Surface in mm² and volume in mm³ of a part or a piece of it."""

    surface_mm2: float
    volume_mm3: float

    def plus(self, *others: Body) -> Body:
        """This body and others together."""
        return Body(
            self.surface_mm2 + sum(o.surface_mm2 for o in others), self.volume_mm3 + sum(o.volume_mm3 for o in others)
        )


class Shape(NamedTuple):
    """How a part is built: kind of head or body, table of dimensions, thread rule, and whether it has a length."""

    head: str
    table: str
    threaded: str
    has_length: bool


PARTS: Mapping[str, Shape] = {
    "hex-bolt": Shape("hex", "part-hex-bolt", "hex", True),
    "flange-bolt": Shape("flange", "part-flange-bolt", "hex", True),
    "carriage-bolt": Shape("dome", "part-carriage-bolt", "hex", True),
    "socket-cap-screw": Shape("socket", "part-socket-cap-screw", "socket", True),
    "machine-screw": Shape("pan", "part-machine-screw", "machine", True),
    "set-screw": Shape("point", "part-set-screw", "whole", True),
    "stud": Shape("rod", "", "whole", True),
    "threaded-rod": Shape("rod", "", "whole", True),
    "nut": Shape("nut", "part-nut", "", False),
    "washer": Shape("washer", "part-washer", "", False),
}
"""The parts whose dimensions are known."""


def threaded(thread: Thread, length_mm: float) -> Body:
    """A threaded length: surface 1.704 pi d2 a mm, volume of the pitch cylinder. ISO 10684 Annex D, ISO 4042 Annex G.

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> round(threaded(m10, 1).surface_mm2, 1)
    48.3
    """
    d2 = thread.pitch_diameter_mm
    return Body(PROFILE * pi * d2 * length_mm, pi / 4 * d2**2 * length_mm)


def shank(diameter_mm: float, length_mm: float) -> Body:
    """A plain shank: surface pi d a mm.

    >>> round(shank(16, 1).surface_mm2, 2)
    50.27
    """
    return Body(pi * diameter_mm * length_mm, pi / 4 * diameter_mm**2 * length_mm)


def hexagon_head(across_mm: float, height_mm: float) -> Body:
    """A hexagon head with the end face of the bolt: sqrt(3) s (s + 2 k); volume sqrt(3)/2 s² k.

    >>> round(hexagon_head(24, 10).surface_mm2)
    1829
    """
    s, k = across_mm, height_mm
    return Body(sqrt(3) * s * (s + 2 * k), sqrt(3) / 2 * s * s * k)


def socket_head(across_mm: float, height_mm: float, socket_mm: float, depth_mm: float) -> Body:
    """A cylindrical head with hexagon socket, with the end face of the screw; walls of the socket are surface too."""
    disc = pi / 4 * across_mm**2
    return Body(
        2 * disc + pi * across_mm * height_mm + 2 * sqrt(3) * socket_mm * depth_mm,
        disc * height_mm - sqrt(3) / 2 * socket_mm**2 * depth_mm,
    )


def flange_head(across_mm: float, height_mm: float, flange_mm: float, edge_mm: float) -> Body:
    """A hexagon head on a flange with a cone of 20°, with the end face of the bolt."""
    cone = max(0.0, (flange_mm - across_mm) / 2 * FLANGE_SLOPE)
    rest = max(0.0, height_mm - edge_mm - cone)
    r1, r2 = flange_mm / 2, across_mm / 2
    edge = Body(pi / 2 * flange_mm**2 + pi * flange_mm * edge_mm, pi / 4 * flange_mm**2 * edge_mm)
    frustum = Body(0.0, pi * cone / 3 * (r1 * r1 + r1 * r2 + r2 * r2))
    prism = Body(2 * sqrt(3) * across_mm * rest, sqrt(3) / 2 * across_mm**2 * rest)
    return edge.plus(frustum, prism)


def dome_head(across_mm: float, height_mm: float, neck_width_mm: float, neck_mm: float) -> Body:
    """A dome head (segment of a ball) with a square neck, with the end face of the bolt."""
    a = across_mm / 2
    cap = Body(pi * (a * a + height_mm**2) + pi * a * a, pi * height_mm / 6 * (3 * a * a + height_mm**2))
    return cap.plus(Body(4 * neck_width_mm * neck_mm, neck_width_mm**2 * neck_mm))


def pan_head(across_mm: float, height_mm: float) -> Body:
    """A pan head, taken as a cylinder, with the end face of the screw."""
    disc = pi / 4 * across_mm**2
    return Body(2 * disc + pi * across_mm * height_mm, disc * height_mm)


def thread_length_mm(rule: str, thread: Thread, length_mm: float) -> float:
    """Threaded length in mm of a bolt of a length under the head.

    hex: whole up to 4 d, rounded up to the next 5 mm of the length series (ISO 4017); above that ISO 4014: 2 d + 6
    up to 125 mm, 2 d + 12 up to 200 mm, 2 d + 25; inch 2 D + 1/4 in, above 6 in 2 D + 1/2 in (ASME B18.2.1).
    socket: 2 d + 12 (ISO 4762), whole when the rest is below 1.2 d. machine: 25 mm up to M3, 38 mm above. whole: all.

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> [thread_length_mm(r, m10, l) for r, l in (("hex", 40), ("hex", 80), ("socket", 60), ("whole", 1000))]
    [40, 26, 32, 1000]
    """
    d = thread.diameter_mm
    if rule == "whole" or (rule == "hex" and length_mm <= ceil(4 * d / 5 - 1e-9) * 5):
        return length_mm
    if rule == "machine":
        b = 25.0 if d <= 3 else 38.0
    elif rule == "socket":
        b = 2 * d + 12
        if length_mm - b < 1.2 * d:
            b = length_mm
    elif thread.system == "inch":
        b = 2 * d + (6.35 if length_mm <= 152.4 else 12.7)
    else:
        b = 2 * d + (6 if length_mm <= 125 else 12 if length_mm <= 200 else 25)
    return min(b, length_mm)


def dimensions(table: Table, thread: Thread, part: str) -> Mapping[str, float]:
    """The dimensions of a part at the diameter of a thread; UsageError names the nearest sizes of the table.

    >>> t = Table("part-nut", ("size", "diameter_mm", "across_mm"), (("M10", 10.0, 16.0),))
    >>> dimensions(t, Thread("M10x1", "metric", "fine", 10, 1), "nut")["across_mm"]
    16.0
    """
    rows = [{k: float(v) for k, v in r.items() if isinstance(v, (int, float))} for r in table.records()]
    for r in rows:
        if abs(r["diameter_mm"] - thread.diameter_mm) < 0.01:
            return r
    sizes = table.column("size")
    near = sorted(range(len(rows)), key=lambda i: abs(rows[i]["diameter_mm"] - thread.diameter_mm))[:2]
    names = ", ".join(str(sizes[i]) for i in sorted(near))
    raise UsageError(
        f"no dimensions are known for a {part} of {thread.size}; the table goes from {sizes[0]} to {sizes[-1]}, "
        f"nearest: {names}"
    )


def part_body(shape: Shape, thread: Thread, size: Mapping[str, float], length_mm: float, threaded_mm: float) -> Body:
    """Surface and volume of a part from its dimensions, its length under the head and its threaded length.

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> body = part_body(PARTS["hex-bolt"], m10, {"across_mm": 16, "height_mm": 6.4}, 40, 40)
    >>> round(body.surface_mm2), round(mass_g(body), 1)
    (2731, 31.2)
    """
    d, d2 = thread.diameter_mm, thread.pitch_diameter_mm
    if shape.head == "nut":
        s, m = size["across_mm"], size["height_mm"]
        bore = threaded(thread, m)
        faces = 2 * (sqrt(3) / 2 * s * s - pi / 4 * d * d) + 2 * sqrt(3) * s * m
        return Body(faces + bore.surface_mm2, sqrt(3) / 2 * s * s * m - bore.volume_mm3)
    if shape.head == "washer":
        outer, h, hole = size["across_mm"], size["height_mm"], size["hole_mm"]
        ring = pi / 4 * (outer**2 - hole**2)
        return Body(2 * ring + pi * (outer + hole) * h, ring * h)
    neck = size.get("neck_mm", 0.0)
    plain = max(0.0, length_mm - threaded_mm - neck)
    body = threaded(thread, min(threaded_mm, length_mm - neck)).plus(shank(d, plain))
    if shape.head == "rod":
        return body.plus(Body(pi / 2 * d2**2, 0.0))
    if shape.head == "point":
        walls = 2 * sqrt(3) * size["socket_mm"] * size["socket_depth_mm"]
        hollow = sqrt(3) / 2 * size["socket_mm"] ** 2 * size["socket_depth_mm"]
        return body.plus(Body(pi / 2 * d2**2 + walls, -hollow))
    s, k = size["across_mm"], size["height_mm"]
    heads = {
        "hex": lambda: hexagon_head(s, k),
        "socket": lambda: socket_head(s, k, size["socket_mm"], size["socket_depth_mm"]),
        "flange": lambda: flange_head(s, k, size["flange_mm"], size["flange_edge_mm"]),
        "dome": lambda: dome_head(s, k, d, neck),
        "pan": lambda: pan_head(s, k),
    }
    return body.plus(heads[shape.head]())


def mass_g(body: Body, density_g_mm3: float = STEEL_G_MM3) -> float:
    """Mass in g of a body, steel of 7.85 g/cm³ without another density.

    >>> round(mass_g(Body(0, 1000)), 2)
    7.85
    """
    return body.volume_mm3 * density_g_mm3


def coating_g(surface_mm2: float, thickness_um: float, density_g_cm3: float) -> float:
    """Mass in g of a coat over a surface: A t rho. 1 µm of zinc over 1 m² is 7.14 g.

    >>> round(coating_g(2731, 8, 7.14), 3), round(coating_g(1e6, 1, 7.14), 2)
    (0.156, 7.14)
    """
    return surface_mm2 * thickness_um * density_g_cm3 * 1e-6


def surface_dm2_per_kg(surface_mm2: float, mass: float) -> float:
    """Surface of a kilogram of parts in dm², from the surface in mm² and the mass in g of one.

    >>> round(surface_dm2_per_kg(2731, 31.2), 2)
    8.75
    """
    return surface_mm2 / mass / 10


def lot_price(rate_per_kg: float, lot_kg: float, least: float, fees: float = 0.0) -> float:
    """Price of coating a lot: the greater of the least charge and rate times mass, plus fees (baking, tests).

    >>> lot_price(1.5, 6.25, 95), lot_price(1.5, 6.25, 95, 30)
    (95.0, 125)
    """
    return max(least, rate_per_kg * lot_kg) + fees


def relative_lot_cost(factor: float, lot_kg: float, least_lot_kg: float) -> float:
    """Cost per kilogram of coating a lot, against zinc plate of 8 µm in full lots (= 1).

    The factor of the finish, times least lot over lot when the lot is below the least lot.

    >>> relative_lot_cost(1, 6.25, 50), relative_lot_cost(3, 500, 100)
    (8.0, 3)
    """
    return factor * max(1.0, least_lot_kg / lot_kg) if lot_kg < least_lot_kg else factor


def annual_cost(price: float, renewal: float, years: float) -> float:
    """Cost of a year of protection: (price + cost of fitting anew) / life in years.

    >>> annual_cost(1, 10, 2), annual_cost(5, 10, 20)
    (5.5, 0.75)
    """
    if years <= 0:
        raise UsageError(f"a life of {years:g} years is not usable; give more than 0")
    return (price + renewal) / years
