"""A trial on paper: the operator's sheet, the page for the wall, the chart, and the answer as text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gen.base.languages import cautions, rendered, told
from gen.base.languages import language as known
from gen.paper.charts import drawn
from gen.paper.charts.trial import trial_chart
from gen.paper.columns import laid_out
from gen.power.trial.answer import TrialAnswer
from gen.power.trial.telling import rows_of_table, telling_of

_TABLE_WIDTH = 110


def operator_sheet(plan: Mapping[str, Any], language: str = "en") -> str:
    """The sheet of a planned trial as a whole HTML page that needs nothing else."""
    values = {"p": plan, "cautions": cautions(language)}
    return rendered(language, "page", "trial.html.j2", values)


def text_of_answer(answer: TrialAnswer, language: str = "en") -> str:
    """What the log of a trial says, in lines."""
    values, rows = _told(answer, language)
    heads = told(language, "read_heads", template="trial.j2").split("|")
    table = laid_out("\n".join(map("\t".join, [heads, *rows])), _TABLE_WIDTH) if answer.rungs else ""
    return told(language, "trial", {**values, "table": table.rstrip("\n")}, template="trial.j2")


def page_of(answer: TrialAnswer, title: str, language: str = "en") -> str:
    """The page for the wall, as a whole HTML page that needs nothing else."""
    values, rows = _told(answer, language)
    drawing = drawn(trial_chart(answer, title, language), language, within="trial") if answer.rungs else ""
    shown = {"a": {**values, "title": title}, "rows": rows, "drawing": drawing}
    return rendered(language, "page", "trial-answer.html.j2", shown)


def _told(answer: TrialAnswer, language: str) -> tuple[Mapping[str, Any], list[list[str]]]:
    """What there is to tell, and the cells of the table of targets."""
    values = telling_of(answer, known(language).marked)
    return values, rows_of_table(values["rungs"], told(language, "unknown", template="trial.j2"))


def chart_of(answer: TrialAnswer, title: str, language: str = "en") -> str:
    """The chart as an SVG file of its own."""
    return str(drawn(trial_chart(answer, title, language), language))
