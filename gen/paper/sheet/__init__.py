"""The set-up sheet: two printed pages, and the same content as plain text.

The first page is for the person at the machine, the second for programmer and maintenance.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import SimpleNamespace

from gen.base.dataclass import dataclass
from gen.base.languages import cautions, rendered, told
from gen.control.draft import Program
from gen.paper.charts import Chart, drawn
from gen.paper.charts.feed import feed_chart
from gen.paper.charts.measures import measures_chart
from gen.paper.charts.motion import motion_chart
from gen.paper.charts.plot import BROAD, FLAT, LOW, SMALL
from gen.paper.charts.stick import stick_chart
from gen.paper.columns import laid_out
from gen.paper.sheet.gap_check import gap_check_told
from gen.paper.sheet.moves import numbers
from gen.paper.sheet.values import values

FRONT = {"roomy": 56, "usual": 66, "dense": 76, "tight": 81, "full": 999}
BACK = {"usual": 76, "dense": 90, "tight": 103, "full": 108, "full short-log": 999}
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
    spins = program.edition.spins
    says = values(program, language) if spins else gap_check_told(program, language)
    goes_on = [
        told(language, "goes_on_loaded", message.texts[0], template="words.j2")
        for message in says.messages
        if message.kind == "dress_left_out"
    ]
    always = [caution["long"] for caution in cautions(language) if caution["long"]]
    context = {"sheet": says, "cautions": [*always, *goes_on]}

    def page(name: str) -> str:
        return laid_out(rendered(language, "text", f"{name}.txt.j2", context))

    if not spins:
        return Sheet(html=rendered(language, "page", "gap-check.html.j2", context), text=page("gap-check"))
    front, back = page("front"), page("back")
    density = _density(front, FRONT)
    pictures = {
        name: {"chart": chart, "svg": drawn(chart, language, within=f"drawing-{name}")}
        for name, chart in _charts(program, says, language, density).items()
        if chart is not None
    }
    densities = {"front": density, "back": _density(back, BACK)}
    html = rendered(language, "page", "sheet.html.j2", {**context, "pictures": pictures, "densities": densities})
    return Sheet(html=html, text=f"{front}\n{back}")


def _charts(program: Program, says: SimpleNamespace, language: str, density: str) -> dict[str, Chart | None]:
    """The drawings by name, as the page calls them; where the first page is full, the motion is drawn lower."""
    size = FLAT if density in ("tight", "full") else BROAD
    return {
        "measures": measures_chart(program, language),
        "motion": motion_chart(program, size, language, numbers(says.moves)),
        "window": feed_chart(program.dress, SMALL, language),
        "end": stick_chart(program.dress, LOW, language),
    }


def _density(text: str, densities: Mapping[str, int]) -> str:
    """How close a page must be set for as much as ``text`` says: its own lines tell."""
    lines = text.count("\n")
    return next(name for name, most in densities.items() if lines <= most)
