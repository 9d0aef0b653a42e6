"""The command line: each command is a file that parses, calls, and prints."""

from __future__ import annotations

import contextlib
import gc
import importlib
from collections.abc import Iterator
from typing import Any

import click

from gen import __version__
from gen.base.errors import printable

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
    "rules",
)
"""The commands, in the order in which help lists them; each is the function of its name in the file of its name."""


# loading makes many objects that stay; looking through them for cycles again and again is a tenth of a short run
gc.set_threshold(100_000)


@contextlib.contextmanager
def _shown_not_obeyed() -> Iterator[None]:
    """What is wrong with a command line repeats it, and a screen obeys none of that."""
    try:
        yield
    except click.ClickException as error:
        said = "\n".join(map(printable, error.format_message().split("\n")))
        raise click.UsageError(said, getattr(error, "ctx", None)) from None


class Lazily(click.Group):
    """A group that loads a command's file only when the command is wanted, so that each starts fast."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        with _shown_not_obeyed():
            return super().parse_args(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        with _shown_not_obeyed():
            return super().invoke(ctx)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command = getattr(importlib.import_module(f"gen.cli.{cmd_name}"), cmd_name)
        assert isinstance(command, click.Command)
        return command


@click.group(cls=Lazily, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="dressblock")
def main() -> None:
    """Stick-dressing NC blocks for resin-bond diamond wheels: computed, checked, and written with a sheet.

    Exit 0: all holds. Exit 1: a finding; nothing is written for a refused recipe. Exit 2: unusable input.

    What is checked is the dress block. The machine and wheel makers'
    instructions, local codes and a qualified person come first.
    """
