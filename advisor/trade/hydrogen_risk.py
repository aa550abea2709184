"""Hydrogen embrittlement: how a steel stands to the documented hardness lines, and what follows for a coating."""

from __future__ import annotations

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.trade.tables import Cell, Table

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
    least: str = ""
    """The zone of the class where its standard states a strength but no hardness; empty where there is none."""


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


def zone(zones: Table, hardness: Hardness) -> str:
    """The zone of a hardness on the ladder of the knowledge: the last one of which it passes a limit.

    `zones` has the columns zone, test (from, above; others are no matter of hardness), hrc, hv, tensile_mpa, the
    softest zone first. Each limit is tested in the scale of its document; where a standard prints several scales the
    harder zone counts. Raises UsageError when no hardness is given.

    >>> zones = Table("z", ("zone", "test", "hrc", "hv", "tensile_mpa"), (("H0", "from", 0.0, 0.0, 0.0),
    ...     ("H2", "from", 37.0, 360.0, None), ("H3", "above", 39.0, 390.0, None)))
    >>> zone(zones, Hardness(hrc=39)), zone(zones, Hardness(hv=391)), zone(zones, Hardness(hrc=39, hv=435))
    ('H2', 'H3', 'H3')
    """
    if all(v is None for v in hardness):
        raise UsageError(
            "the hardness of the part is not known; give a strength grade, or a hardness such as 38 or 385HV"
        )
    found = ""
    for row in zones.records():
        limits = (row["hrc"], row["hv"], row["tensile_mpa"])
        if any(_reaches(v, limit, str(row["test"])) for v, limit in zip(hardness, limits, strict=True)):
            found = str(row["zone"])
    return found


def _reaches(value: float | None, limit: Cell, test: str) -> bool:
    if value is None or not isinstance(limit, (int, float)):
        return False
    return value > limit if test == "above" else value >= limit


def order(zones: Table) -> tuple[str, ...]:
    """The zones from harmless to worst."""
    return tuple(str(z) for z in zones.column("zone"))


def hardest(zones: Table) -> str:
    """The last zone that a reading leads to."""
    return [str(r["zone"]) for r in zones.records() if r["hrc"] is not None][-1]


def zone_of(zones: Table, steel: Steel) -> str:
    """The zone of a part: that of its hardness, but not milder than that of its class.

    >>> ladder = Table("z", ("zone", "test", "hrc", "hv", "tensile_mpa"), (("H0", "from", 0.0, 0.0, 0.0),
    ...     ("H1", "above", 34.0, 335.0, None)))
    >>> zone_of(ladder, Steel(Hardness(tensile_mpa=1034), least="H1"))
    'H1'
    """
    found = zone(zones, steel.hardness)
    return max(found, steel.least, key=order(zones).index) if steel.least else found


def between_lines(zones: Table, hardness: Hardness) -> bool:
    """Whether a Vickers reading alone lies above a Rockwell C line in effect but not above the Vickers line beside it.

    39 HRC is about 382 HV: a reading above it, up to 390 HV, passes one document and not the other.
    """
    if hardness.hrc is not None or hardness.hv is None:
        return False
    lines = [(r["hrc_in_hv"], r["hv"]) for r in zones.records() if r["hrc_in_hv"] is not None]
    return any(_num(low) < hardness.hv <= _num(high) for low, high in lines)


def susceptibility(zones: Table, steel: Steel) -> str:
    """How the steel itself takes hydrogen at the upper end of its hardness: none, low, moderate or high.

    The column of the ladder; a hard case counts as its zone says, whatever the core.
    """
    where = zone_of(zones, steel) if _zone_by_kind(steel) is None else _zone_by_kind(steel)
    return next(str(r["susceptibility"]) for r in zones.records() if r["zone"] == where)


def _zone_by_kind(steel: Steel) -> str | None:
    """The zone of a steel of which not the hardness decides."""
    if steel.stainless == "austenitic":
        return IMMUNE
    return CASE if steel.case_hardened else None


IMMUNE, CASE = "NONE", "CASE"
"""The two zones of the ladder that no reading leads to: the metal does not take hydrogen; a hard case over a core."""


def state(zones: Table, steel: Steel) -> str:
    """The row of the verdict table for a steel: its zone, or set-screw, clamped, spring, hard-stainless.

    What is loaded in compression, bent, or stainless and hardened is judged by rows of its own once it is not soft. A
    reading between the lines takes the next zone: the only place where the scales are compared, to the safe side.
    """
    by_kind = _zone_by_kind(steel)
    if by_kind is not None:
        return by_kind
    where = zone_of(zones, steel)
    ladder = order(zones)
    risk = susceptibility(zones, steel)
    soft = where == softest(zones)
    if steel.product == "spring-washer":
        return "spring"
    if steel.stainless == "hardenable":
        return where if soft else "hard-stainless"
    if steel.product in COMPRESSED and not soft:
        if steel.product == "set-screw":
            return "set-screw" if risk == "high" else where
        return softest(zones) if risk == "low" else "clamped"
    return ladder[ladder.index(where) + 1] if between_lines(zones, steel.hardness) else where


def softest(zones: Table) -> str:
    """The zone of ordinary bolts: the first that a hardness leads to."""
    return next(str(r["zone"]) for r in zones.records() if r["hrc"] is not None)


def judge(verdicts: Table, bars: Table, grade: str, state_of_steel: str, process: str) -> Verdict:
    """The verdict on a process for the state of a steel (see `state`); the rule of a product standard goes first.

    `verdicts` has the columns steel, process, verdict, controls, document; `bars` grade, process, verdict, says,
    document. Raises UsageError for a process the table does not know.

    >>> columns = ("process", "verdict", "controls", "document")
    >>> v = Table("v", ("steel", *columns), (("H3", "hot-dipped", "forbidden", "above 40 HRC", "d"),))
    >>> barred = ("a490", "hot-dipped", "forbidden", "no", "e")
    >>> b = Table("b", ("grade", "process", "verdict", "says", "document"), (barred,))
    >>> judge(v, b, "a490", "H2", "hot-dipped").controls
    'no'
    """
    for row in bars.records():
        if row["grade"] == grade and row["process"] == process:
            return Verdict(str(row["verdict"]), str(row["says"]), str(row["document"]), True)
    for row in verdicts.records():
        if row["steel"] == state_of_steel and row["process"] == process:
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


def too_hard_for_the_sea(zones: Table, steel: Steel) -> bool:
    """Above 34 HRC or 335 HV: no zinc and no cathodic protection on it under water (subsea practice)."""
    return zone_of(zones, steel) != softest(zones)


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
