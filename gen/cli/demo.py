"""``demo``: the main job on the bundled demo shop."""

from __future__ import annotations

from pathlib import Path

import click

from gen.cli.generate import run
from gen.cli.shared import HOLDS, a_file, plainly


@click.command()
@click.option("--out", type=a_file, default=Path("programs"), show_default=True, help="Folder to write to.")
@plainly
def demo(out: Path) -> int:
    """The main job on the bundled demo shop: programs and sheets for every recipe there."""
    from gen.build import Options
    from gen.places import data_folder

    recipes = sorted(data_folder("machines").glob("*/dress/*.toml"))
    worst = run(recipes, out, Options(), only_check=False, force=False, as_document=False)
    if worst == HOLDS:
        click.echo(
            f"\n{len(recipes)} programs and their sheets are in {out}. Look at a sheet (.html) in a browser, "
            f"and read a program back with: dressblock check {out}/*/*.ngc {out}/*/*.nc"
        )
    return worst
