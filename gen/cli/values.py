"""What stands behind an option: a quantity with its unit, a number, a file."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from gen.base.quantities import Dimension, System

    Decimals = click.ParamType[Decimal]
    ListsOfDecimals = click.ParamType[tuple[Decimal, ...]]
else:
    # older versions of the library have it without a type in brackets
    Decimals = ListsOfDecimals = click.ParamType

a_file = click.Path(path_type=Path)


class QuantityType(Decimals):
    """A quantity with its unit, such as ``"20 m/s"``; ``bare`` allows a number alone."""

    def __init__(self, dimension: Dimension, *, bare: bool = False) -> None:
        self.dimension = dimension
        self.bare = bare
        self.name = dimension

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        from gen.base.quantities import QuantityError, parse, system_of, unit

        if isinstance(value, Decimal):
            return value
        text = str(value)
        if self.bare and text.strip().lstrip("+-").replace(".", "", 1).isdigit():
            text = f"{text} {unit(self.dimension)}"
        try:
            quantity = parse(text, self.dimension)
        except QuantityError as error:
            self.fail(str(error), param, ctx)
        if ctx is not None:
            ctx.meta.setdefault(_ASKED, set()).add(system_of(text))
        return quantity


_ASKED = "dressblock.asked"


def asked_system() -> System:
    """The units in which the command was asked: inch where any quantity on its line was."""
    return "inch" if "inch" in click.get_current_context().meta.get(_ASKED, ()) else "mm"


class Plain(Decimals):
    """A plain decimal number."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        try:
            number = Decimal(str(value))
        except ArithmeticError:
            number = Decimal("nan")
        if not number.is_finite():
            self.fail(f'read "{value}"; a number is wanted.', param, ctx)
        return number


class Listed(ListsOfDecimals):
    """Plain numbers of more than 0, separated by commas."""

    name = "numbers"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[Decimal, ...]:
        if isinstance(value, tuple):
            return value
        numbers = tuple(Plain().convert(one.strip(), param, ctx) for one in str(value).split(",") if one.strip())
        if not numbers or min(numbers) <= 0:
            self.fail(f'read "{value}"; numbers of more than 0 are wanted, such as 180,220,260,300.', param, ctx)
        return numbers
