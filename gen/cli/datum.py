"""``datum``: the dresser's datum from two or more touches."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import click

from gen.cli.shared import FINDING, HOLDS, plainly, print_json, say, tell
from gen.cli.values import QuantityType, a_file


@click.command()
@click.argument("touches", type=a_file)
@click.option("--machine", required=True, type=a_file, help="The machine file whose dresser was touched.")
@click.option("--recipe", type=a_file, help="Recipe of the stick and wheel; an inclined dresser needs it.")
@click.option(
    "--within", type=QuantityType("length"), default="0.1 mm", show_default=True, help="How far two touches may differ."
)
@plainly
def datum(touches: Path, machine: Path, recipe: Path | None, within: Decimal, as_document: bool) -> int:
    """The datum from TOUCHES, a CSV file with position_mm, stick_length_mm and wheel_diameter_mm (or wheel_gauge_mm).

    Touch with the spindle stopped and locked out. Exits 1 where the touches disagree.
    """
    from gen.base.quantities import plain
    from gen.jobs.datum import measured

    found = measured(touches, machine, recipe)
    agrees = found.agrees(float(within))
    if as_document:
        print_json(
            {
                "datum_mm": round(found.datum.value, 4),
                "spread_mm": round(found.datum.spread, 4),
                "residuals_mm": [round(one, 4) for one in found.datum.residuals],
                "within_mm": float(within),
                "agrees": agrees,
                "varied": found.varied,
            }
        )
    else:
        for line, off in zip(found.lines, found.datum.residuals, strict=True):
            tell(f"line {line}: {plain(off, 3)} mm from the mean")
        tell(f"the touches differ by {plain(found.datum.spread, 3)} mm")
    if not agrees:
        line, off = found.worst
        say(
            f"{touches}:{line}: the touches differ by {plain(found.datum.spread, 3)} mm and {plain(within, 3)} mm is "
            f"allowed, so there is no datum; this touch is {plain(off, 3)} mm from the mean. Touch again, and measure "
            "stick and wheel again."
        )
        return FINDING
    if not found.varied:
        say(
            f"{touches}: every touch was with the same stick and wheel, so that a wrong length or diameter would not "
            "show; touch again with another stick or wheel."
        )
    if not as_document:
        tell(f'datum = "{plain(found.datum.value, 3, strip=True)} mm"')
    return HOLDS
