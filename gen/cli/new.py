"""``new``: a commented file to begin with."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import click

from gen.cli.shared import HOLDS, in_shell, leave_out, plainly, print_json, tell
from gen.cli.values import a_file


@click.command()
@click.argument("kind", type=click.Choice(["machine", "recipe"]))
@click.argument("path", type=a_file)
@click.option(
    "--kind",
    "dresser",
    type=click.Choice(["slide", "table", "timed"]),
    default="slide",
    show_default=True,
    help="How this machine feeds the stick: on an axis of its own, by moving the wheel, or by air for so long.",
)
@plainly
def new(kind: str, path: Path, dresser: str, as_document: bool) -> int:
    """Write a commented machine or recipe file to PATH; nothing is written over.

    PATH is the file itself, such as machines/bench/machine.toml, or the
    machine's folder. A recipe belongs in machines/bench/dress. Its values are
    an example's, and nothing is generated until they are replaced.
    """
    if kind == "recipe":
        leave_out("a recipe is the same for every kind of dresser", kind=dresser != "slide")
    from gen.jobs.starters import StarterDresser, StarterKind, write_starter

    file = write_starter(cast(StarterKind, kind), path, cast(StarterDresser, dresser))
    words = ["new", "recipe", str(file.parent / "dress/first.toml")] if kind == "machine" else ["generate", str(file)]
    after = in_shell(["dressblock", *words])
    tell(
        f"{file}: written; put in your own values, delete the line that begins with example, then: {after}",
        aside=as_document,
    )
    if as_document:
        print_json({"file": str(file), "next": ["dressblock", *words]})
    return HOLDS
