"""Drawings as SVG: worked out here as numbers, drawn by ``templates/charts``, worded by a sheet's language."""

from __future__ import annotations

from typing import Literal, TypeAlias

from markupsafe import Markup

from gen.charts.feed import FeedChart
from gen.charts.motion import MotionChart
from gen.charts.power import PowerChart
from gen.charts.stick import StickChart
from gen.texts import language as known
from gen.texts import rendered

Kind: TypeAlias = Literal["feed", "motion", "stick"]
Chart: TypeAlias = FeedChart | MotionChart | StickChart | PowerChart

_TEMPLATES = {FeedChart: "feed", MotionChart: "motion", StickChart: "stick", PowerChart: "power"}


def drawn(chart: Chart, language: str = "en", *, within: str = "") -> Markup:
    """``chart`` as SVG: a file of its own, or ``within`` a page, where this name tells it from others.

    It needs nothing else: no style sheet, no font, no colour.
    """
    kind = _TEMPLATES[type(chart)]
    values = {"c": chart, "language": known(language).tag, "within": within}
    return Markup(rendered(language, "page", f"{kind}.svg.j2", values).strip() + "\n")
