"""Hydrogen embrittlement: how a steel stands to the documented hardness lines, and what follows for a coating."""

from __future__ import annotations

from typing import NamedTuple

from advisor.errors import UsageError
from advisor.trade.tables import Table

SOFT_HRC, SOFT_HV = 34.0, 335.0
"""At or below both: ordinary bolts (8.8, grade 5, A325). The cut is trade practice on published product limits."""
WATCH_HRC, WATCH_HV = 37.0, 360.0
"""From here the plating line must be verified (ISO 4042:2018 clause 4.4 begins at 360 HV)."""
HARD_HRC, HARD_HV = 39.0, 390.0
"""Above one of these: ASTM F1941-15 (39 HRC) advises against plating, ISO 4042:2018 (390 HV) demands a bake."""
EXTREME_HRC, EXTREME_MPA = 46.0, 1700.0
"""Above: ASTM B633 shall not be electroplated unless specified."""
BETWEEN_LINES_HV = 382.0
"""39 HRC lies at about 382 HV: a Vickers reading above it, up to 390 HV, passes one document and not the other."""

ORDER = ("allowed", "allowed-with-controls", "avoid", "forbidden")
"""Verdicts from the mildest to the strictest."""

COMPRESSED = ("set-screw", "nut", "washer")
"""Products loaded in compression: no bake is demanded of them (ISO 4042:2018 clause 4.4, exemption list)."""


class Hardness(NamedTuple):
    """The stated upper hardness in each scale in which it is stated; None where it is not."""

    hrc: float | None = None
    hv: float | None = None
    tensile_mpa: float | None = None


class Steel(NamedTuple):
    """What hydrogen asks of a part: its stated hardness, the product, and what kind of steel it is."""

    hardness: Hardness
    product: str = "bolt"
    case_hardened: bool = False
    stainless: str = "no"
    """no, austenitic (also duplex and ferritic in air) or hardenable (martensitic and precipitation hardening)."""
    least: str = "soft"
    """The zone of the class where its standard states a strength but no hardness."""


class Verdict(NamedTuple):
    """The judgement on one process: the word, the controls in words, and the document behind it."""

    word: str
    controls: str
    document: str
    by_product_standard: bool = False


class Bake(NamedTuple):
    """A row of the bake table: part temperature in °C and shortest time in hours."""

    low_c: float
    high_c: float
    hours: float


def zone(hardness: Hardness) -> str:
    """soft, firm, watch, hard or extreme, each limit tested in the scale in which it is stated.

    Where a standard prints several scales the harder zone counts. Raises UsageError when no hardness is given.
    Sources: ASTM F1941-15 introduction (39 HRC), ISO 4042:2018 clause 4.4 (360 and 390 HV), ASTM B633-07 (46 HRC).

    >>> zone(Hardness(hrc=39)), zone(Hardness(hv=385)), zone(Hardness(hv=435)), zone(Hardness(hv=360))
    ('watch', 'watch', 'hard', 'watch')
    """
    found = ["soft"]
    if all(v is None for v in hardness):
        raise UsageError(
            "the hardness of the part is not known; give a strength grade, or a hardness such as 38 or 385HV"
        )
    if hardness.hrc is not None:
        found.append(_zone(hardness.hrc, SOFT_HRC, WATCH_HRC, HARD_HRC))
        found.append("extreme" if hardness.hrc > EXTREME_HRC else "soft")
    if hardness.hv is not None:
        found.append(_zone(hardness.hv, SOFT_HV, WATCH_HV, HARD_HV))
    if hardness.tensile_mpa is not None:
        found.append("extreme" if hardness.tensile_mpa > EXTREME_MPA else "soft")
    return max(found, key=ZONES.index)


ZONES = ("soft", "firm", "watch", "hard", "extreme")


def _zone(value: float, soft: float, watch: float, hard: float) -> str:
    if value <= soft:
        return "soft"
    if value < watch:
        return "firm"
    return "watch" if value <= hard else "hard"


def zone_of(steel: Steel) -> str:
    """The zone of a part: that of its hardness, but not milder than that of its class.

    >>> zone_of(Steel(Hardness(tensile_mpa=1034), least="firm"))
    'firm'
    """
    return max(zone(steel.hardness), steel.least, key=ZONES.index)


def between_lines(hardness: Hardness) -> bool:
    """Whether a Vickers reading alone lies above 39 HRC in effect but not above 390 HV.

    >>> between_lines(Hardness(hv=385)), between_lines(Hardness(hv=391)), between_lines(Hardness(hrc=39, hv=385))
    (True, False, False)
    """
    return hardness.hrc is None and hardness.hv is not None and BETWEEN_LINES_HV < hardness.hv <= HARD_HV


def susceptibility(steel: Steel) -> str:
    """How the steel itself takes hydrogen at the upper end of its hardness: none, low, moderate or high.

    low below 360 HV (37 HRC), moderate from there to 390 HV or 39 HRC, high above; a hard case counts as high.

    >>> susceptibility(Steel(Hardness(hrc=39, hv=380))), susceptibility(Steel(Hardness(hrc=45)))
    ('moderate', 'high')
    """
    if steel.stainless == "austenitic":
        return "none"
    if steel.case_hardened:
        return "high"
    return {"soft": "low", "firm": "low", "watch": "moderate", "hard": "high", "extreme": "high"}[zone_of(steel)]


