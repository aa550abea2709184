"""The schema for editors: in step with the model, short, satisfied by every shipped file, and it refuses what is
wrong."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from advisor.graph.json_schema import schema_text
from advisor.graph.source import read_file, strip_marks

LONGEST = 3000
SCHEMA: dict[str, Any] = json.loads(schema_text())
TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,),
    "array": (list,),
    "string": (str,),
    "boolean": (bool,),
    "number": (int, float),
    "integer": (int,),
}


def refused(schema: dict[str, Any], value: Any, where: str = "") -> list[str]:
    """Where a value does not satisfy a schema, by the words of JSON Schema that ours uses."""
    if "$ref" in schema:
        return refused(SCHEMA["$defs"][schema["$ref"].removeprefix("#/$defs/")], value, where)
    if "anyOf" in schema:
        return [] if any(not refused(s, value) for s in schema["anyOf"]) else [f"{where}: none of the shapes"]
    if "enum" in schema and value not in schema["enum"]:
        return [f"{where}: {value}"]
    if "type" in schema:
        kinds = TYPES[schema["type"]]
        if not isinstance(value, kinds) or (isinstance(value, bool) and bool not in kinds):
            return [f"{where}: {value!r} is no {schema['type']}"]
    out: list[str] = []
    if isinstance(value, str):
        out += [where] * (len(value) < schema.get("minLength", 0) or not re.search(schema.get("pattern", ""), value))
    elif isinstance(value, list):
        out += [where] * (not schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", 10**9))
        for n, x in enumerate(value):
            out += refused(schema.get("items", {}), x, f"{where}/{n}")
    elif isinstance(value, dict):
        out += [f"{where}: {k} is missing" for k in schema.get("required", ()) if k not in value]
        for key, x in value.items():
            out += refused(schema.get("propertyNames", {}), key, where)
            more = schema.get("additionalProperties", {})
            inner = schema.get("properties", {}).get(key, more)
            out += [f"{where}: {key}"] if inner is False else refused(inner, x, f"{where}/{key}")
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        out += [where] * (not schema.get("minimum", value) <= value <= schema.get("maximum", value))
    return out


def test_the_schema_is_in_step_with_the_model(knowledge: Path) -> None:
    shipped = (knowledge / "schema.json").read_text("utf-8")
    assert shipped == schema_text(), "run: advisor audit --schema knowledge/schema.json"
    assert shipped.count("\n") <= LONGEST


def test_every_shipped_file_satisfies_the_schema(knowledge: Path) -> None:
    for path in sorted(knowledge.rglob("*.yaml")):
        document, faults = read_file(path, path.name)
        assert document is not None
        assert not faults
        assert refused(SCHEMA, strip_marks(document), path.name) == []


@pytest.mark.parametrize(
    "wrong",
    [
        {"fakts": []},
        {"facts": [{"id": "a", "text": "x", "source": "s"}]},
        {"facts": [{"id": "A b", "text": "x", "source": "s", "basis": "practice"}]},
        {"facts": [{"id": "a", "text": "", "source": "s", "basis": "practice"}]},
        {"facts": [{"id": "a", "text": "x", "source": "s", "basis": "hearsay"}]},
        {
            "families": [
                {"id": "a", "name": "x", "material": "carbon-steel", "process": "none", "text": "x", "legacy": 1}
            ]
        },
        {"finishes": [{"id": "a", "name": "x", "family": "f", "figures": {"thickness": [{"value": 1}]}}]},
        {"finishes": [{"id": "a", "name": "x", "family": "f", "figures": {"thickness_um": {"value": [1, 2, 3]}}}]},
        {"slots": [{"id": "a", "name": "x", "type": "choice", "two_told": "both"}]},
    ],
    ids=str,
)
def test_the_schema_refuses_what_is_wrong(wrong: dict[str, Any]) -> None:
    assert refused(SCHEMA, wrong)
