"""Torque, preload and friction of a joint: short form with K, long form with two coefficients, combined stress."""

from __future__ import annotations

from math import atan, cos, pi, radians, sqrt, tan

from advisor.errors import UsageError
from advisor.trade.sizes import Thread

FLANK_HALF_ANGLE = radians(30)
PLASTIC_TORSION = 1.5
"""Torsion taken as fully plastic: the machine-bolt guideline VDI 2230 from its 2001 edition on."""
ELASTIC_TORSION = 2.0
"""Elastic outer-fibre torsion, 16 M / (pi d³): VDI 2230 of 1986."""


def torque_from_k(k: float, diameter_mm: float, preload_kn: float) -> float:
    """Torque in N·m by the short form T = K D F (nominal diameter in mm, preload in kN).

    >>> round(torque_from_k(0.20, 12.7, 40.24), 1)  # 1/2-13 grade 5 at 75 % of proof: 75.4 lbf·ft
    102.2
    """
    return k * diameter_mm * preload_kn


def preload_from_k(k: float, diameter_mm: float, torque_nm: float) -> float:
    """Preload in kN by F = T / (K D).

    >>> round(preload_from_k(0.12, 12, 138.5), 1)
    96.2
    """
    return torque_nm / (k * diameter_mm)


def mean_bearing_diameter(face_mm: float, hole_mm: float) -> float:
    """Mean diameter of the bearing face in mm, (Do + dh)/2 (ISO 16047, VDI 2230).

    >>> round(mean_bearing_diameter(14.63, 11), 3)
    12.815
    """
    if not 0 < hole_mm < face_mm:
        raise UsageError(f"the bearing face {face_mm:g} mm must be wider than the hole {hole_mm:g} mm")
    return (face_mm + hole_mm) / 2


def uniform_pressure_diameter(face_mm: float, hole_mm: float) -> float:
    """Bearing diameter in mm for uniform pressure, 2/3 (Do³ - dh³)/(Do² - dh²) (JIS B 1083, recalled).

    >>> round(uniform_pressure_diameter(14.63, 11), 2)
    12.9
    """
    return 2 / 3 * (face_mm**3 - hole_mm**3) / (face_mm**2 - hole_mm**2)


def torque_parts(thread: Thread, mu_thread: float, mu_head: float, bearing_mm: float) -> tuple[float, float, float]:
    """Torque over preload in mm, split into pitch, thread friction and bearing friction (long form, ISO 16047).

    T/F = P/(2 pi) + mu_thread d2/(2 cos 30°) + mu_head Db/2, in mm (N·m per kN).

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> [round(x, 3) for x in torque_parts(m10, 0.10, 0.10, 12.815)]
    [0.239, 0.521, 0.641]
    """
    _friction(mu_thread)
    _friction(mu_head)
    pitch = thread.pitch_mm / (2 * pi)
    flank = mu_thread * thread.pitch_diameter_mm / (2 * cos(FLANK_HALF_ANGLE))
    return (pitch, flank, mu_head * bearing_mm / 2)


def tightening_torque(thread: Thread, preload_kn: float, mu_thread: float, mu_head: float, bearing_mm: float) -> float:
    """Torque in N·m for a preload in kN by the long form.

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> round(tightening_torque(m10, 29.6, 0.12, 0.12, 12.815), 1)
    48.3
    """
    return preload_kn * sum(torque_parts(thread, mu_thread, mu_head, bearing_mm))


def preload_from_torque(thread: Thread, torque_nm: float, mu_thread: float, mu_head: float, bearing_mm: float) -> float:
    """Preload in kN that a torque in N·m gives at two friction coefficients.

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> round(preload_from_torque(m10, 48.3, 0.20, 0.20, 12.815), 1)
    18.8
    """
    return torque_nm / sum(torque_parts(thread, mu_thread, mu_head, bearing_mm))


def k_from_friction(thread: Thread, mu_thread: float, mu_head: float, bearing_mm: float) -> float:
    """The torque coefficient K that two friction coefficients amount to: K = (T/F)/D.

    >>> round(k_from_friction(Thread("M10", "metric", "coarse", 10, 1.5), 0.12, 0.12, 12.815), 3)
    0.163
    """
    return sum(torque_parts(thread, mu_thread, mu_head, bearing_mm)) / thread.diameter_mm


def friction_from_k(thread: Thread, k: float, bearing_mm: float) -> float:
    """One friction coefficient for thread and bearing face from K; UsageError when K is below the pitch part.

    mu = (K D - P/(2 pi)) / (d2/(2 cos 30°) + Db/2).

    >>> round(friction_from_k(Thread("M10", "metric", "coarse", 10, 1.5), 0.20, 12.815), 3)
    0.152
    """
    pitch = thread.pitch_mm / (2 * pi)
    mu = (k * thread.diameter_mm - pitch) / (thread.pitch_diameter_mm / (2 * cos(FLANK_HALF_ANGLE)) + bearing_mm / 2)
    if mu < 0:
        least = pitch / thread.diameter_mm
        raise UsageError(
            f"K {k:g} is too low for {thread.size}: without any friction K is {least:.3f}; check the value"
        )
    return mu


