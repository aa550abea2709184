"""Torque windows: what reaches a target of preload from low to high friction, and what a given torque does."""

from __future__ import annotations

from advisor.calculations.joint import scatter_of
from advisor.calculations.sayings import rounded as _r
from advisor.calculations.torque_sheet import Sheet, Three, named, uses
from advisor.errors import UsageError
from advisor.trade import tightening as t


def set_by_k(sheet: Sheet, share: float) -> None:
    """T = K D F at a share of the proof load."""
    proof = sheet.joint.grade.proof_mpa
    if proof is None:
        proof, part = sheet.joint.proof_from_yield()
        sheet.lines.append(sheet.say("proof-from-yield", share=f"{part * 100:g}"))
        sheet.cites.append("preload-targets")
    force = t.proof_preload(sheet.joint.thread, proof, share)
    torques = [t.torque_from_k(k, sheet.joint.thread.diameter_mm, force) for k in sheet.friction.k]
    sheet.lines.append(sheet.say("target-proof", share=f"{share * 100:g}"))
    window(sheet, force, (torques[0], torques[1], torques[2]))


def set_by_friction(sheet: Sheet, share: float) -> None:
    """Preload at a share of yield in combined stress, torque by the long form."""
    yield_mpa = sheet.joint.grade.yield_mpa
    mu = sheet.friction.mu
    assert mu is not None
    if yield_mpa is None:
        raise UsageError(f"{sheet.joint.grade.name} has no stated yield; give --k, or choose a class with a yield")
    bearing = sheet.joint.need_bearing()
    torques: list[float] = []
    for pair in mu:
        force = t.assembly_preload(sheet.joint.thread, yield_mpa, pair[0], share)
        torques.append(t.tightening_torque(sheet.joint.thread, force, *pair, bearing))
    sheet.lines.append(sheet.say("target-yield", share=f"{share * 100:g}"))
    window(
        sheet, t.assembly_preload(sheet.joint.thread, yield_mpa, mu[0][0], share), (torques[0], torques[1], torques[2])
    )


def window(sheet: Sheet, top_kn: float, torques: Three) -> None:
    """Results and lines from the torques that reach the target at low, typical and high friction."""
    say = sheet.say
    # the torque is set for the lowest friction, so that no bolt goes beyond the target
    sheet.chosen_nm = torques[0]
    loads = [sheet.load(sheet.chosen_nm, at) for at in (2, 1, 0)]
    if torques[0] == torques[2]:
        sheet.figures(torques, loads, sheet.word(loads))
        sheet.lines.append(
            say("one", preload=f"{top_kn:.4g}", torque=f"{torques[0]:.4g}", lbf_ft=f"{torques[0] / 1.355818:.4g}")
        )
        if sheet.results["verdict"] != "within":
            sheet.lines.append(say(f"verdict-one-{sheet.results['verdict']}"))
    else:
        typical = sheet.load(torques[1], 0)
        over = sheet.word([typical])
        sheet.figures(torques, loads, "within" if over == "within" else "set-low")
        sheet.lines.append(say("range", **named("low typical high", torques)))
        forces = {k: f"{x.preload_kn:.3g}" for k, x in zip(("low", "typical", "high"), loads, strict=True)}
        shares = uses(loads)
        sheet.lines.append(
            say("set", torque=f"{torques[0]:.4g}", lbf_ft=f"{torques[0] / 1.355818:.4g}", **forces, **shares)
        )
        use = "–" if typical.share is None else f"{typical.share * 100:.0f}"
        sheet.lines.append(
            say(
                "over",
                torque=f"{torques[1]:.4g}",
                preload=f"{typical.preload_kn:.3g}",
                use=use,
                says=say(f"over-{over}"),
            )
        )
        sheet.results["torque_to_set_nm"] = _r(torques[0])
        sheet.results["if_set_at_typical"] = {
            "torque_nm": _r(torques[1]),
            "preload_kn": _r(typical.preload_kn),
            "share_of_yield": None if typical.share is None else _r(typical.share),
            "verdict": over,
        }
        if over != "within":
            sheet.lines.append(say("verdict-set-low"))
    credit(sheet, top_kn, loads[0].preload_kn)


def check_given(sheet: Sheet, torque_nm: float) -> None:
    """What a torque that is already fixed does over the friction range."""
    sheet.chosen_nm = torque_nm
    loads = [sheet.load(torque_nm, at) for at in (2, 1, 0)]
    verdict = sheet.word(loads)
    sheet.figures((torque_nm,) * 3, loads, verdict)
    forces = {k: f"{x.preload_kn:.4g}" for k, x in zip(("low", "typical", "high"), loads, strict=True)}
    one = "-one" if sheet.friction.k[0] == sheet.friction.k[2] else ""
    sheet.lines.append(sheet.say(f"given{one}", torque=f"{torque_nm:g}", **forces, **uses(loads)))
    proof = sheet.joint.grade.proof_mpa
    if proof is not None:
        whole = t.proof_preload(sheet.joint.thread, proof, 1.0)
        low, high = (f"{x.preload_kn / whole * 100:.0f}" for x in (loads[0], loads[2]))
        sheet.lines.append(sheet.say(f"proof-share{one}", low=low, high=high))
    sheet.lines.append(sheet.say(f"verdict{one}-{verdict}"))


def credit(sheet: Sheet, top_kn: float, rough_kn: float) -> None:
    """The preload to count on: the scatter of the method, and no more than the highest friction leaves."""
    method = scatter_of(sheet.base, sheet.given.get("method", "torque-wrench"))
    low, high = min(rough_kn, top_kn / method.alpha_high), top_kn / method.alpha_low
    sheet.results["method"] = method.id
    sheet.results["preload_credited_kn"] = [_r(low), _r(high)]
    sheet.cites.append("tightening-scatter")
    sheet.lines.append(
        sheet.say(
            "credit",
            low=f"{low:.3g}",
            high=f"{high:.3g}",
            method=method.name,
            alpha_low=f"{method.alpha_low:.3g}",
            alpha_high=f"{method.alpha_high:.3g}",
        )
    )