def state(steel: Steel) -> str:
    """The row of the verdict table for a steel.

    soft, firm, watch, hard, extreme, or case, set-screw, clamped, spring, austenitic, hard-stainless.

    >>> state(Steel(Hardness(hrc=53, hv=560), "set-screw")), state(Steel(Hardness(hv=385)))
    ('set-screw', 'hard')
    """
    if steel.stainless == "austenitic":
        return "austenitic"
    if steel.case_hardened:
        return "case"
    where = zone_of(steel)
    if steel.product == "spring-washer":
        return "spring"
    if steel.stainless == "hardenable":
        return "hard-stainless" if where != "soft" else "soft"
    if steel.product in COMPRESSED and where != "soft":
        if steel.product == "set-screw":
            return "set-screw" if where in ("hard", "extreme") else where
        return "clamped" if where in ("watch", "hard", "extreme") else "soft"
    # A reading between the lines counts as hard: the only place where the scales are compared, to the safe side.
    return "hard" if between_lines(steel.hardness) else where


def judge(verdicts: Table, bars: Table, grade: str, steel: Steel, process: str) -> Verdict:
    """The verdict on a process for a steel; a product standard's own rule for the grade goes first.

    `verdicts` has the columns steel, process, verdict, controls, document; `bars` grade, process, verdict, says,
    document. Raises UsageError for a process the table does not know.

    >>> columns = ("process", "verdict", "controls", "document")
    >>> v = Table("v", ("steel", *columns), (("hard", "hot-dipped", "forbidden", "above 40 HRC", "d"),))
    >>> barred = ("a490", "hot-dipped", "forbidden", "no", "e")
    >>> b = Table("b", ("grade", "process", "verdict", "says", "document"), (barred,))
    >>> judge(v, b, "a490", Steel(Hardness(hrc=38)), "hot-dipped").controls
    'no'
    """
    for row in bars.records():
        if row["grade"] == grade and row["process"] == process:
            return Verdict(str(row["verdict"]), str(row["says"]), str(row["document"]), True)
    wanted = state(steel)
    for row in verdicts.records():
        if row["steel"] == wanted and row["process"] == process:
            return Verdict(str(row["verdict"]), str(row["controls"] or ""), str(row["document"]))
    known = ", ".join(dict.fromkeys(str(p) for p in verdicts.column("process")))
    raise UsageError(f"no hydrogen verdict for the process '{process}'; known: {known}")


def at_least(verdict: Verdict, word: str, controls: str, document: str) -> Verdict:
    """The verdict made no milder than a word; unchanged when it is as strict already.

    >>> at_least(Verdict("allowed", "", "d"), "avoid", "in the sea", "e").word
    'avoid'
    >>> at_least(Verdict("forbidden", "barred", "d"), "avoid", "in the sea", "e").word
    'forbidden'
    """
    if ORDER.index(verdict.word) >= ORDER.index(word):
        return verdict
    return Verdict(word, controls, document)


def too_hard_for_the_sea(steel: Steel) -> bool:
    """Above 34 HRC or 335 HV: no zinc and no cathodic protection on it under water (subsea practice).

    >>> too_hard_for_the_sea(Steel(Hardness(hrc=34, hv=335))), too_hard_for_the_sea(Steel(Hardness(hrc=35)))
    (False, True)
    """
    return zone_of(steel) != "soft"


def bake_for(table: Table, tensile_mpa: float) -> Bake | None:
    """Temperature and shortest time of the bake for a tensile strength in MPa; None below the table.

    The table has the columns tensile_from_mpa, tensile_to_mpa, temperature_low_c, temperature_high_c, hours
    (ASTM B850 Table 1). A strength between two printed rows takes the harder row. Raises UsageError above the table.

    >>> t = Table("b", ("tensile_from_mpa", "tensile_to_mpa", "temperature_low_c", "temperature_high_c", "hours"),
    ...           ((1000.0, 1100.0, 190.0, 220.0, 8.0), (1101.0, 1200.0, 190.0, 220.0, 10.0)))
    >>> bake_for(t, 1000), bake_for(t, 1100.5), bake_for(t, 999)
    (Bake(low_c=190.0, high_c=220.0, hours=8.0), Bake(low_c=190.0, high_c=220.0, hours=10.0), None)
    """
    rows = [(_num(r["tensile_from_mpa"]), _num(r["tensile_to_mpa"]), r) for r in table.records()]
    if tensile_mpa < min(r[0] for r in rows):
        return None
    for _, top, row in sorted(rows, key=lambda r: r[1]):
        if tensile_mpa <= top:
            return Bake(_num(row["temperature_low_c"]), _num(row["temperature_high_c"]), _num(row["hours"]))
    raise UsageError(
        f"no bake is published for {tensile_mpa:g} MPa; the table ends at {max(r[1] for r in rows):g} MPa, "
        "where steel is not to be electroplated at all"
    )


def _num(cell: object) -> float:
    assert isinstance(cell, (int, float))
    return float(cell)