def friction_from_test(
    thread: Thread, preload_kn: float, thread_torque_nm: float, bearing_torque_nm: float, bearing_mm: float
) -> tuple[float, float]:
    """Thread and head friction from a test that measures both torques (ISO 16047).

    >>> m10 = Thread("M10", "metric", "coarse", 10, 1.5)
    >>> [round(x, 3) for x in friction_from_test(m10, 29.6, 25.58, 22.76, 12.815)]
    [0.12, 0.12]
    """
    flank = thread.pitch_diameter_mm / (2 * cos(FLANK_HALF_ANGLE))
    mu_thread = (thread_torque_nm / preload_kn - thread.pitch_mm / (2 * pi)) / flank
    return (mu_thread, 2 * bearing_torque_nm / (bearing_mm * preload_kn))


def stress_factor(thread: Thread, mu_thread: float, torsion: float = PLASTIC_TORSION) -> float:
    """Combined stress over tension stress while tightening: sqrt(1 + 3 [k (d2/d0) tan(phi + rho')]²).

    phi is the lead angle, rho' the friction angle atan(mu/cos 30°), k the torsion factor (1.5 plastic, 2.0 elastic).

    >>> round(stress_factor(Thread("M10", "metric", "coarse", 10, 1.5), 0.12), 3)
    1.13
    """
    _friction(mu_thread)
    lead = atan(thread.pitch_mm / (pi * thread.pitch_diameter_mm))
    friction = atan(mu_thread / cos(FLANK_HALF_ANGLE))
    turn = torsion * thread.pitch_diameter_mm / thread.stress_diameter_mm * tan(lead + friction)
    return sqrt(1 + 3 * turn**2)


def assembly_preload(
    thread: Thread, yield_mpa: float, mu_thread: float, share: float = 0.9, torsion: float = PLASTIC_TORSION
) -> float:
    """Preload in kN at which tension and torsion together reach a share of the yield (MPa).

    F = share Re A0 / stress_factor (VDI 2230, editions 2001 and later; `torsion` 2.0 gives the edition of 1986).

    >>> round(assembly_preload(Thread("M10", "metric", "coarse", 10, 1.5), 640, 0.12), 1)
    29.6
    """
    if not 0 < share <= 1.2:
        raise UsageError(f"a target of {share * 100:g} % of yield makes no sense; choose 10 to 100 %, usual is 90 %")
    return share * yield_mpa * thread.stress_area_mm2 / stress_factor(thread, mu_thread, torsion) / 1000


def share_of_yield(thread: Thread, preload_kn: float, mu_thread: float, yield_mpa: float) -> float:
    """Combined stress at a preload in kN as a share of the yield in MPa; above 1 the bolt yields while tightened.

    >>> round(share_of_yield(Thread("M10", "metric", "coarse", 10, 1.5), 38.4, 0.10, 640), 2)
    1.14
    """
    return preload_kn * 1000 / thread.stress_area_mm2 * stress_factor(thread, mu_thread) / yield_mpa


def proof_preload(thread: Thread, proof_mpa: float, share: float = 0.75) -> float:
    """Preload in kN at a share of the proof load (proof stress in MPa times stress area).

    >>> round(proof_preload(Thread("M12", "metric", "coarse", 12, 1.75), 830, 1.0), 1)
    69.9
    """
    if not 0 < share <= 1.2:
        raise UsageError(
            f"a target of {share * 100:g} % of the proof load makes no sense; choose 10 to 100 %, usual 75 %"
        )
    return share * proof_mpa * thread.stress_area_mm2 / 1000


def alpha_from_scatter(scatter: float) -> float:
    """Greatest over smallest preload from the half width of the scatter as a share: (1 + s)/(1 - s).

    >>> round(alpha_from_scatter(0.43), 2)
    2.51
    """
    if not 0 <= scatter < 1:
        raise UsageError(f"a scatter of {scatter * 100:g} % is impossible; it lies from 0 to under 100 %")
    return (1 + scatter) / (1 - scatter)


def scatter_from_alpha(alpha: float) -> float:
    """Half width of the scatter as a share from greatest over smallest preload: (a - 1)/(a + 1).

    >>> round(scatter_from_alpha(1.6), 3)
    0.231
    """
    if alpha < 1:
        raise UsageError(f"a tightening factor of {alpha:g} is impossible; it is 1 or more")
    return (alpha - 1) / (alpha + 1)


def preload_after_change(preload_kn: float, k_before: float, k_after: float) -> float:
    """Preload in kN when the finish changes and the torque stays: F2 = F1 K1/K2.

    >>> round(preload_after_change(52.46, 0.22, 0.12), 1)
    96.2
    """
    return preload_kn * k_before / k_after


def with_prevailing_torque(clamp_torque_nm: float, prevailing_nm: float) -> tuple[float, float]:
    """Wrench torque in N·m with a prevailing-torque nut, by the two rules in use: always added; added from a third on.

    Aviation practice (FAA AC 43.13-1B, 7-40) always adds the run-down torque; an army manual (TM 5-2330-325-13&P)
    ignores it below a third of the listed torque.

    >>> with_prevailing_torque(48, 10)
    (58, 48)
    """
    added = clamp_torque_nm + prevailing_nm
    return (added, added if prevailing_nm >= clamp_torque_nm / 3 else clamp_torque_nm)


def _friction(mu: float) -> None:
    if not 0 <= mu <= 1.0:
        raise UsageError(
            f"a friction coefficient of {mu:g} makes no sense; it lies from 0.04 (waxed) to about 0.5 (dry stainless)"
        )
