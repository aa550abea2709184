"""What else must be said of a tightening: a change of finish, drag, structural tension, galling, lubrication."""

from __future__ import annotations

from advisor.calculations.entries import text_number
from advisor.calculations.joint import friction_of_finish, pretension
from advisor.calculations.sayings import rounded as _r
from advisor.calculations.torque_sheet import Sheet, uses
from advisor.calculations.torque_window import set_by_friction, set_by_k
from advisor.trade import tightening as t


def extras(sheet: Sheet) -> None:
    """Change of finish, split of the torque, drag, structural tension, galling, lubrication."""
    say, given = sheet.say, sheet.given
    if "instead-of" in given:
        change(sheet)
    if sheet.friction.mu is not None and sheet.joint.bearing_mm is not None:
        parts = t.torque_parts(sheet.joint.thread, *sheet.friction.mu[1], sheet.joint.bearing_mm)
        split = [f"{p / sum(parts) * 100:.0f}" for p in parts]
        sheet.results["torque_split"] = [_r(p / sum(parts)) for p in parts]
        sheet.lines.append(say("split", pitch=split[0], thread=split[1], head=split[2]))
    if "prevailing" in given:
        drag = text_number(given, "prevailing", 0, 1e5, "N·m")
        always, third = t.with_prevailing_torque(sheet.chosen_nm, drag)
        sheet.results["wrench_torque_nm"] = [_r(third), _r(always)]
        sheet.lines.append(say("prevailing", drag=f"{drag:g}", always=f"{always:.4g}", third=f"{third:.4g}"))
    required = pretension(sheet.base, sheet.joint)
    if required is not None:
        limit = 0.25 * required.kn * sheet.joint.thread.diameter_mm
        sheet.cites.append(required.table)
        if required.structural:
            sheet.results["minimum_pretension_kn"] = required.kn
            sheet.results["lot_test_torque_limit_nm"] = _r(limit)
            sheet.lines.append(
                say("structural", tension=f"{required.kn:g}", limit=f"{limit:.4g}", seen_in=required.seen_in)
            )
            sheet.lines.append(say("no-reuse"))
        else:
            sheet.results["structural_preload_kn"] = required.kn
            sheet.lines.append(say("structural-european", tension=f"{required.kn:g}"))
    if sheet.joint.stainless:
        sheet.lines.append(say("galling"))
    elif sheet.friction.finish and not sheet.base.finish(sheet.friction.finish).get("lubricated"):
        sheet.lines.append(say("lubricate"))
    sheet.lines.append(say("set-not-finish"))


def change(sheet: Sheet) -> None:
    """The same torque with another finish: what it was set for, and what it does now."""
    before = friction_of_finish(sheet.base, sheet.base.resolve_finish(sheet.given["instead-of"]), sheet.joint)
    old = Sheet(sheet.base, sheet.joint, before, sheet.given)
    if sheet.joint.grade.yield_mpa is not None and before.mu is not None:
        set_by_friction(old, 0.9)
    else:
        set_by_k(old, 0.75)
    torques = old.results["torque_nm"]
    assert isinstance(torques, list)
    kept = float(torques[1])
    loads = [sheet.load(kept, at) for at in (2, 1, 0)]
    was = old.load(kept, 1).preload_kn
    word = sheet.word(loads)
    loose = word == "within" and loads[0].preload_kn < 0.7 * was
    sheet.results["change"] = {
        "from": before.finish,
        "torque_nm": _r(kept),
        "preload_before_kn": _r(was),
        "preload_kn": [_r(x.preload_kn) for x in loads],
        "verdict": "loose" if loose else word,
    }
    sheet.lines.append(
        sheet.say(
            "change",
            before=sheet.base.finish(before.finish)["name"],
            after=sheet.base.finish(sheet.friction.finish)["name"] if sheet.friction.finish else "K",
            torque=f"{kept:.4g}",
            was=f"{was:.3g}",
            low=f"{loads[0].preload_kn:.3g}",
            high=f"{loads[2].preload_kn:.3g}",
            says=sheet.say("change-loose" if loose else f"over-{word}"),
            **uses(loads),
        )
    )
    sheet.cites += before.cites
