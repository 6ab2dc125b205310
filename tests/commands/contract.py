"""The contract of every command's JSON (`schemas`), and what of it a document has made true."""

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator
from referencing import Registry, Resource

__all__ = ["SCHEMAS", "declared", "occurred", "part_of", "validate"]

SCHEMAS: dict[str, Any] = {
    path.stem: json.loads(path.read_text(encoding="utf-8"))
    for path in sorted((Path(__file__).parent / "schemas").glob("*.json"))
}
_REGISTRY: Registry[Any] = Registry().with_resources(
    (schema["$id"], Resource.from_contents(schema)) for schema in SCHEMAS.values()
)

Key = tuple[str, str]
"""A property of a schema: where the schema stands ("judge.json#/$defs/x"), and its name."""


def validate(name: str, document: Any) -> None:
    """Raise ValidationError unless the document is as its schema says."""
    _validator(f"{name}.json#").validate(document)


def declared(place: str) -> set[Key]:
    """Every property that the schema at a place has, without those that it refers to."""
    return set(_declared(place, part_of(place)))


def _declared(place: str, schema: Any) -> Iterator[Key]:
    if isinstance(schema, list):
        for number, part in enumerate(schema):
            yield from _declared(f"{place}/{number}", part)
    elif isinstance(schema, dict):
        yield from ((place, key) for key in schema.get("properties", {}))
        for name, part in schema.items():
            if name == "properties":  # a property may be called like a keyword
                for key, value in part.items():
                    yield from _declared(f"{place}/properties/{key}", value)
            else:
                yield from _declared(f"{place}/{name}", part)


def occurred(name: str, document: Any) -> set[Key]:
    """The properties, of this schema and of those that it refers to, that a valid document has."""
    return set(_occurred(f"{name}.json#", document))


def _occurred(place: str, value: Any) -> Iterator[Key]:
    schema = part_of(place)
    if "$ref" in schema:
        yield from _occurred(_target(place, schema["$ref"]), value)
    for word in ("anyOf", "oneOf"):
        branches = (f"{place}/{word}/{n}" for n in range(len(schema.get(word, ()))))
        fitting = next((b for b in branches if _validator(b).is_valid(value)), None)
        if fitting:
            yield from _occurred(fitting, value)
    if isinstance(value, list) and "items" in schema:
        for item in value:
            yield from _occurred(f"{place}/items", item)
    if isinstance(value, dict):
        for key, part in value.items():
            if key in schema.get("properties", {}):
                yield place, key
                yield from _occurred(f"{place}/properties/{key}", part)


def part_of(place: str) -> Any:
    """The part of a schema at a place such as "values.json#/$defs/verdict"."""
    file, _, pointer = place.partition("#")
    part = SCHEMAS[file.removesuffix(".json")]
    for step in pointer.split("/")[1:]:
        part = part[int(step) if isinstance(part, list) else step]
    return part


def _target(place: str, reference: str) -> str:
    file, _, pointer = reference.partition("#")
    return f"{file or place.partition('#')[0]}#{pointer}"


@cache
def _validator(place: str) -> Draft202012Validator:
    return Draft202012Validator({"$ref": place}, registry=_REGISTRY)
