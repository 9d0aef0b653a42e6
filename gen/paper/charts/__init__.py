"""Drawings as SVG: worked out here as numbers, drawn by ``templates/charts``, worded by a sheet's language."""

from __future__ import annotations

from types import SimpleNamespace
from typing import TypeAlias

from markupsafe import Markup

from gen.base.languages import rendered

Chart: TypeAlias = SimpleNamespace
"""What a drawing shows, for the template of its ``kind``: its ``size``, all of it placed, and texts with units."""


def drawn(chart: Chart, language: str = "en", *, within: str = "") -> Markup:
    """``chart`` as SVG: a file of its own, or ``within`` a page, where this name tells it from others.

    It needs nothing else: no style sheet, no font, no colour.
    """
    values = {"c": chart, "within": within}
    return Markup(rendered(language, "page", f"{chart.kind}.svg.j2", values).strip() + "\n")
