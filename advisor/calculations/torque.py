"""`advisor torque`: preload and torque of a bolt from its finish, from two friction coefficients, or from K."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.entries import text_number, typed
from advisor.calculations.joint import Friction, Joint, friction_of_finish, read_joint
from advisor.calculations.options import Calculation, Option
from advisor.calculations.torque_extras import extras
from advisor.calculations.torque_sheet import Sheet
from advisor.calculations.torque_window import check_given, set_by_friction, set_by_k
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
    Option("torque", "a torque in N·m to be checked in place of a target", slots=("torque_set", "torque_nm")),
    Option("instead-of", "the finish the torque was set for, to see what a change does"),
    Option("method", "tightening method, e.g. torque-wrench, turn-of-nut, impact-wrench"),
    Option("head", "hex, heavy-hex, socket or flange"),
    Option("prevailing", "prevailing torque of the nut in N·m"),
)

EITHER = ((("k",), ("mu-thread", "mu-head"), ("finish",)),)


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
    out = Sheet(base, joint, friction, given)
    head_lines(out, by_k)
    if "torque" in given:
        check_given(out, text_number(given, "torque", 0.001, 1e6, "N·m"))
    elif by_k or friction.k_only:
        set_by_k(out, text_number(given, "target", 1, 100, "%", 75) / 100)
    else:
        set_by_friction(out, text_number(given, "target", 1, 100, "%", 90) / 100)
    extras(out)
    return answer(out)


def _possible(base: Base, finish: str, joint: Joint) -> None:
    """UsageError where the finish is a metal of its own and the class belongs to another metal."""
    node = base.finish(finish)
    process = node.get("process") or base.kind("family")[str(node["family"])]["process"]
    metal = str(joint.grade.node["material"])
    if process == "base-material" and node["material"] != metal:
        grade = f", e.g. {node['grade']}" if node.get("grade") else ""
        raise UsageError(
            f"{joint.grade.name} is a class of {metal}, and {node['name']} is another metal with its own strength; "
            f"give the class of that metal{grade}"
        )


def _friction(base: Base, joint: Joint, given: Mapping[str, str]) -> Friction:
    if "finish" in given:
        finish = base.resolve_finish(given["finish"])
        _possible(base, finish, joint)
        return friction_of_finish(base, finish, joint)
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


def head_lines(sheet: Sheet, by_k: bool) -> None:
    """What bolt and what friction."""
    j, f, say = sheet.joint, sheet.friction, sheet.say
    missing = say("not-stated")
    sheet.lines.append(
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
        name = str(sheet.base.finish(f.finish)["name"])
        low, typical, high = f.mu or ((0.0, 0.0),) * 3
        sheet.lines.append(
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
        sheet.lines.append(
            say("k-alone", k=f"{f.k[0]:g}") if mu is None else say("k-given", k=f"{f.k[0]:g}", mu=f"{mu:.3f}")
        )
    else:
        assert f.mu is not None
        sheet.lines.append(say("friction-given", thread=f"{f.mu[0][0]:g}", head=f"{f.mu[0][1]:g}", k=f"{f.k[0]:.3f}"))
    if f.mu is not None and not f.given_as_k:
        sheet.cites.append("bearing-faces")
        sheet.method = say("method-friction", head=j.head)
        if j.face_basis == "memory":
            sheet.lines.append(say("recalled-face"))


def answer(sheet: Sheet) -> Calculation:
    """The finished calculation."""
    structural = bool(sheet.joint.grade.node.get("structural"))
    wanted = [
        (sheet.base.role("warn-torque")[0], True),
        ("galling", sheet.joint.stainless),
        (sheet.base.role("warn-structural")[0], structural),
        ("reuse", structural or "prevailing" in sheet.given),
    ]
    known = sheet.base.kind("caution")
    cautions = tuple(c for c, on in wanted if on and c in known)
    cites = tuple(dict.fromkeys(sheet.cites))
    return Calculation("torque", dict(sheet.given), sheet.results, sheet.method, tuple(sheet.lines), cites, cautions)
