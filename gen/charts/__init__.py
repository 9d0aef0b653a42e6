"""Drawings as SVG: worked out here as numbers, drawn by ``templates/charts``, worded by a sheet's language."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, TypeAlias

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from gen.charts.feed import FeedChart
from gen.charts.motion import MotionChart
from gen.charts.power import PowerChart
from gen.charts.stick import StickChart
from gen.places import data_folder

Kind: TypeAlias = Literal["feed", "motion", "stick"]
Chart: TypeAlias = FeedChart | MotionChart | StickChart | PowerChart

_TEMPLATES = {FeedChart: "feed", MotionChart: "motion", StickChart: "stick", PowerChart: "power"}


def drawn(chart: Chart, language: str = "en", *, within: str = "") -> Markup:
    """``chart`` as SVG: a file of its own, or ``within`` a page, where this name tells it from others.

    It needs nothing else: no style sheet, no font, no colour.
    """
    kind = _TEMPLATES[type(chart)]
    made = _environment(language).get_template(f"{kind}.svg.j2").render(c=chart, language=language, within=within)
    return Markup(made.strip() + "\n")


@lru_cache(maxsize=8)
def _environment(language: str) -> ImmutableSandboxedEnvironment:
    templates = data_folder("templates")
    return ImmutableSandboxedEnvironment(
        loader=FileSystemLoader([templates / "sheets" / language, templates / "charts"]),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        autoescape=True,
    )
