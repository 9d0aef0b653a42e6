"""What the commands share: exits, messages, and options with units."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable
from decimal import Decimal
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, ParamSpec

import click

from gen.errors import FAILURES, printable, told

if TYPE_CHECKING:
    from gen.quantities import Dimension

P = ParamSpec("P")

HOLDS, FINDING, UNUSABLE = 0, 1, 2


def plainly(command: Callable[P, int]) -> Callable[P, NoReturn]:
    """A command that exits with what it returns, and with 2 and one clear sentence when its input is unusable."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> NoReturn:
        # a name that the terminal cannot show is no reason to stop
        if isinstance(sys.stdout, io.TextIOWrapper):
            sys.stdout.reconfigure(errors="backslashreplace")
        try:
            code = command(*args, **kwargs)
            sys.stdout.flush()
        except BrokenPipeError:
            sys.stderr.close()
            code = FINDING
        except FAILURES as failure:
            say(str(told(failure)))
            code = UNUSABLE
            _give_up_output()
        sys.exit(code)

    return run


def _give_up_output() -> None:
    """Standard output that takes no more, such as a full disk, is left alone, so that leaving does not fail on it."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def tell(text: str, *, aside: bool = False) -> None:
    """``text`` on standard output, or ``aside`` on standard error; a screen shows all of it and obeys nothing in it."""
    click.echo("\n".join(map(printable, text.split("\n"))), err=aside)


def say(text: str) -> None:
    """``text`` on standard error."""
    tell(text, aside=True)


class Measure(click.ParamType[Decimal]):
    """A quantity with its unit, such as ``"20 m/s"``; ``bare`` allows a number alone."""

    def __init__(self, dimension: Dimension, *, bare: bool = False) -> None:
        self.dimension = dimension
        self.bare = bare
        self.name = dimension

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        from gen.quantities import QuantityError, parse, unit

        if isinstance(value, Decimal):
            return value
        text = str(value)
        if self.bare and text.strip().lstrip("+-").replace(".", "", 1).isdigit():
            text = f"{text} {unit(self.dimension)}"
        try:
            return parse(text, self.dimension)
        except QuantityError as error:
            self.fail(str(error), param, ctx)


class Plain(click.ParamType[Decimal]):
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


a_file = click.Path(path_type=Path)
jobs_option = click.option(
    "--jobs",
    type=click.IntRange(min=0),
    default=1,
    show_default=True,
    help="Files worked on at a time; 0: one for each core.",
)
as_json_option = click.option("--json", "as_document", is_flag=True, help="Print one JSON document on standard output.")
language_option = click.option(
    "--language",
    default="en",
    show_default=True,
    help="Language of what people read: en, de, or the folder of your own. Errors and findings stay in English.",
)
control_folders = click.option(
    "--controls", "controls", type=a_file, multiple=True, help="A folder with controls of your own; may be repeated."
)


def state_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Options that give the state of wheel and stick a numeric program is right for."""
    for option in (
        click.option("--slide-position", type=Measure("length"), help="Where an incremental slide stands."),
        click.option("--stick-length", type=Measure("length"), help="Stick length; a new stick unless given."),
        click.option("--wheel-gauge", type=Measure("length"), help="Gauge of a cup wheel; new unless given."),
        click.option(
            "--wheel-diameter",
            type=Measure("length"),
            multiple=True,
            help="Wheel diameter; new unless given. For a pack once for each wheel, in the recipe's order.",
        ),
    ):
        command = option(command)
    return command
