"""The page that plays a program as the reader read it: one HTML file that needs nothing else."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from markupsafe import Markup

from gen.base.finding import Finding
from gen.base.languages import rendered, told
from gen.base.lines import lines_of
from gen.base.quantities import System
from gen.paper.page.play import Play
from gen.paper.page.values import Teller
from gen.paper.shown import Shown
from gen.plan.step import Register

_WORDS = (
    *("start", "rapid", "feed", "arc", "dwell", "spindle", "coolant", "write", "aux", "refuse", "stop", "end"),
    *("halt", "unclear", "unknown", "off", "on", "cw", "ccw", "empty", "beside", "depth"),
)
LABELS = ("section", "side", "scale", "none", "no-drawing", "stick", "wheel", "seat", "elsewhere")


def page(
    text: str,
    plays: Sequence[Play],
    choices: Sequence[Sequence[str]],
    findings: Sequence[Finding],
    *,
    title: str,
    about: str,
    system: System,
    axis: str,
    names: Mapping[Register, str],
    language: str = "en",
) -> str:
    """The whole page of a program ``text``, worded in ``language``; the first of ``plays`` is shown first.

    ``choices`` are the labels of wheel sizes, stick lengths and progress, in the order in which plays number them.
    ``names`` has the registers by number, ``axis`` is the plunge axis (empty: none). No two plays have
    the same choice.
    """
    words = {key: told(language, "page_word", key, template="page.j2") for key in _WORDS}
    teller = Teller(Shown(system, language), words, names, findings, axis)
    rows = [teller.play(play) for play in plays]
    data = {
        "plays": rows,
        "lines": lines_of(text),
        "labels": {key: told(language, "page_label", key, template="page.j2") for key in LABELS},
    }
    values = {
        "title": title,
        "about": about,
        **dict(zip(("sizes", "lengths", "progress"), choices, strict=True)),
        "whole": [finding.message for finding in findings if not finding.line],
        "listed": rows[0]["moments"],
        # "<" must not end the script element that holds the data
        "data": Markup(json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")),
    }
    return rendered(language, "page", "play.html.j2", values)


def halted(language: str, why: str, line: int) -> str:
    """Why a play ends before its program does, in words."""
    return told(language, "page_halt", why, line, template="page.j2")
