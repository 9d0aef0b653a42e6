"""``demo``: the main job on the bundled demo shop."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import click

from gen.cli.generate import generate_all
from gen.cli.options import language_option, out_option
from gen.cli.shared import HOLDS, plainly


@click.command()
@out_option
@language_option
@plainly
def demo(out: Path, language: str) -> int:
    """The main job on the bundled demo shop: programs, sheets and prove-outs for every recipe there."""
    from gen.base.places import data_folder
    from gen.control.options import Options
    from gen.shop.edition import Purpose

    recipes = sorted(data_folder("machines").glob("*/dress/*.toml"))
    worst = max(
        generate_all(
            recipes,
            out,
            Options(purpose=purpose, language=language),
            only_check=False,
            force=False,
            as_document=False,
        )
        for purpose in get_args(Purpose)
    )
    if worst == HOLDS:
        click.echo(
            f"\nThe programs of {len(recipes)} recipes, their sheets and their prove-outs are in {out}. Look at a "
            f"sheet (.html) in a browser, and read the programs back with: dressblock check {out}"
        )
    return worst
