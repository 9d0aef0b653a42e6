"""``new``: a commented file to begin with."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import click

from gen.cli.shared import HOLDS, plainly, tell
from gen.cli.values import a_file


@click.command()
@click.argument("kind", type=click.Choice(["machine", "recipe"]))
@click.argument("path", type=a_file)
@plainly
def new(kind: str, path: Path) -> int:
    """Write a commented machine or recipe file to PATH; nothing is written over.

    PATH is the file itself, such as machines/bench/machine.toml, or the
    machine's folder. A recipe belongs in machines/bench/dress.
    """
    from gen.jobs.starters import Kind, start

    file = start(cast(Kind, kind), path)
    after = (
        f"dressblock new recipe {file.parent / 'dress/first.toml'}"
        if kind == "machine"
        else f"dressblock generate {file}"
    )
    tell(f"{file}: written; put in your own values, then: {after}")
    return HOLDS
