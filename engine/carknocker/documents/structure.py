"""Entries of a fixed shape: pydantic's core checks them; problems come out in plain words at the place of the value."""

import re
from collections.abc import Callable, Mapping
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from msgspec import NODEFAULT, Struct
from msgspec.structs import replace
from pydantic_core import CoreSchema, SchemaValidator, ValidationError, core_schema

from carknocker.documents.node import Location, Node
from carknocker.documents.problems import Problem, ProblemList
from carknocker.documents.suggestions import nearest, some


class Structure(Struct, frozen=True, kw_only=True):
    """Base of the shapes that files may have: frozen, no unknown keys.

    A field's type is `str`, `bool`, a literal, a `Structure`, a tuple or a mapping of such, or one that says with
    `Accepts` what it takes. Whole pydantic models are not used: importing and building them is felt at every check.
    """


class Accepts:
    """Beside a type in `Annotated`: the schema by which pydantic's core checks a value of the type, and makes it."""

    def __init__(self, schema: CoreSchema) -> None:
        self.schema = schema

    @classmethod
    def before(cls, read: Callable[[Any], Any], schema: CoreSchema) -> "Accepts":
        """What `read` makes of the value, which then is checked by the schema. `read` raises ValueError."""
        return cls(core_schema.no_info_before_validator_function(read, schema))

    @classmethod
    def made_by(cls, read: Callable[[Any], Any]) -> "Accepts":
        """What `read` makes of the value. `read` raises ValueError."""
        return cls(core_schema.no_info_plain_validator_function(read))


_CHOICE = re.compile(r"'([^']*)'")
StructureType = TypeVar("StructureType", bound=Structure)


def keys_of(model: type[Structure]) -> tuple[str, ...]:
    """The keys that an entry of this shape may have, as files write them."""
    return model.__struct_encode_fields__


def types_of(model: type[Structure]) -> dict[str, Any]:
    """The types of an entry's values by their keys."""
    annotations = model.__annotations__
    return {key: annotations[name] for key, name in zip(keys_of(model), model.__struct_fields__, strict=True)}


def needed_keys(model: type[Structure]) -> tuple[str, ...]:
    """The keys that an entry of this shape must have."""
    keys, defaults = keys_of(model), model.__struct_defaults__  # of the last keys: the first may have none
    first = len(keys) - len(defaults)
    return (*keys[:first], *(key for key, default in zip(keys[first:], defaults, strict=True) if default is NODEFAULT))


@cache
def _checked_by(model: type[Structure]) -> SchemaValidator:
    return SchemaValidator(_entry_schema(model))


def _entry_schema(model: type[Structure]) -> CoreSchema:
    needed = needed_keys(model)
    names = dict(zip(keys_of(model), model.__struct_fields__, strict=True))
    fields = {
        names[key]: core_schema.typed_dict_field(schema_of(kind), required=key in needed, validation_alias=key)
        for key, kind in types_of(model).items()
    }
    return core_schema.no_info_after_validator_function(
        lambda found: model(**found), core_schema.typed_dict_schema(fields, extra_behavior="forbid")
    )


_PLAIN: Mapping[Any, CoreSchema] = {str: core_schema.str_schema(), bool: core_schema.bool_schema()}


def schema_of(kind: Any) -> CoreSchema:
    """What pydantic's core checks a field of this type with. Raises TypeError for a type that no field may have."""
    origin, arguments = get_origin(kind), get_args(kind)
    if kind in _PLAIN:
        return _PLAIN[kind]
    if origin is Annotated:
        said = next((one.schema for one in arguments[1:] if isinstance(one, Accepts)), None)
        return schema_of(arguments[0]) if said is None else said
    if origin in (Union, UnionType) and len(arguments) == 2 and arguments[1] is type(None):
        return core_schema.nullable_schema(schema_of(arguments[0]))
    if origin is Literal:
        return core_schema.literal_schema(list(arguments))
    if origin is tuple:
        return core_schema.tuple_variable_schema(schema_of(arguments[0]))
    if origin in (dict, Mapping):
        return core_schema.dict_schema(core_schema.str_schema(), schema_of(arguments[1]))
    if isinstance(kind, type) and issubclass(kind, Structure):
        return _entry_schema(kind)
    raise TypeError(f"no field of a structure is a {kind}")


def problem_at(place: Node | Location, found: str, expected: str = "", nearest: str = "", remedy: str = "") -> Problem:
    """A problem at a node or a place."""
    where = place.where if isinstance(place, Node) else place
    return Problem(where, found, expected, nearest, remedy)


