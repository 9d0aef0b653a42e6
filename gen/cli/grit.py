"""``grit``: which stick grit gets between the diamonds."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

from gen.base.errors import DressblockError
from gen.cli.options import as_json_option, language_option
from gen.cli.shared import HOLDS, plainly
from gen.cli.values import Plain

if TYPE_CHECKING:
    from gen.physics.gap import Fit


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
    """Which stick grit gets between the diamonds; for a pack, the one that serves every wheel."""
    from gen.base.languages import language as known
    from gen.base.languages import told
    from gen.jobs.report import as_json
    from gen.physics.gap import fit
    from gen.physics.grains import diamond

    if len(concentrations) == 1:
        concentrations *= len(grits)
    if len(concentrations) != len(grits):
        raise DressblockError(
            f"--wheel-grit is given {len(grits)} times and --concentration {len(concentrations)} times; "
            "give the concentration once for all wheels, or once for each in the same order."
        )
    fits = [fit(diamond(name), value) for name, value in zip(grits, concentrations, strict=True)]
    if as_document:
        click.echo(as_json(_document(fits)))
    else:
        click.echo(told(language, "grit", _values(fits, known(language).marked)))
    return HOLDS


def _document(fits: list[Fit]) -> dict[str, Any]:
    """The wheel with the least room, whose answer is the pack's; ``wheels`` has each one."""
    from gen.physics.gap import SPREAD, narrowest

    return {
        **_one(narrowest(fits)),
        "wheels": [_one(each) for each in fits],
        "nearest_neighbour_share": list(SPREAD),
    }


def _one(fit: Fit) -> dict[str, Any]:
    diamonds = fit.diamonds
    return {
        "wheel_grit": diamonds.name,
        "mesh": diamonds.mesh,
        "concentration": fit.concentration,
        "grain_um": diamonds.um,
        "grain_limits_um": [diamonds.low, diamonds.high],
        "gap_um": round(fit.gap_um, 2),
        "fits": [grain.name for grain in fit.fits],
        "recommended": None if fit.recommended is None else fit.recommended.name,
        "habit": [grain.name for grain in fit.habit],
        "habit_and_gap": fit.accord,
    }


def _values(fits: list[Fit], mark: Callable[[str], str]) -> dict[str, Any]:
    """What a language words: of all wheels, and of each; numbers as text in µm."""
    from gen.physics.gap import SPREAD, narrowest
    from gen.physics.grains import STICKS

    least = narrowest(fits)
    recommended = least.recommended
    return {
        "recommended": "" if recommended is None else recommended.name,
        "least": _wheel(least, least, mark),
        "finest": STICKS[-1].name,
        "finest_um": mark(f"{STICKS[-1].um:g}"),
        "spread": [mark(f"{end:g}") for end in SPREAD],
        "wheels": [_wheel(each, least, mark) for each in fits],
    }


def _wheel(fit: Fit, least: Fit, mark: Callable[[str], str]) -> dict[str, Any]:
    diamonds = fit.diamonds
    alone = fit is not least and least.recommended is not None and fit.recommended is not None
    return {
        "diamonds": diamonds.name,
        "mesh": diamonds.mesh or "",
        "low": mark(f"{diamonds.low:g}"),
        "high": mark(f"{diamonds.high:g}"),
        "middle": mark(f"{diamonds.um:g}"),
        "concentration": mark(f"{fit.concentration:g}"),
        "gap": mark(f"{fit.gap_um:.1f}"),
        "fits": [grain.name for grain in fit.fits],
        "habit": [grain.name for grain in fit.habit],
        "accord": fit.accord or "",
        "sizes": fit.sizes_finer or 0,
        "alone": fit.recommended.name if alone and fit.recommended else "",
    }
