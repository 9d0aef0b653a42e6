"""The command line: each command is a file that parses, calls, and prints."""

from __future__ import annotations

import atexit
import contextlib
import gc
import importlib
import os
import sys
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

import click

from gen import __version__
from gen.base.errors import DressblockError, printable

COMMANDS = (
    "datum",
    "demo",
    "generate",
    "show",
    "splice",
    "check",
    "trace",
    "feed",
    "grit",
    "interval",
    "trial",
    "chart",
    "limits",
    "new",
    "schema",
    "keys",
    "rules",
)
"""The commands, in the order in which help lists them; each is the function of its name in the file of its name."""


# loading makes many objects that stay; looking through them for cycles again and again is a tenth of a short run
gc.set_threshold(1_000_000)
# and what is left at the end goes with the process
atexit.register(gc.freeze)
# pydantic would read of everything that is installed whether it holds a plugin
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")


INTERRUPTED = 130
"""The exit after Ctrl-C, by the custom of shells: 128 and the number of the signal."""


@contextlib.contextmanager
def _interrupts_kept() -> Iterator[None]:
    """Ctrl-C that comes where nothing can be raised, as in a library's callback, comes again a moment later."""
    before = sys.unraisablehook

    def hook(caught: sys.UnraisableHookArgs) -> None:
        if not issubclass(caught.exc_type, KeyboardInterrupt):
            before(caught)
            return
        from _thread import interrupt_main
        from threading import Timer

        again = Timer(0.01, interrupt_main)
        again.daemon = True
        again.start()

    sys.unraisablehook = hook
    try:
        yield
    finally:
        sys.unraisablehook = before


@contextlib.contextmanager
def _shown_not_obeyed(args: Sequence[str]) -> Iterator[None]:
    """What is wrong with a command line repeats it, and a screen obeys none of that; whoever asked for JSON gets it."""
    try:
        with _interrupts_kept():
            yield
    except click.ClickException as error:
        said = "\n".join(map(printable, error.format_message().split("\n")))
        _print_if_json(args, said)
        raise click.UsageError(said, getattr(error, "ctx", None)) from None
    except KeyboardInterrupt:
        said = "interrupted; every file is either as it was or written whole"
        click.echo(f"\n{said}", err=True)
        _print_if_json(args, said)
        sys.exit(INTERRUPTED)


def _print_if_json(args: Sequence[str], said: str) -> None:
    if "--json" in args or "--format=json" in args or ("--format", "json") in pairwise(args):
        from gen.cli.shared import print_errors

        print_errors(DressblockError(said))


ARGS = "gen.cli.args"


class Lazily(click.Group):
    """A group that loads a command's file only when the command is wanted, so that each starts fast."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        ctx.meta[ARGS] = tuple(args)
        with _shown_not_obeyed(args):
            return super().parse_args(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        with _shown_not_obeyed(ctx.meta[ARGS]):
            return super().invoke(ctx)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command = getattr(importlib.import_module(f"gen.cli.{cmd_name}"), cmd_name)
        assert isinstance(command, click.Command)
        return command


@click.group(cls=Lazily, invoke_without_command=True, context_settings={"help_option_names": ["--help", "-h"]})
@click.version_option(__version__, prog_name="dressblock")
@click.pass_context
def main(ctx: click.Context) -> None:
    """Stick-dressing NC blocks for resin-bond diamond wheels: computed, checked, and written with a sheet.

    Exit 0: all holds. Exit 1: a finding; nothing is written for a refused recipe. Exit 2: unusable input.

    What is checked is the dress block. The machine and wheel makers'
    instructions, local codes and a qualified person come first.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
