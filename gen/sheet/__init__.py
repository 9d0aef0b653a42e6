"""The set-up sheet: one printed page, and the same content as plain text, for the person at the machine."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment

from gen.build import Program
from gen.places import data_folder
from gen.sheet.columns import laid_out
from gen.sheet.values import values
from gen.texts import cautions

DENSITIES = ((134, "roomy"), (142, "dense"))
"""Lines of the text form up to which the page is set so; beyond, it is set tight."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet in both forms; ``html`` is a whole page that needs nothing else."""

    html: str
    text: str


def sheet(program: Program, language: str = "en") -> Sheet:
    """The sheet of ``program``, worded by the templates in ``sheets/LANGUAGE``.

    Two programs that are equal give equal sheets: there is no date on it.
    """
    context = {
        "sheet": values(program),
        "cautions": [caution["long"] for caution in cautions(language) if caution["long"]],
    }
    text = laid_out(environment(language, html=False).get_template("sheet.txt.j2").render(context))
    density = next((name for most, name in DENSITIES if text.count("\n") <= most), "tight")
    html = environment(language, html=True).get_template("sheet.html.j2").render(context, density=density)
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
    )
