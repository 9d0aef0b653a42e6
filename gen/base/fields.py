"""What the tables of machine and recipe files are made of, besides quantities."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any, TypeAlias

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    PlainSerializer,
    PlainValidator,
    TypeAdapter,
    ValidationError,
    ValidatorFunctionWrapHandler,
    WithJsonSchema,
)
from pydantic_core import CoreSchema, core_schema

from gen.base.dataclass import dataclass
from gen.base.errors import said
from gen.base.quantities import plain


class FieldError(ValueError):
    """A value that its field cannot take; ``str()`` is a sentence."""


class Part(BaseModel):
    """A table of a file: unknown keys are refused, values do not change."""

    # most tables are only ever read inside another, and need no validator of their own; a file of many tables does
    # without ``from __future__ import annotations``, as pydantic compiles an annotation that is text
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


# what makes the default of a key with a table or a list; pydantic looks at the signature of each such function, and for
# those of ``dict`` and ``list`` Python would load its tokenizer
def no_table() -> dict[Any, Any]:
    """An empty table."""
    return {}


def no_list() -> list[Any]:
    """An empty list."""
    return []


@dataclass(frozen=True, slots=True)
class OneOrMany:
    """Makes a field of ``tuple[T, ...]`` read one T, which is ``one``, as well as a list of them."""

    one: Any

    def read(self, value: Any, many: ValidatorFunctionWrapHandler) -> Any:
        if isinstance(value, (list, tuple)):
            return many(value)
        try:
            return many([value])
        except ValidationError:
            # what is wrong with it is told without a place in a list
            return (TypeAdapter(self.one).validate_python(value),)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_wrap_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        many = handler(schema)
        # a list or else one: an editor then tells of the one that is meant, rather than that neither fits
        return {"if": {"type": "array"}, "then": many, "else": many["items"]}


def one_line(most: int) -> Callable[[object], object]:
    """A validator: text without line breaks or control characters, 1 to ``most`` characters, ends stripped."""

    def check(value: object) -> object:
        if not isinstance(value, str):
            return value
        text = value.strip()
        if not text:
            raise FieldError("read an empty text; at least one character is wanted.")
        if not text.isprintable():
            strange = next(character for character in text if not character.isprintable())
            raise FieldError(
                f"the text holds a line break or another character that cannot be printed (U+{ord(strange):04X}); "
                "write it on one line, without it."
            )
        if len(text) > most:
            raise FieldError(f"read {said(text)}, {len(text)} characters long; at most {most} are possible.")
        return text

    return check


Text: TypeAlias = Annotated[str, BeforeValidator(one_line(120))]
ShortText: TypeAlias = Annotated[str, BeforeValidator(one_line(12))]
RelativePath: TypeAlias = Annotated[str, BeforeValidator(one_line(400))]
Flag: TypeAlias = Annotated[bool, Field(strict=True)]
Whole: TypeAlias = Annotated[int, Field(strict=True)]


def _number(value: object) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
        raise FieldError(f"read {said(value)}; a number is wanted, without quotes and without a unit.")
    read = said(value)
    number = Decimal(value if isinstance(value, (int, Decimal)) else str(value))
    if not number.is_finite():
        raise FieldError(f"read {read}, which is not a finite number.")
    if not 0 < number <= 1_000_000:
        raise FieldError(f"read {read}; a number of more than 0 and at most 1000000 is wanted here.")
    if number != number.quantize(Decimal("1e-6")):
        raise FieldError(f"read {read}; at most 6 decimals are possible.")
    return number


def _written(value: Decimal) -> float:
    return float(plain(value, 6))


Number: TypeAlias = Annotated[
    Decimal,
    PlainValidator(_number),
    PlainSerializer(_written, when_used="json"),
    WithJsonSchema({"type": "number", "exclusiveMinimum": 0, "maximum": 1_000_000}),
]
"""A plain number without a unit, exact: more than 0, at most a million, at most six decimals."""


def ordered(pair: tuple[Any, Any]) -> tuple[Any, Any]:
    """``pair``, if its first value is not larger than its second."""
    if pair[0] > pair[1]:
        raise FieldError("the first value is larger than the second; write the smaller one first.")
    return pair


def rising(pair: tuple[Any, Any]) -> tuple[Any, Any]:
    """``pair``, if its first value is smaller than its second."""
    if ordered(pair)[0] == pair[1]:
        raise FieldError("both values are the same; the first must be smaller than the second.")
    return pair


ORDERED = AfterValidator(ordered)
RISING = AfterValidator(rising)


def _code(value: object) -> str | int | bool:
    if isinstance(value, str):
        return str(one_line(40)(value)) if value.strip() else ""
    if isinstance(value, int) and abs(value) < 10**9:
        return value
    raise FieldError(f'read {said(value)}; a code is a word in quotes such as "M8", a whole number, true or false.')


NamedWord: TypeAlias = Annotated[
    str | int | bool, PlainValidator(_code), WithJsonSchema({"type": ["string", "integer", "boolean"]})
]
"""A word or setting that stands in for a control's own; its meaning is the control's affair. Empty: there is none."""
