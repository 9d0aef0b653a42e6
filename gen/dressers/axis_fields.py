"""Fields that name axes by their letters: lengths on those that move straight, degrees on A, B and C, which turn."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, TypeAlias

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler, WithJsonSchema
from pydantic_core import CoreSchema, core_schema

from gen.base.dataclass import dataclass
from gen.base.errors import listed, said
from gen.base.fields import FieldError
from gen.base.quantities import Quantity
from gen.plan.step import ROTARY

LETTERS = "XYZABCUVW"


@dataclass(frozen=True, slots=True)
class _OnAxis:
    """A value as read, with the axis it is for: the letter decides between mm and degrees."""

    letter: str
    raw: object

    def __str__(self) -> str:
        return str(self.raw)


def _placed(value: object, letter: str) -> object:
    match value:
        case dict():
            return {key: _placed(inner, letter) for key, inner in value.items()}
        case list() | tuple():
            return [_placed(inner, letter) for inner in value]
        case _:
            return _OnAxis(letter, value)


def by_axis(value: object) -> object:
    """Tells every value of a table with axis letters as keys which axis it is for."""
    if not isinstance(value, dict):
        return value
    return {letter: _placed(inner, str(letter)) for letter, inner in value.items()}


def each_by_axis(value: object) -> object:
    """Does :func:`by_axis` for every table of a list."""
    return [by_axis(one) for one in value] if isinstance(value, (list, tuple)) else value


@dataclass(frozen=True, slots=True)
class _AxisQuantity:
    """A field that reads ``linear`` or ``rotary``, as the axis it stands under moves or turns."""

    linear: Quantity
    rotary: Quantity

    def read(self, value: object) -> Decimal:
        if isinstance(value, _OnAxis):
            return (self.rotary if value.letter in ROTARY else self.linear).read(value.raw)
        return self.linear.read(value)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read, serialization=core_schema.plain_serializer_function_ser_schema(str, when_used="json")
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        both = self.linear, self.rotary
        return {"type": "string", "anyOf": [one.__get_pydantic_json_schema__(schema, handler) for one in both]}


Position: TypeAlias = Annotated[Decimal, _AxisQuantity(Quantity("length"), Quantity("angle"))]
Rate: TypeAlias = Annotated[Decimal, _AxisQuantity(Quantity("feed", above=0), Quantity("rotary_feed", above=0))]
Ramp: TypeAlias = Annotated[
    Decimal, _AxisQuantity(Quantity("acceleration", above=0), Quantity("rotary_acceleration", above=0))
]


def _letter(value: object) -> object:
    if value not in tuple(LETTERS):
        raise FieldError(f"read {said(value)}; an axis is one of the letters {listed(LETTERS)}.")
    return value


Letter: TypeAlias = Annotated[
    str, BeforeValidator(_letter), WithJsonSchema({"type": "string", "pattern": f"^[{LETTERS}]$"})
]
