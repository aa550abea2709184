"""The sheet on which a tightening is worked out: joint, friction, what a torque does, and the lines found so far."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.joint import Friction, Joint
from advisor.calculations.sayings import Sayings
from advisor.calculations.sayings import rounded as _r
from advisor.graph.base import Base
from advisor.records import NamedTuple
from advisor.trade import tightening as t

Three = tuple[float, float, float]


class Load(NamedTuple):
    """What a torque does at one friction: preload in kN and the share of yield (None without a stated yield)."""

    preload_kn: float
    share: float | None


class Sheet:
    """Collects results, lines and citations of one answer."""

    def __init__(self, base: Base, joint: Joint, friction: Friction, given: Mapping[str, str]) -> None:
        self.base, self.joint, self.friction, self.given = base, joint, friction, given
        self.say = Sayings(base, "torque")
        self.lines: list[str] = []
        self.results: dict[str, object] = {}
        self.cites = ["thread-sizes", joint.grade.id, *friction.cites]
        self.method = self.say("method-k")
        self.chosen_nm = 0.0

    def load(self, torque_nm: float, at: int) -> Load:
        """What a torque does at the low (0), typical (1) or high (2) friction."""
        force = t.preload_from_k(self.friction.k[at], self.joint.thread.diameter_mm, torque_nm)
        return Load(force, self.share(force, at))

    def share(self, preload_kn: float, at: int) -> float | None:
        """Share of yield: combined stress with a friction, tension alone with K alone; None without a yield."""
        yield_mpa = self.joint.grade.yield_mpa
        if yield_mpa is None:
            return None
        if self.friction.mu is None or self.friction.given_as_k:
            return preload_kn * 1000 / self.joint.thread.stress_area_mm2 / yield_mpa
        return t.share_of_yield(self.joint.thread, preload_kn, self.friction.mu[at][0], yield_mpa)

    def word(self, loads: list[Load]) -> str:
        """within, over-yield or breaks, by the worst of the loads."""
        tensile = self.joint.grade.tensile_mpa[0]
        worst = max(x.preload_kn for x in loads)
        if tensile is not None and worst * 1000 / self.joint.thread.stress_area_mm2 > tensile:
            return "breaks"
        return "over-yield" if any(x.share is not None and x.share > 1.0005 for x in loads) else "within"

    def figures(self, torques: Three, loads: list[Load], verdict: str) -> None:
        """The contract's keys; `loads` from the highest friction to the lowest."""
        shares = [x.share for x in loads if x.share is not None]
        self.results.update(
            preload_kn=[_r(x.preload_kn) for x in loads],
            torque_nm=[_r(x) for x in torques],
            stress_area_mm2=_r(self.joint.thread.stress_area_mm2),
            utilisation=[_r(min(shares)), _r(max(shares))] if shares else None,
            verdict=verdict,
            k=[_r(x) for x in self.friction.k],
        )


def uses(loads: list[Load]) -> dict[str, str]:
    shares = [x.share for x in loads if x.share is not None]
    if not shares:
        return {"use_low": "–", "use_high": "–"}
    return {"use_low": f"{min(shares) * 100:.0f}", "use_high": f"{max(shares) * 100:.0f}"}


def named(names: str, values: tuple[float, ...]) -> dict[str, str]:
    return {n: f"{v:.4g}" for n, v in zip(names.split(), values, strict=True)}
