"""``grit``: which stick grit gets between the diamonds."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

from gen.cli.shared import HOLDS, Plain, as_json_option, plainly
from gen.errors import DressblockError, listed

if TYPE_CHECKING:
    from gen.gap import Fit


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
@as_json_option
@plainly
def grit(grits: tuple[str, ...], concentrations: tuple[Decimal, ...], as_document: bool) -> int:
    """Which stick grit gets between the diamonds; for a pack, the one that serves every wheel."""
    from gen.abrasives import diamond
    from gen.gap import fit
    from gen.report import as_json

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
        for line in _lines(fits):
            click.echo(line)
    return HOLDS


def _document(fits: list[Fit]) -> dict[str, Any]:
    """The wheel with the least room, whose answer is the pack's; ``wheels`` has each one."""
    from gen.gap import SPREAD, narrowest

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


def _lines(fits: list[Fit]) -> Iterator[str]:
    from gen.gap import SPREAD, narrowest

    least = narrowest(fits)
    yield _headline(fits, least)
    for fit in fits:
        diamonds = fit.diamonds
        yield ""
        yield (
            f"{diamonds.name} ({diamonds.mesh} mesh, {diamonds.low:g} to {diamonds.high:g} µm, {diamonds.um:g} µm in "
            f"the middle) at concentration {fit.concentration:g}: about {fit.gap_um:.1f} µm from diamond to diamond."
        )
        if fit.recommended is not None:
            yield f"  gets in   {', '.join(grain.name for grain in fit.fits)}"
        if fit.habit:
            yield f"  by habit  {listed(grain.name for grain in fit.habit)}: {_habit(fit)}"
        if len(fits) > 1 and fit is not least and least.recommended and fit.recommended:
            yield f"  alone it would take {fit.recommended.name}."
    low, high = SPREAD
    yield ""
    yield (
        "The gap is that of evenly spaced grains; real ones lie at random, and the room beside a grain is anything "
        f"from {low:g} to {high:g} times as much for four in five."
    )
    yield (
        "The diamonds count by the middle of their sieves, F4 to F220 by the coarser sieve, F230 and finer by the "
        "median: about half of those grains are coarser."
    )
    yield "Only some diamonds stand out and cut, so between those there is more room than the figure says."


def _headline(fits: list[Fit], least: Fit) -> str:
    if least.recommended is None:
        does = "serves every wheel" if len(fits) > 1 else "gets in"
        return (
            f"No stick grit of the table {does}: the gap of {least.diamonds.name} at concentration "
            f"{least.concentration:g} is {least.gap_um:.1f} µm, and the finest, {_finest()}, is not that fine."
        )
    if len(fits) == 1:
        return f"{least.recommended.name} or finer gets between the diamonds."
    return (
        f"{least.recommended.name} or finer serves every wheel; {least.diamonds.name} at concentration "
        f"{least.concentration:g} leaves the least room."
    )


def _finest() -> str:
    from gen.abrasives import STICKS

    return f"{STICKS[-1].name} ({STICKS[-1].um:g} µm)"


def _habit(fit: Fit) -> str:
    common = "one or two sizes finer than the diamonds (common practice, no source)"
    match fit.accord:
        case "agree":
            return f"{common}. Here the gap says the same."
        case "gap-finer":
            sizes = fit.sizes_finer or 0
            return (
                f"{common}. The gap asks for {_count(sizes)} finer than that. The two agree only around concentration "
                "60 to 75; above, the gap asks for two or three sizes finer, and the habit's grains mostly ride on the "
                "diamonds."
            )
        case "gap-coarser":
            return (
                f"{common}. The gap would let a coarser one in, as it does below a concentration of about 60; the "
                "habit is on the safe side."
            )
        case None:
            return f"{common}."


def _count(sizes: int) -> str:
    words = {1: "one size", 2: "two sizes", 3: "three sizes"}
    return words.get(sizes, f"{sizes} sizes")
