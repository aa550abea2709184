"""Makes the typed nodes from their compiled records, each when somebody asks for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from advisor.graph.nodes import (
    NOTHING,
    Action,
    AnswerOption,
    Assumption,
    Bare,
    Decision,
    Designation,
    Figure,
    Finish,
    Group,
    Published,
    Rule,
    SizeRange,
    Slot,
    Strength,
)
from advisor.graph.nodes_of_use import Application, Band, Cause, Chemical, Evidence, Hazard, Offer, Supply
from advisor.graph.nodes_of_words import Code, Step, Term

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, TypeVar

    Record = Mapping[str, Any]
    """A node as it stands in the compiled file."""
    N = TypeVar("N")


class Nodes(Mapping[str, "N"]):
    """All nodes of one kind by id; each is made when it is first asked for, and kept."""

    def __init__(self, records: Mapping[str, Record], make: Callable[[Record], N]) -> None:
        self._records = records
        self._make = make
        self._made: dict[str, N] = {}

    def __getitem__(self, node_id: str) -> N:
        held = self._made.get(node_id)
        if held is None:
            held = self._made[node_id] = self._make(self._records[node_id])
        return held

    def __contains__(self, node_id: object) -> bool:
        return node_id in self._records

    def __iter__(self) -> Iterator[str]:
        return iter(self._records)

    def __len__(self) -> int:
        return len(self._records)


def _fields(shape: Any, record: Record, as_written: tuple[str, ...] = ()) -> dict[str, Any]:
    """The fields of a shape out of a record, lists as tuples except those that are kept as written."""
    out = {}
    for name in shape._fields:
        if name in record:
            value = record[name]
            out[name] = tuple(value) if isinstance(value, list) and name not in as_written else value
    return out


def plain(shape: Callable[..., N]) -> Callable[[Record], N]:
    """A maker for shapes whose fields stand in the record as they are."""
    return lambda record: shape(**_fields(shape, record))


def finish(record: Record) -> Finish:
    """A finish with its figures and designations."""
    fields = _fields(Finish, record)
    fields["designations"] = tuple(Designation(**d) for d in record.get("designations", ()))
    fields["figures"] = {q: figures(q, entries) for q, entries in record.get("figures", {}).items()}
    return Finish(**fields)


def figures(quantity: str, entries: list[list[Any]]) -> tuple[Figure, ...]:
    """The figures of one quantity from their compiled rows [fact, low, high, text, unit, when, basis]."""
    return tuple(
        Figure(quantity, low, high, text, unit, when, basis, cite)
        for cite, low, high, text, unit, when, basis in entries
    )


def group(record: Record) -> Group:
    """A set of finishes."""
    return Group(**_fields(Group, record), leaving_out=tuple(record.get("except", ())))


def slot(record: Record) -> Slot:
    """A slot with how it is read; one whose values have opposites may be denied, a worked-out one is not settable."""
    fields = _fields(Slot, record)
    if "bare" in record:
        fields["bare"] = Bare(**_fields(Bare, record["bare"]))
    fields["may_be_denied"] = record.get("may_be_denied", False) or "denial" in record
    fields["settable"] = record.get("settable", not record.get("derived", False))
    return Slot(**fields)


def strength(record: Record) -> Strength:
    """A strength class with its ranges of size."""
    fields = _fields(Strength, record)
    fields["by_size"] = tuple(SizeRange(**_fields(SizeRange, r)) for r in record.get("by_size", ()))
    return Strength(**fields)


def rule(record: Record) -> Rule:
    """A rule with its actions."""
    fields = _fields(Rule, record, ("when",))
    fields["then"] = tuple(action(a) for a in record["then"])
    return Rule(**fields)


def action(record: Record) -> Action:
    """One action of a rule."""
    return Action(**_fields(Action, record, ("value", "unless")), only_if=record.get("if"))


def code(record: Record) -> Code:
    """A code with the steps of reading it."""
    fields = _fields(Code, record)
    fields["steps"] = tuple(Step(**s) for s in record.get("steps", ()))
    return Code(**fields)


def decision(record: Record) -> Decision:
    """A question with its options; the values of options and assumption stay as written."""
    fields = _fields(Decision, record, ("relevant",))
    fields["options"] = tuple(
        AnswerOption(o["id"], o["text"], o["value"], o.get("only_with", NOTHING), o.get("not_with", NOTHING))
        for o in record["options"]
    )
    if "assume" in record:
        fields["assume"] = Assumption(**_fields(Assumption, record["assume"], ("value",)))
    return Decision(**fields)


def term(record: Record) -> Term:
    """A term; its value stays as written."""
    return Term(**_fields(Term, record, ("value",)))


def table(record: Record) -> Published:
    """A table with its rows as tuples."""
    return Published(**{**_fields(Published, record), "rows": tuple(tuple(r) for r in record["rows"])})


def _several(record: Record, name: str) -> tuple[str, ...]:
    """The values of a field that holds one or a list."""
    value = record.get(name, ())
    return (value,) if isinstance(value, str) else tuple(value)


def application(record: Record) -> Application:
    """A thing that fasteners hold."""
    return Application(**{**_fields(Application, record), "circumstance": _several(record, "circumstance")})


def offer(record: Record) -> Offer:
    """What is made and sold, with its range of diameters."""
    fields = _fields(Offer, record)
    fields.update({name: _several(record, name) for name in ("part", "market")}, **record.get("size", {}))
    return Offer(**fields)


def supply(record: Record) -> Supply:
    """What a branch has or can get, with its range of diameters."""
    fields = _fields(Supply, record)
    fields.update({"part": _several(record, "part"), **record.get("size", {})})
    return Supply(**fields)


def chemical(record: Record) -> Chemical:
    """A substance with its dangers and bands."""
    fields = _fields(Chemical, record)
    fields["hazards"] = tuple(Hazard(**_fields(Hazard, h)) for h in record.get("hazards", ()))
    fields["bands"] = tuple(Band(**_fields(Band, b)) for b in record.get("bands", ()))
    return Chemical(**fields)


def cause(record: Record) -> Cause:
    """A cause with its evidence."""
    fields = _fields(Cause, record)
    for side in ("for", "against"):
        fields["speaks_" + side] = tuple(Evidence(**_fields(Evidence, e, ("when",))) for e in record.get(side, ()))
    return Cause(**{**fields, "next": _several(record, "next")})
