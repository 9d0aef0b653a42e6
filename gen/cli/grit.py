"""``grit``: which stick grit suits the diamonds."""

from __future__ import annotations

from decimal import Decimal

import click

from gen.base.errors import DressblockError
from gen.cli.options import language_option
from gen.cli.shared import answered, plainly
from gen.cli.values import Plain


@click.command()
@click.option(
    "--wheel-grit", "grits", multiple=True, required=True, help="Diamond size, such as D126 or 120/140; once a wheel."
)
@click.option(
    "--concentration",
    "concentrations",
    type=Plain(),
    multiple=True,
    required=True,
    help="Diamond concentration, such as 100; once for all wheels, or once a wheel.",
)
@language_option
@plainly
def grit(grits: tuple[str, ...], concentrations: tuple[Decimal, ...], language: str, as_document: bool) -> int:
    """Which stick grit suits the diamonds; for a pack, the one that serves every wheel."""
    from gen.jobs.grit import grit_as_object, grit_as_text
    from gen.physics.gap import sticks_for
    from gen.physics.grains import diamond

    if len(concentrations) == 1:
        concentrations *= len(grits)
    if len(concentrations) != len(grits):
        raise DressblockError(
            f"--wheel-grit is given {len(grits)} times and --concentration {len(concentrations)} times; "
            "give the concentration once for all wheels, or once for each in the same order."
        )
    fits = [sticks_for(diamond(name), value) for name, value in zip(grits, concentrations, strict=True)]
    return answered(lambda: grit_as_object(fits), lambda: grit_as_text(fits, language), as_document=as_document)
