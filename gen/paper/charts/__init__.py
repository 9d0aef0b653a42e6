"""Drawings as SVG: worked out here as numbers, drawn by ``templates/charts``, worded by a sheet's language."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

from markupsafe import Markup

from gen.base.languages import language as known
from gen.base.languages import rendered

if TYPE_CHECKING:
    from gen.paper.charts.feed import FeedChart
    from gen.paper.charts.measures import MeasuresChart
    from gen.paper.charts.motion import MotionChart
    from gen.paper.charts.power import PowerChart
    from gen.paper.charts.stick import StickChart
    from gen.paper.charts.trial import TrialChart

Chart: TypeAlias = "FeedChart | MeasuresChart | MotionChart | StickChart | PowerChart | TrialChart"


def drawn(chart: Chart, language: str = "en", *, within: str = "") -> Markup:
    """``chart`` as SVG: a file of its own, or ``within`` a page, where this name tells it from others.

    It needs nothing else: no style sheet, no font, no colour.
    """
    values = {"c": chart, "language": known(language).tag, "within": within}
    return Markup(rendered(language, "page", f"{chart.kind}.svg.j2", values).strip() + "\n")