def read_as(node: Node, model: type[StructureType], problems: ProblemList) -> StructureType | None:
    """The node as a `model`, or None with each thing wrong noted at its own place."""
    if node.kind != "mapping":
        problems.add(problem_at(node, node.describe(), f"a mapping with the keys {some(keys_of(model))}"))
        return None
    plain = {key: value for key, value in node.plain().items() if value is not None}
    try:
        read: StructureType = _checked_by(model).validate_python(plain)
    except ValidationError as error:
        for detail in error.errors(include_url=False, include_context=True):
            problems.add(_translate(node, model, dict(detail)))
        return None
    return read


def _translate(node: Node, model: type[Structure], detail: dict[str, Any]) -> Problem:
    path = [part for part in detail["loc"] if isinstance(part, (str, int))]
    place, key_where, last = _walk(node, path)
    kind = str(detail["type"])
    if kind == "missing":
        key = str(path[-1])
        return replace(problem_at(place, f"the key `{key}` is missing", f"`{key}: …` here"), lacks=key)
    if kind == "extra_forbidden":
        inner = _inner_model(model, path[:-1])
        known = () if inner is None else keys_of(inner)
        return Problem(
            key_where, f"the key `{last[:60]}`", f"one of {some(known)}" if known else "no such key here",
            nearest(last, known), "correct the key, or take it out",
        )  # fmt: skip
    found = place.describe()
    word = _EXPECTED.get(kind)
    context = detail.get("ctx") or {}
    if kind == "literal_error":
        choices = [choice for choice in _CHOICE.findall(str(context.get("expected", ""))) if choice]
        return problem_at(place, found, f"one of {some(choices)}", nearest(place.text, choices))
    if kind == "value_error" and isinstance(context.get("error"), Exception):
        error = context["error"]
        return problem_at(
            place, getattr(error, "found", str(error)), getattr(error, "expected", ""),
            getattr(error, "nearest", ""), getattr(error, "remedy", ""),
        )  # fmt: skip
    return problem_at(place, found, word(context) if word else "a value of another form")


_EXPECTED: dict[str, Callable[[dict[str, Any]], str]] = {
    "string_type": lambda context: "a text",
    "string_too_long": lambda context: f"a text of at most {context.get('max_length'):,} characters",
    "string_too_short": lambda context: "a text that is not empty",
    "string_pattern_mismatch": lambda context: "a text of the agreed form",
    "int_parsing": lambda context: "a whole number",
    "int_type": lambda context: "a whole number",
    "int_from_float": lambda context: "a whole number",
    "greater_than_equal": lambda context: f"at least {context.get('ge')}",
    "greater_than": lambda context: f"more than {context.get('gt')}",
    "less_than_equal": lambda context: f"at most {context.get('le')}",
    "bool_parsing": lambda context: "yes or no",
    "bool_type": lambda context: "yes or no",
    "date_from_datetime_parsing": lambda context: "a day such as 2026-09-12",
    "date_parsing": lambda context: "a day such as 2026-09-12",
    "date_type": lambda context: "a day such as 2026-09-12",
    "list_type": lambda context: "a list",
    "tuple_type": lambda context: "a list",
    "dict_type": lambda context: "a mapping",
    "model_type": lambda context: "a mapping",
}


def _walk(node: Node, path: list[str | int]) -> tuple[Node, Location, str]:
    """The deepest node on the path that exists, the place of the last key, and that key."""
    where, last = node.where, ""
    for part in path:
        last = str(part)
        if node.kind == "mapping" and isinstance(part, str):
            child = node.get(part)
            if child is None:
                break
            where = node.key_where(part)
            node = child
        elif node.kind == "sequence" and isinstance(part, int) and part < len(node.nodes):
            node = node.nodes[part]
            where = node.where
        else:
            break
    return node, where, last


def _inner_model(model: type[Structure], path: list[str | int]) -> type[Structure] | None:
    """The shape of the mapping at a path inside a shape; None where there is none."""
    kind: Any = model
    for part in path:
        kind = _without_none(kind)
        if isinstance(kind, type) and issubclass(kind, Structure):
            kind = types_of(kind).get(str(part))
        else:
            kind = get_args(kind)[0 if get_origin(kind) is tuple else 1] if len(get_args(kind)) > 1 else None
    kind = _without_none(kind)
    return kind if isinstance(kind, type) and issubclass(kind, Structure) else None


def _without_none(kind: Any) -> Any:
    """The type beside None in a type that may be None, without what it accepts besides."""
    bare = get_args(kind)[0] if get_origin(kind) in (Union, UnionType) else kind
    inner = get_args(bare)[0] if get_origin(bare) is Annotated else bare
    return inner if isinstance(inner, type) and issubclass(inner, Structure) else bare
