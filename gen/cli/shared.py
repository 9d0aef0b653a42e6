"""How every command ends and speaks: its exits, and messages that a screen shows and does not obey."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable
from functools import wraps
from typing import NoReturn, ParamSpec

import click

from gen.base.errors import FAILURES, printable, told

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
