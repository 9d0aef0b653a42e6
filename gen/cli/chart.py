"""``chart``: a recipe drawn, so that one looks rather than reads."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from gen.cli.shared import HOLDS, a_file, control_folders, plainly
from gen.errors import DressblockError

if TYPE_CHECKING:
    from gen.charts import Chart


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
@click.option("--language", default="en", show_default=True, help="Language of the words on it.")
@control_folders
@plainly
def chart(recipe: Path, kind: str, out: Path | None, language: str, controls: tuple[Path, ...]) -> int:
    """RECIPE as a drawing (SVG) in black and white, with its text alternative.

    It is drawn whether or not the recipe would be refused: it shows what does not fit.
    """
    from gen.charts import drawn
    from gen.charts.feed import feed_chart
    from gen.charts.motion import motion_chart
    from gen.charts.plot import FULL
    from gen.charts.stick import stick_chart
    from gen.files import write_whole
    from gen.jobs import drafted
    from gen.texts import known_language

    program = drafted(recipe, controls)
    title = program.facts.recipe.title
    figure: Chart | None
    match kind:
        case "motion":
            figure = motion_chart(program, title, FULL)
        case "stick":
            figure = stick_chart(program.facts, title, FULL)
        case _:
            figure = feed_chart(program.facts, title, FULL)
    if figure is None:
        raise DressblockError("this recipe makes no contact at all, so there is no motion to draw.", file=recipe)
    svg = str(drawn(figure, known_language(language)))
    if out is None:
        click.echo(svg, nl=False)
    else:
        write_whole(out, svg)
    return HOLDS
