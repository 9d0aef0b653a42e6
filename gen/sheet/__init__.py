"""The set-up sheet: one printed page, and the same content as plain text, for the person at the machine."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gen.draft import Program
from gen.sheet.columns import laid_out
from gen.sheet.values import values
from gen.texts import cautions, rendered
from gen.texts import language as known


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
    from gen.charts import drawn
    from gen.charts.feed import feed_chart
    from gen.charts.motion import motion_chart
    from gen.charts.plot import SMALL

    title, decimal = program.facts.recipe.title, known(language).decimal
    # a pack's key has a line for each wheel
    size = replace(SMALL, height=max(SMALL.height, SMALL.row * (6.5 + len(program.facts.pack))))
    figures = feed_chart(program.facts, title, size, decimal), motion_chart(program, title, size, decimal)
    context = {
        "language": known(language).tag,
        "drawings": [
            drawn(figure, language, within=f"drawing-{number}") for number, figure in enumerate(figures, 1) if figure
        ],
        "sheet": values(program, decimal),
        "cautions": [caution["long"] for caution in cautions(language) if caution["long"]],
    }
    text = laid_out(rendered(language, "text", "sheet.txt.j2", context))
    return Sheet(html=rendered(language, "page", "sheet.html.j2", context), text=text)
