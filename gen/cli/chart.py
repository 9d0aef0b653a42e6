"""``chart``: a recipe drawn, so that one looks rather than reads."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from gen.base.errors import DressblockError
from gen.cli.options import control_folders, language_option
from gen.cli.shared import HOLDS, plainly, print_document, print_json
from gen.cli.values import a_file

if TYPE_CHECKING:
    from gen.paper.charts import Chart


@click.command()
@click.argument("recipe", type=a_file)
@click.option(
    "--kind",
    type=click.Choice(["feed", "motion", "stick"]),
    default="feed",
    show_default=True,
    help="Feed against wheel speed, one plunge to scale, or the stick's end with its lanes.",
)
@click.option("--out", type=a_file, help="File to write; standard output unless given.")
@language_option
@control_folders
@plainly
def chart(
    recipe: Path, kind: str, out: Path | None, language: str, control_folders: tuple[Path, ...], as_document: bool
) -> int:
    """RECIPE as a drawing (SVG) in black and white, with its text alternative.

    It is drawn whether or not the recipe would be refused: it shows what does not fit.
    """
    from gen.base.files import write_whole
    from gen.control.options import Options
    from gen.jobs.pair import pair_at
    from gen.paper.charts import drawn
    from gen.paper.charts.feed import feed_chart
    from gen.paper.charts.motion import motion_chart
    from gen.paper.charts.plot import FULL
    from gen.paper.charts.stick import stick_chart

    program = pair_at(recipe).draft(Options(control_folders=control_folders))
    figure: Chart | None
    match kind:
        case "motion":
            figure = motion_chart(program, FULL, language)
        case "stick":
            figure = stick_chart(program.dress, FULL, language)
        case _:
            figure = feed_chart(program.dress, FULL, language)
    if figure is None:
        raise DressblockError("this recipe makes no contact at all, so there is no motion to draw.", file=recipe)
    svg = str(drawn(figure, language))
    if out is not None:
        write_whole(out, svg)
    if as_document:
        file = None if out is None else str(out)
        print_json({"recipe": str(recipe), "kind": kind, "file": file, "svg": svg if out is None else None})
    elif out is None:
        print_document(svg)
    return HOLDS
