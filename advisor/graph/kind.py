"""One kind of node: its key in the files, what it is, the fields it may carry."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.schema import Str, Struct, Type
from advisor.records import NamedTuple


class Kind(NamedTuple):
    """One node kind: its key in the files (plural), what it is, its fields."""

    name: str
    key: str
    purpose: str
    fields: Mapping[str, Type]
    required: tuple[str, ...]

    @property
    def type(self) -> Struct:
        return Struct({"id": Str(slug=True), **self.fields}, required=("id", *self.required))


def kind(name: str, key: str, purpose: str, required: tuple[str, ...], /, **fields: Type) -> Kind:
    """A kind written like a form: its name, key, purpose, what must be there, then every field with its type."""
    return Kind(name, key, purpose, fields, required)
