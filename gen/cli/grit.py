"""``grit``: which stick grit suits the diamonds."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

from gen.base.errors import DressblockError
from gen.cli.options import as_json_option, language_option
from gen.cli.shared import HOLDS, plainly, print_json
from gen.cli.values import Plain

if TYPE_CHECKING:
    from gen.physics.gap import StickFit


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
@as_json_option
@plainly
def grit(grits: tuple[str, ...], concentrations: tuple[Decimal, ...], language: str, as_document: bool) -> int:
    """Which stick grit suits the diamonds; for a pack, the one that serves every wheel."""
    from gen.base.languages import language as known
    from gen.base.languages import told
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
    if as_document:
        print_json(_document(fits))
    else:
        click.echo(told(language, "grit", _values(fits, known(language).marked)))
    return HOLDS


def _document(fits: list[StickFit]) -> dict[str, Any]:
    """The wheel with the finest diamonds, whose answer is the pack's; ``wheels`` has each one."""
    from gen.physics.gap import finest

    return {**_one(finest(fits)), "wheels": [_one(each) for each in fits]}


def _one(fit: StickFit) -> dict[str, Any]:
    diamonds = fit.diamonds
    return {
        "wheel_grit": diamonds.name,
        "mesh": diamonds.mesh,
        "concentration": fit.concentration,
        "grain_um": diamonds.um,
        "grain_limits_um": [diamonds.low, diamonds.high],
        "recommended": None if fit.recommended is None else fit.recommended.name,
        "habit": [grain.name for grain in fit.habit],
        "gap_um": round(fit.gap_um, 2),
        "fits": [grain.name for grain in fit.fits],
        "gap_agrees": fit.gap_agrees,
    }


def _values(fits: list[StickFit], mark: Callable[[str], str]) -> dict[str, Any]:
    """What a language words: of all wheels, and of each; numbers as text in µm."""
    from gen.physics.gap import TWICE_AS_WIDE, finest

    decides = finest(fits)
    return {
        "recommended": "" if decides.recommended is None else decides.recommended.name,
        "decides": decides.diamonds.name,
        "share": mark(f"{100 * TWICE_AS_WIDE:g}"),
        "wheels": [_wheel(each, mark) for each in fits],
    }


def _wheel(fit: StickFit, mark: Callable[[str], str]) -> dict[str, Any]:
    diamonds = fit.diamonds
    return {
        "diamonds": diamonds.name,
        "mesh": diamonds.mesh or "",
        "low": mark(f"{diamonds.low:g}"),
        "high": mark(f"{diamonds.high:g}"),
        "middle": mark(f"{diamonds.um:g}"),
        "concentration": mark(f"{fit.concentration:g}"),
        "habit": [grain.name for grain in fit.habit],
        "gap": mark(f"{fit.gap_um:.1f}"),
        "coarsest": fit.fits[0].name if fit.fits else "",
        "agrees": fit.gap_agrees,
    }
