"""A shape says what an object in JSON holds: each field with its kind, what it means and where it is from.

The object that is written and the schema that describes it are both made from the shape, so neither says what the other does not.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from operator import attrgetter
from typing import Any, Generic, TypeVar

Schema = dict[str, Any]
Thing = TypeVar("Thing")


@dataclass(frozen=True)
class Kind:
    """What a value is: its JSON schema, how it is made from what the program holds, and the shapes that stand in it."""

    schema: Schema
    made: Callable[[Any], object] = lambda value: value
    shapes: "tuple[Shape[Any], ...]" = ()

    def or_null(self) -> "Kind":
        """The same, or null where it is not known or not defined."""
        schema: Schema = {"anyOf": [self.schema, {"type": "null"}]}
        if self.schema.keys() <= {"type", "format", "pattern"}:
            schema = {**self.schema, "type": [self.schema["type"], "null"]}
        return Kind(schema, lambda value: None if value is None else self.made(value), self.shapes)


@dataclass(frozen=True)
class Field(Generic[Thing]):
    """One field: its name, its kind, what it means, and where it is from; as a rule from what is called the same."""

    name: str
    kind: "Kind | Shape[Any]"
    means: str
    of: Callable[[Thing], object] | None = None

    def made(self, thing: Thing) -> object:
        return _kind(self.kind).made((self.of or attrgetter(self.name))(thing))


@dataclass(frozen=True)
class Shape(Generic[Thing]):
    """An object in JSON: the fields it always has, in order, and no others. `name` is what the schema calls it."""

    name: str
    means: str
    fields: tuple[Field[Thing], ...]

    def made(self, thing: Thing) -> dict[str, object]:
        return {field.name: field.made(thing) for field in self.fields}

    def or_null(self) -> Kind:
        return _kind(self).or_null()

    @property
    def schema(self) -> Schema:
        parts = {field.name: {"description": field.means, **_kind(field.kind).schema} for field in self.fields}
        return {"description": self.means, **_closed(parts)}


def schemas(shapes: Iterable[Shape[Any]]) -> dict[str, Schema]:
    """The schema of every shape and of all that stand in it, by name."""
    return {shape.name: shape.schema for top in shapes for shape in _within(top)}


def _within(shape: Shape[Any]) -> Iterator[Shape[Any]]:
    yield shape
    for field in shape.fields:
        for inner in _kind(field.kind).shapes:
            yield from _within(inner)


def _kind(kind: Kind | Shape[Any]) -> Kind:
    return Kind({"$ref": f"#/$defs/{kind.name}"}, kind.made, (kind,)) if isinstance(kind, Shape) else kind


def _closed(parts: Mapping[str, Schema]) -> Schema:
    """An object with just these parts."""
    return {"type": "object", "properties": dict(parts), "required": list(parts), "additionalProperties": False}


TEXT, NUMBER, WHOLE, YES = (Kind({"type": name}) for name in ("string", "number", "integer", "boolean"))
DAY = Kind({"type": "string", "format": "date"}, lambda day: day.isoformat())
# The farm's own time: no offset is known.
MOMENT = Kind({"type": "string", "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?$"}, lambda moment: moment.isoformat())
# Where it is written, as a spreadsheet names a cell: "Lambs!C5".
CELLS = Kind({"type": "array", "items": {"type": "string"}}, lambda cells: [str(cell) for cell in cells])


def word(words: Iterable[str]) -> Kind:
    """One of some words."""
    return Kind({"type": "string", "enum": list(words)})


def always(value: object) -> Kind:
    """One value and no other."""
    return Kind({"const": value})


def each(kind: Kind | Shape[Any]) -> Kind:
    """A list of them."""
    one = _kind(kind)
    return Kind({"type": "array", "items": one.schema}, lambda values: [one.made(value) for value in values], one.shapes)


def by_name(kind: Kind | Shape[Any], names: Mapping[str, str] | None = None) -> Kind:
    """An object of values by name: `names` and what each means, where no other can be."""
    one = _kind(kind)

    def made(values: Mapping[object, object]) -> dict[str, object]:
        return {str(name): one.made(value) for name, value in values.items()}

    if names is None:
        return Kind({"type": "object", "additionalProperties": one.schema}, made, one.shapes)
    return Kind(_closed({name: {"description": means, **one.schema} for name, means in names.items()}), made, one.shapes)
