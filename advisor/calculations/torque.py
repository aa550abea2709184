"""`advisor torque`: preload and torque of a bolt from its finish, from two friction coefficients, or from K."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.calculations.entries import text_number, typed
from advisor.calculations.joint import (
    Friction,
    Joint,
    friction_of_finish,
    pretension,
    read_joint,
    scatter_of,
)
from advisor.calculations.options import Calculation, Option
from advisor.calculations.sayings import Sayings
from advisor.calculations.sayings import rounded as _r
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade import tightening as t

OPTIONS: tuple[Option, ...] = (
    Option("size", "thread size, e.g. M10, M10x1.25, 3/8-16", required=True, slots=("size",)),
    Option("strength", "strength class or grade, e.g. 8.8, gr5, A2-70", required=True, slots=("strength",)),
    Option("finish", "finish id or finish family: the friction range is taken from it", slots=("finish_asked",)),
    Option("mu-thread", "friction coefficient of the thread", slots=("friction_window",)),
    Option("mu-head", "friction coefficient under the head or nut", slots=("friction_window",), last=True),
    Option("k", "torque coefficient K in place of friction", slots=("torque_coefficient",)),
    Option(
        "target",
        "share in %: of yield with friction or a finish (90), of the proof load with K (75)",
        slots=("share_percent",),
    ),
    Option("torque", "a torque in N·m to be checked in place of a target"),
    Option("instead-of", "the finish the torque was set for, to see what a change does"),
    Option("method", "tightening method, e.g. torque-wrench, turn-of-nut, impact-wrench"),
    Option("head", "hex, heavy-hex, socket or flange"),
    Option("prevailing", "prevailing torque of the nut in N·m"),
)

EITHER = ((("k",), ("mu-thread", "mu-head"), ("finish",)),)


class _Load(NamedTuple):
    """What a torque does at one friction: preload in kN and the share of yield (None without a stated yield)."""

    preload_kn: float
    share: float | None


def run(base: Base, inputs: Mapping[str, str | list[str]]) -> Calculation:
    """Preload and torque windows as contracted; UsageError for missing, unknown or contradictory inputs."""
    given = typed(inputs)
    joint = read_joint(base, given)
    ways = [w for w in ("finish", "k", "mu-thread") if w in given]
    if "mu-head" in given and "mu-thread" not in given:
        ways.append("mu-thread")
    if len(ways) != 1:
        raise UsageError("give one of --finish, --k, or --mu-thread with --mu-head; they exclude each other")
    by_k = ways[0] == "k"
    friction = _friction(base, joint, given)
    out = _Answer(base, joint, friction, given)
    out.head_lines(by_k)
    if "torque" in given:
        out.check(text_number(given, "torque", 0.001, 1e6, "N·m"))
    elif by_k or friction.k_only:
        out.by_k(text_number(given, "target", 1, 100, "%", 75) / 100)
    else:
        out.by_friction(text_number(given, "target", 1, 100, "%", 90) / 100)
    out.extras()
    return out.answer()


def _friction(base: Base, joint: Joint, given: Mapping[str, str]) -> Friction:
    if "finish" in given:
        return friction_of_finish(base, base.resolve_finish(given["finish"]), joint)
    if "k" in given:
        k = text_number(given, "k", 0.03, 1.0, "")
        mu = None
        if joint.bearing_mm is not None:
            mu = t.friction_from_k(joint.thread, k, joint.bearing_mm)
        return Friction("", (k, k, k), None if mu is None else ((mu, mu),) * 3, (), True)
    if "mu-head" not in given:
        raise UsageError("--mu-thread needs --mu-head beside it (the same figure when only a total friction is known)")
    if "mu-thread" not in given:
        raise UsageError("--mu-head needs --mu-thread beside it (the same figure when only a total friction is known)")
    pair = (text_number(given, "mu-thread", 0.0, 1.0, ""), text_number(given, "mu-head", 0.0, 1.0, ""))
    bearing = joint.need_bearing()
    k = t.k_from_friction(joint.thread, *pair, bearing)
    return Friction("", (k, k, k), (pair, pair, pair), (), False)


class _Answer:
    """Collects results, lines and citations of one answer."""

    def __init__(self, base: Base, joint: Joint, friction: Friction, given: Mapping[str, str]) -> None:
        self.base, self.joint, self.friction, self.given = base, joint, friction, given
        self.say = Sayings(base, "torque")
        self.lines: list[str] = []
        self.results: dict[str, object] = {}
        self.cites = ["thread-sizes", joint.grade.id, *friction.cites]
        self.method = self.say("method-k")
        self.chosen_nm = 0.0

    # pieces

    def load(self, torque_nm: float, at: int) -> _Load:
        """What a torque does at the low (0), typical (1) or high (2) friction."""
        force = t.preload_from_k(self.friction.k[at], self.joint.thread.diameter_mm, torque_nm)
        return _Load(force, self.share(force, at))

    def share(self, preload_kn: float, at: int) -> float | None:
        """Share of yield: combined stress with a friction, tension alone with K alone; None without a yield."""
        yield_mpa = self.joint.grade.yield_mpa
        if yield_mpa is None:
            return None
        if self.friction.mu is None or self.friction.given_as_k:
            return preload_kn * 1000 / self.joint.thread.stress_area_mm2 / yield_mpa
        return t.share_of_yield(self.joint.thread, preload_kn, self.friction.mu[at][0], yield_mpa)

    def word(self, loads: list[_Load]) -> str:
        """within, over-yield or breaks, by the worst of the loads."""
        tensile = self.joint.grade.tensile_mpa[0]
        worst = max(x.preload_kn for x in loads)
        if tensile is not None and worst * 1000 / self.joint.thread.stress_area_mm2 > tensile:
            return "breaks"
        return "over-yield" if any(x.share is not None and x.share > 1.0005 for x in loads) else "within"

    def figures(self, torques: tuple[float, float, float], loads: list[_Load], verdict: str) -> None:
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

    # the ways

    def head_lines(self, by_k: bool) -> None:
        """What bolt and what friction."""
        j, f, say = self.joint, self.friction, self.say
        missing = say("not-stated")
        self.lines.append(
            say(
                "bolt",
                size=j.thread.size,
                name=j.grade.name,
                area=f"{j.thread.stress_area_mm2:.4g}",
                yield_mpa=missing if j.grade.yield_mpa is None else f"{j.grade.yield_mpa:g} MPa",
                proof_mpa=missing if j.grade.proof_mpa is None else f"{j.grade.proof_mpa:g} MPa",
            )
        )
        if f.finish:
            name = str(self.base.finish(f.finish)["name"])
            low, typical, high = f.mu or ((0.0, 0.0),) * 3
            self.lines.append(
                say(
                    "friction",
                    finish=name,
                    low=f"{low[0]:.2f}",
                    typical=f"{typical[0]:.2f}",
                    high=f"{high[0]:.2f}",
                    k_low=f"{f.k[0]:.2f}",
                    k_high=f"{f.k[2]:.2f}",
                )
                if f.mu
                else say("k-alone", k=f"{f.k[0]:.2f}–{f.k[2]:.2f}")
            )
        elif by_k:
            mu = f.mu[0][0] if f.mu else None
            self.lines.append(
                say("k-alone", k=f"{f.k[0]:g}") if mu is None else say("k-given", k=f"{f.k[0]:g}", mu=f"{mu:.3f}")
            )
        else:
            assert f.mu is not None
            self.lines.append(
                say("friction-given", thread=f"{f.mu[0][0]:g}", head=f"{f.mu[0][1]:g}", k=f"{f.k[0]:.3f}")
            )
        if f.mu is not None and not f.given_as_k:
            self.cites.append("bearing-faces")
            self.method = say("method-friction", head=j.head)
            if j.face_basis == "memory":
                self.lines.append(say("recalled-face"))

    def by_k(self, share: float) -> None:
        """T = K D F at a share of the proof load."""
        proof = self.joint.grade.proof_mpa
        if proof is None:
            proof, part = self.joint.proof_from_yield()
            self.lines.append(self.say("proof-from-yield", share=f"{part * 100:g}"))
            self.cites.append("preload-targets")
        force = t.proof_preload(self.joint.thread, proof, share)
        torques = [t.torque_from_k(k, self.joint.thread.diameter_mm, force) for k in self.friction.k]
        self.lines.append(self.say("target-proof", share=f"{share * 100:g}"))
        self.window(force, (torques[0], torques[1], torques[2]))

    def by_friction(self, share: float) -> None:
        """Preload at a share of yield in combined stress, torque by the long form."""
        yield_mpa = self.joint.grade.yield_mpa
        mu = self.friction.mu
        assert mu is not None
        if yield_mpa is None:
            raise UsageError(f"{self.joint.grade.name} has no stated yield; give --k, or choose a class with a yield")
        bearing = self.joint.need_bearing()
        torques: list[float] = []
        for pair in mu:
            force = t.assembly_preload(self.joint.thread, yield_mpa, pair[0], share)
            torques.append(t.tightening_torque(self.joint.thread, force, *pair, bearing))
        self.lines.append(self.say("target-yield", share=f"{share * 100:g}"))
        self.window(
            t.assembly_preload(self.joint.thread, yield_mpa, mu[0][0], share), (torques[0], torques[1], torques[2])
        )

    def window(self, top_kn: float, torques: tuple[float, float, float]) -> None:
        """Results and lines from the torques that reach the target at low, typical and high friction."""
        say = self.say
        # the torque is set for the lowest friction, so that no bolt goes beyond the target
        self.chosen_nm = torques[0]
        loads = [self.load(self.chosen_nm, at) for at in (2, 1, 0)]
        if torques[0] == torques[2]:
            self.figures(torques, loads, self.word(loads))
            self.lines.append(
                say("one", preload=f"{top_kn:.4g}", torque=f"{torques[0]:.4g}", lbf_ft=f"{torques[0] / 1.355818:.4g}")
            )
            if self.results["verdict"] != "within":
                self.lines.append(say(f"verdict-one-{self.results['verdict']}"))
        else:
            typical = self.load(torques[1], 0)
            over = self.word([typical])
            self.figures(torques, loads, "within" if over == "within" else "set-low")
            self.lines.append(say("range", **_named("low typical high", torques)))
            forces = {k: f"{x.preload_kn:.3g}" for k, x in zip(("low", "typical", "high"), loads, strict=True)}
            uses = _uses(loads)
            self.lines.append(
                say("set", torque=f"{torques[0]:.4g}", lbf_ft=f"{torques[0] / 1.355818:.4g}", **forces, **uses)
            )
            use = "–" if typical.share is None else f"{typical.share * 100:.0f}"
            self.lines.append(
                say(
                    "over",
                    torque=f"{torques[1]:.4g}",
                    preload=f"{typical.preload_kn:.3g}",
                    use=use,
                    says=say(f"over-{over}"),
                )
            )
            self.results["torque_to_set_nm"] = _r(torques[0])
            self.results["if_set_at_typical"] = {
                "torque_nm": _r(torques[1]),
                "preload_kn": _r(typical.preload_kn),
                "share_of_yield": None if typical.share is None else _r(typical.share),
                "verdict": over,
            }
            if over != "within":
                self.lines.append(say("verdict-set-low"))
        self.credit(top_kn, loads[0].preload_kn)

    def check(self, torque_nm: float) -> None:
        """What a torque that is already fixed does over the friction range."""
        self.chosen_nm = torque_nm
        loads = [self.load(torque_nm, at) for at in (2, 1, 0)]
        verdict = self.word(loads)
        self.figures((torque_nm,) * 3, loads, verdict)
        forces = {k: f"{x.preload_kn:.4g}" for k, x in zip(("low", "typical", "high"), loads, strict=True)}
        one = "-one" if self.friction.k[0] == self.friction.k[2] else ""
        self.lines.append(self.say(f"given{one}", torque=f"{torque_nm:g}", **forces, **_uses(loads)))
        proof = self.joint.grade.proof_mpa
        if proof is not None:
            whole = t.proof_preload(self.joint.thread, proof, 1.0)
            low, high = (f"{x.preload_kn / whole * 100:.0f}" for x in (loads[0], loads[2]))
            self.lines.append(self.say(f"proof-share{one}", low=low, high=high))
        self.lines.append(self.say(f"verdict{one}-{verdict}"))

    def credit(self, top_kn: float, rough_kn: float) -> None:
        """The preload to count on: the scatter of the method, and no more than the highest friction leaves."""
        method = scatter_of(self.base, self.given.get("method", "torque-wrench"))
        low, high = min(rough_kn, top_kn / method.alpha_high), top_kn / method.alpha_low
        self.results["method"] = method.id
        self.results["preload_credited_kn"] = [_r(low), _r(high)]
        self.cites.append("tightening-scatter")
        self.lines.append(
            self.say(
                "credit",
                low=f"{low:.3g}",
                high=f"{high:.3g}",
                method=method.name,
                alpha_low=f"{method.alpha_low:.3g}",
                alpha_high=f"{method.alpha_high:.3g}",
            )
        )

    # what else must be said

    def extras(self) -> None:
        """Change of finish, split of the torque, drag, structural tension, galling, lubrication."""
        say, given = self.say, self.given
        if "instead-of" in given:
            self.change()
        if self.friction.mu is not None and self.joint.bearing_mm is not None:
            parts = t.torque_parts(self.joint.thread, *self.friction.mu[1], self.joint.bearing_mm)
            split = [f"{p / sum(parts) * 100:.0f}" for p in parts]
            self.results["torque_split"] = [_r(p / sum(parts)) for p in parts]
            self.lines.append(say("split", pitch=split[0], thread=split[1], head=split[2]))
        if "prevailing" in given:
            drag = text_number(given, "prevailing", 0, 1e5, "N·m")
            always, third = t.with_prevailing_torque(self.chosen_nm, drag)
            self.results["wrench_torque_nm"] = [_r(third), _r(always)]
            self.lines.append(say("prevailing", drag=f"{drag:g}", always=f"{always:.4g}", third=f"{third:.4g}"))
        required = pretension(self.base, self.joint)
        if required is not None:
            limit = 0.25 * required.kn * self.joint.thread.diameter_mm
            self.cites.append(required.table)
            if required.structural:
                self.results["minimum_pretension_kn"] = required.kn
                self.results["lot_test_torque_limit_nm"] = _r(limit)
                self.lines.append(
                    say("structural", tension=f"{required.kn:g}", limit=f"{limit:.4g}", seen_in=required.seen_in)
                )
                self.lines.append(say("no-reuse"))
            else:
                self.results["structural_preload_kn"] = required.kn
                self.lines.append(say("structural-european", tension=f"{required.kn:g}"))
        if self.joint.stainless:
            self.lines.append(say("galling"))
        elif self.friction.finish and not self.base.finish(self.friction.finish).get("lubricated"):
            self.lines.append(say("lubricate"))
        self.lines.append(say("set-not-finish"))

    def change(self) -> None:
        """The same torque with another finish: what it was set for, and what it does now."""
        before = friction_of_finish(self.base, self.base.resolve_finish(self.given["instead-of"]), self.joint)
        old = _Answer(self.base, self.joint, before, self.given)
        if self.joint.grade.yield_mpa is not None and before.mu is not None:
            old.by_friction(0.9)
        else:
            old.by_k(0.75)
        torques = old.results["torque_nm"]
        assert isinstance(torques, list)
        kept = float(torques[1])
        loads = [self.load(kept, at) for at in (2, 1, 0)]
        was = old.load(kept, 1).preload_kn
        word = self.word(loads)
        loose = word == "within" and loads[0].preload_kn < 0.7 * was
        self.results["change"] = {
            "from": before.finish,
            "torque_nm": _r(kept),
            "preload_before_kn": _r(was),
            "preload_kn": [_r(x.preload_kn) for x in loads],
            "verdict": "loose" if loose else word,
        }
        self.lines.append(
            self.say(
                "change",
                before=self.base.finish(before.finish)["name"],
                after=self.base.finish(self.friction.finish)["name"] if self.friction.finish else "K",
                torque=f"{kept:.4g}",
                was=f"{was:.3g}",
                low=f"{loads[0].preload_kn:.3g}",
                high=f"{loads[2].preload_kn:.3g}",
                says=self.say("change-loose" if loose else f"over-{word}"),
                **_uses(loads),
            )
        )
        self.cites += before.cites

    def answer(self) -> Calculation:
        """The finished calculation."""
        structural = bool(self.joint.grade.node.get("structural"))
        wanted = [
            ("torque-changes-with-finish", True),
            ("galling", self.joint.stainless),
            ("structural-bolting", structural),
            ("reuse", structural or "prevailing" in self.given),
        ]
        known = self.base.kind("caution")
        cautions = tuple(c for c, on in wanted if on and c in known)
        cites = tuple(dict.fromkeys(self.cites))
        return Calculation("torque", dict(self.given), self.results, self.method, tuple(self.lines), cites, cautions)


def _uses(loads: list[_Load]) -> dict[str, str]:
    shares = [x.share for x in loads if x.share is not None]
    if not shares:
        return {"use_low": "–", "use_high": "–"}
    return {"use_low": f"{min(shares) * 100:.0f}", "use_high": f"{max(shares) * 100:.0f}"}


def _named(names: str, values: tuple[float, ...]) -> dict[str, str]:
    return {n: f"{v:.4g}" for n, v in zip(names.split(), values, strict=True)}
