"""``demo``: the main job on the bundled demo shop."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from gen.cli.generate import generate_all
from gen.cli.options import language_option, out_option
from gen.cli.shared import HOLDS, plainly, print_json, tell


@click.command()
@out_option
@language_option
@plainly
def demo(out: Path, language: str, as_document: bool) -> int:
    """The main job on the bundled demo shop: programs, sheets and prove-outs for every recipe there."""
    from gen.base.places import data_folder
    from gen.control.options import Options
    from gen.shop.edition import Purpose

    purposes: tuple[Purpose, ...] = ("dress", "prove-out")
    recipes = sorted(data_folder("machines").glob("*/dress/*.toml"))
    worst = HOLDS
    whole: dict[str, list[Any]] = {}
    for purpose in purposes:
        code, document = generate_all(
            recipes,
            out,
            Options(purpose=purpose, language=language),
            only_check=False,
            force=False,
            quiet=as_document,
        )
        worst = max(worst, code)
        for key, rows in document.items():
            whole[key] = [*whole.get(key, ()), *rows]
    if worst == HOLDS:
        tell(
            f"\nThe programs of {len(recipes)} recipes, their sheets and their prove-outs are in {out}. Look at a "
            f"sheet (.html) in a browser, and read the programs back with: dressblock check {out}",
            aside=as_document,
        )
    if as_document:
        print_json(whole)
    return worst
