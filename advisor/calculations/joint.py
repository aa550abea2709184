"""The joint that is tightened: thread, class, bearing face, friction of the finish, scatter, structural pretension."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.strengths import Grade, grade_at
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple
from advisor.trade.sizes import Thread, read_size
from advisor.trade.tables import Cell
from advisor.trade.tightening import alpha_from_scatter, k_from_friction, mean_bearing_diameter

Three = tuple[float, float, float]

HEADS = ("hex", "heavy-hex", "socket", "flange")


class Joint(NamedTuple):
    """Thread and class of a bolt with the mean bearing diameter under its head in mm (None where no face is known)."""

    thread: Thread
    grade: Grade
    head: str
    bearing_mm: float | None
    face_basis: str

    @property
    def stainless(self) -> bool:
        """Whether the bolt itself is of stainless steel."""
        return bool(self.grade.node["material"] == "stainless-steel")

    def need_bearing(self) -> float:
        """The mean bearing diameter in mm; UsageError where no bearing face is known for the size."""
        if self.bearing_mm is None:
            raise UsageError(
                f"no bearing face is known for {self.thread.size} with a {self.head} head; give --k instead of friction"
            )
        return self.bearing_mm

    def proof_from_yield(self) -> tuple[float, float]:
        """Proof stress in MPa where none is stated, and its share of the yield: all for stainless, else 85 %."""
        if self.grade.yield_mpa is None:
            raise UsageError(f"{self.grade.name} states no proof stress and no yield, so no preload can be set from it")
        share = 1.0 if self.stainless else 0.85
        return (share * self.grade.yield_mpa, share)


class Friction(NamedTuple):
    """Friction from low to high: K, the pairs (thread, head), None when only K is known, and what is cited."""

    finish: str
    k: Three
    mu: tuple[tuple[float, float], tuple[float, float], tuple[float, float]] | None
    cites: tuple[str, ...]
    given_as_k: bool

    @property
    def k_only(self) -> bool:
        """Whether nothing but K is known."""
        return self.mu is None


class Method(NamedTuple):
    """A tightening method with its factor, greatest over smallest preload."""

    id: str
    name: str
    alpha_low: float
    alpha_high: float


class Pretension(NamedTuple):
    """A tabulated structural pretension in kN."""

    kn: float
    table: str
    structural: bool
    seen_in: str


def read_joint(base: Base, given: Mapping[str, str]) -> Joint:
    """The joint that `size`, `strength` and `head` describe; UsageError when one is missing or unknown."""
    for key, example in (("size", "M10 or 3/8-16"), ("strength", "8.8 or gr5")):
        if key not in given:
            raise UsageError(f"the {key} is missing; give --{key}, e.g. {example}")
    thread = read_size(base.table("thread-sizes"), given["size"])
    grade = grade_at(base, given["strength"], thread.diameter_mm)
    if grade.node["product"] in ("nut", "washer", "set-screw", "spring-washer"):
        raise UsageError(f"{grade.name} is no bolt; a preload is set by the strength class of the bolt, e.g. 8.8")
    inch_structural = bool(grade.node.get("structural")) and thread.system == "inch"
    head = given.get("head", "heavy-hex" if inch_structural else "hex").lower()
    if head not in HEADS:
        raise UsageError(f"'{head}' is not a head the tables know; choose {', '.join(HEADS)}")
    bearing, basis = None, ""
    wanted = [head, "heavy-hex"] if head == "hex" and thread.system == "inch" else [head]
    for kind in wanted:
        for row in base.table("bearing-faces").records():
            if row["head"] == kind and abs(_number(row["diameter_mm"]) - thread.diameter_mm) < 1e-2 and bearing is None:
                bearing = mean_bearing_diameter(_number(row["face_mm"]), _number(row["hole_mm"]))
                basis = str(row["basis"])
    return Joint(thread, grade, head, bearing, basis)


def friction_of_finish(base: Base, finish_id: str, joint: Joint) -> Friction:
    """Friction and K of a finish, low, typical and high.

    The first friction figure of the finish is its range, one marked typical its typical value (the middle without
    one); bare stainless counts as with anti-seize. K follows from the size. Without a bearing face the K figures
    of the finish serve as they stand.
    """
    mu, cites = _span(base, finish_id, "friction")
    if mu is None or (_stainless(base, finish_id) and not base.finish(finish_id).get("lubricated")):
        # dry stainless seizes before it is tight: its order asks for anti-seize, and that is what is counted
        lubricated, of = _by_family(base, finish_id, ("mu_low", "mu_typical", "mu_high"))
        mu, cites = (mu, cites) if lubricated is None else (lubricated, of)
    if mu is not None and joint.bearing_mm is not None:
        k = [k_from_friction(joint.thread, m, m, joint.bearing_mm) for m in mu]
        pairs = ((mu[0], mu[0]), (mu[1], mu[1]), (mu[2], mu[2]))
        return Friction(finish_id, (k[0], k[1], k[2]), pairs, cites, False)
    known, cites = _span(base, finish_id, "k_factor")
    if known is None:
        known, cites = _by_family(base, finish_id, ("k_low", "k_typical", "k_high"))
    if known is None:
        raise UsageError(f"no friction is known for '{finish_id}'; give --mu-thread and --mu-head, or --k")
    return Friction(finish_id, known, None, cites, False)


def _span(base: Base, finish_id: str, quantity: str) -> tuple[Three | None, tuple[str, ...]]:
    """Low, typical and high of a quantity of a finish, and the facts they come from."""
    figures = [f for f in base.figures(finish_id, quantity) if f.low is not None and f.high is not None]
    if not figures:
        return None, ()
    low, high = _number(figures[0].low), _number(figures[0].high)
    for f in figures[1:]:
        if "typical" in f.when.lower() and low <= _number(f.low) <= high:
            return (low, _number(f.low), high), (figures[0].cite, f.cite)
    return (low, (low + high) / 2, high), (figures[0].cite,)


STAINLESS = "stainless"
"""The row of the friction table for all stainless steels."""


def _stainless(base: Base, finish_id: str) -> bool:
    """Whether a finish is stainless steel itself."""
    return bool(base.finish(finish_id)["material"] == "stainless-steel")


def _by_family(base: Base, finish_id: str, columns: tuple[str, str, str]) -> tuple[Three | None, tuple[str, ...]]:
    key = STAINLESS if _stainless(base, finish_id) else str(base.finish(finish_id)["family"])
    for row in base.table("friction-by-finish").records():
        if row["family"] == key:
            low, typical, high = (_number(row[c]) for c in columns)
            return (low, typical, high), ("friction-by-finish",)
    return None, ()


def scatter_of(base: Base, method: str) -> Method:
    """A tightening method by its name; UsageError lists the known ones."""
    table = base.table("tightening-scatter")
    for row in table.records():
        if row["method"] == method.strip().lower().replace(" ", "-"):
            if row["alpha_low"] is None:
                alpha = alpha_from_scatter(_number(row["scatter"]))
                return Method(str(row["method"]), str(row["name"]), alpha, alpha)
            return Method(str(row["method"]), str(row["name"]), _number(row["alpha_low"]), _number(row["alpha_high"]))
    known = ", ".join(str(m) for m in table.column("method"))
    raise UsageError(f"'{method}' is not a tightening method of the tables; choose {known}")


def pretension(base: Base, joint: Joint) -> Pretension | None:
    """The tabulated structural pretension for the class and size, None where there is none."""
    grade = {"f1852": "a325", "f2280": "a490"}.get(joint.grade.id, joint.grade.id)
    for row in base.table("pretension-structural").records():
        same = abs(_number(row["diameter_mm"]) - joint.thread.diameter_mm) < 1e-2
        if row["grade"] == grade and row["system"] == joint.thread.system and same:
            return Pretension(_number(row["kn"]), "pretension-structural", True, str(row["seen_in"]))
    column = {"8.8": "kn_8_8", "10.9": "kn_10_9"}.get(joint.grade.id)
    if column is not None and joint.thread.series == "coarse":
        for row in base.table("pretension-european").records():
            if row["diameter_mm"] == joint.thread.diameter_mm and row[column] is not None:
                return Pretension(_number(row[column]), "pretension-european", False, "EN 1090-2")
    return None


def _number(cell: Cell) -> float:
    assert isinstance(cell, (int, float))
    return float(cell)
