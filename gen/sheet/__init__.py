"""The set-up sheet: one printed page, and the same content as plain text, for the person at the machine."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment

from gen.compiled import Kept
from gen.draft import Program
from gen.places import data_folder
from gen.sheet.columns import laid_out
from gen.sheet.values import values
from gen.texts import cautions


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet in both forms; ``html`` is a whole page that needs nothing else."""

    html: str
    text: str


def sheet(program: Program, language: str = "en") -> Sheet:
    """The sheet of ``program``, worded by the templates in ``sheets/LANGUAGE``.

    Two programs that are equal give equal sheets: there is no date on it.
    """
    # drawings are worked out from what this package says, so that they can only be loaded after it
    from gen.charts import drawn
    from gen.charts.feed import feed_chart
    from gen.charts.motion import motion_chart
    from gen.charts.plot import SMALL

    title = program.facts.recipe.title
    # a pack's key has a line for each wheel
    size = replace(SMALL, height=max(SMALL.height, SMALL.row * (6.5 + len(program.facts.pack))))
    figures = feed_chart(program.facts, title, size), motion_chart(program, title, size)
    context = {
        "language": language,
        "drawings": [
            drawn(figure, language, within=f"drawing-{number}") for number, figure in enumerate(figures, 1) if figure
        ],
        "sheet": values(program),
        "cautions": [caution["long"] for caution in cautions(language) if caution["long"]],
    }
    text = laid_out(environment(language, html=False).get_template("sheet.txt.j2").render(context))
    html = environment(language, html=True).get_template("sheet.html.j2").render(context)
    return Sheet(html=html, text=text)


@lru_cache(maxsize=8)
def environment(language: str, *, html: bool) -> ImmutableSandboxedEnvironment:
    """Where the pages in one language come from; in ``html`` what is put in is escaped."""
    sheets = data_folder("templates") / "sheets"
    return ImmutableSandboxedEnvironment(
        loader=FileSystemLoader([sheets / language, sheets]),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        autoescape=html,
        bytecode_cache=Kept("page" if html else "text"),
    )
