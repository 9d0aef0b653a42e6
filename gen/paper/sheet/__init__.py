"""The set-up sheet: two printed pages, and the same content as plain text, for the person at the machine."""

from __future__ import annotations

from dataclasses import dataclass

from gen.base.languages import cautions, rendered
from gen.base.languages import language as known
from gen.control.draft import Program
from gen.paper.columns import laid_out
from gen.paper.sheet.values import values

DENSITIES = {"roomy": 122, "usual": 138}
"""Lines of the text form up to which a page is set so, larger first; found by printing sheets of every kind."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet in both forms; ``html`` is a whole page that needs nothing else."""

    html: str
    text: str


def sheet(program: Program, language: str = "en") -> Sheet:
    """The sheet of ``program``, worded in ``language``: the name of one, or its folder.

    Two programs that are equal give equal sheets: there is no date on it.
    """
    # drawings are worked out from what this package says, so that they can only be loaded after it
    from gen.paper.charts import Chart, drawn
    from gen.paper.charts.feed import feed_chart
    from gen.paper.charts.motion import motion_chart
    from gen.paper.charts.plot import SMALL
    from gen.paper.charts.stick import stick_chart

    title, decimal = program.dress.recipe.title, known(language).decimal
    figures: list[Chart | None] = [
        feed_chart(program.dress, title, SMALL, decimal),
        motion_chart(program, title, SMALL, decimal),
    ]
    if len({(bite.wheel, bite.lane) for bite in program.dress.bites()}) > 1:
        figures.append(stick_chart(program.dress, title, SMALL, decimal))
    context = {
        "language": known(language).tag,
        "drawings": [
            drawn(figure, language, within=f"drawing-{number}") for number, figure in enumerate(figures, 1) if figure
        ],
        "sheet": values(program, decimal),
        "cautions": [caution["long"] for caution in cautions(language) if caution["long"]],
    }
    text = laid_out(rendered(language, "text", "sheet.txt.j2", context))
    html = rendered(language, "page", "sheet.html.j2", {**context, "density": _density(text)})
    return Sheet(html=html, text=text)


def _density(text: str) -> str:
    """How close a page must be set for as much as ``text`` says: its own lines tell."""
    lines = text.count("\n")
    return next((name for name, most in DENSITIES.items() if lines <= most), "dense")
