"""A power log judged, with what the recipe says and what a part costs beside it: as text and as a JSON value."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from gen.base.dataclass import dataclass
from gen.base.languages import language as known
from gen.base.languages import told
from gen.jobs.dress_costs import due_as_object, part_as_object, prices_as_object
from gen.jobs.interval_costs import IntervalCosts, costs_for, costs_told
from gen.power.answer import Answer, answer
from gen.power.causes import Cause, causes
from gen.power.estimate import Estimate
from gen.power.telling import sentences, telling
from gen.shop.load import load_recipe

if TYPE_CHECKING:
    from gen.power.log import Log


@dataclass(frozen=True)
class JudgedLog:
    """What a log says. ``causes`` are those of dresses that are too gentle, ``every_parts`` what the recipe says now.

    ``costs`` are None where no prices are given, or those that ``unpriced`` names are missing.
    """

    answer: Answer
    causes: tuple[Cause, ...]
    every_parts: int | None
    costs: IntervalCosts | None
    unpriced: list[str]


def judged(
    log: Log, limit_kw: float, clean_kw: float | None, recipe_path: Path | None, parts_a_day: float | None
) -> JudgedLog:
    """``log`` held against its limit and, where one is given, its recipe, which must be usable."""
    recipe = None if recipe_path is None else load_recipe(recipe_path)
    found = answer(log, limit_kw, clean_kw)
    likely = causes(recipe) if found.verdict == "too-gentle" else ()
    costs, unpriced = (None, []) if recipe_path is None else costs_for(recipe_path, found, parts_a_day)
    return JudgedLog(found, likely, None if recipe is None else recipe.dress.every_parts, costs, unpriced)


def interval_as_text(judged: JudgedLog, language: str) -> str:
    """The answer in words."""
    mark = known(language).marked
    values = telling(judged.answer, judged.causes, judged.every_parts, mark)
    costs = {"costs": costs_told(judged.costs, mark), "unpriced": judged.unpriced}
    return told(language, "interval", {**values, **costs})


def interval_as_object(judged: JudgedLog, language: str) -> dict[str, Any]:
    """The answer as a JSON object, powers in kW; null is what the log cannot tell."""
    sentence = sentences(language)
    found, costs = judged.answer, judged.costs
    fit, base, parts, true_in = found.fit, found.baseline, found.interval, found.truing
    cleared = found.cleared
    return {
        "verdict": found.verdict,
        "why": sentence("why", found.why),
        "baseline_kw": None if base is None else _kw(base.now.value),
        "baseline_interval_kw": None if base is None else _ends(base.now),
        "baseline_trend": None if base is None else base.trend.course,
        "creep_kw_per_dress": None if base is None or base.creep is None else _kw(base.creep.value),
        "rise_kw_per_part": None if fit is None else _kw(fit.rise.value),
        "rise_interval_kw_per_part": None if fit is None else _ends(fit.rise),
        "noise_kw": None if fit is None else _kw(fit.noise_kw),
        "parts_between_dresses": None if parts is None else parts.parts,
        "at_least": parts is not None and parts.ground == "flat",
        "parts_until_limit": None if parts is None else parts.expected,
        "margin_kw": None if parts is None or parts.margin_kw is None else _kw(parts.margin_kw),
        "most_parts_told": None if parts is None else parts.most,
        "every_parts": judged.every_parts,
        "limit_kw": _kw(found.limit_kw),
        "idle_kw": None if found.log.idle_kw is None else _kw(found.log.idle_kw),
        "recovery": [None if dress.share is None else round(dress.share, 4) for dress in found.dresses],
        "dresses": [
            {"part": dress.part, "recovery": dress.share and round(dress.share, 4), "unknown": dress.silence}
            for dress in found.dresses
        ],
        "recovery_together": None if found.share is None else round(found.share.value, 4),
        "recovery_together_interval": None if found.share is None else _ends(found.share),
        "cleared": None if cleared is None else round(cleared.share, 4),
        "cleared_interval": None if cleared is None else [round(end, 4) for end in cleared.interval()],
        "clean_kw": None if cleared is None else _kw(cleared.clean_kw),
        "clean_interval_kw": None if cleared is None else [_kw(end) for end in cleared.clean_interval()],
        "shape": None if found.bend is None else found.bend.shape,
        "set_aside": [
            {
                "line": one.line,
                "why": one.why,
                "power_kw": _kw(one.power_kw),
                "expected_kw": None if one.expected_kw is None else _kw(one.expected_kw),
            }
            for one in found.set_aside
        ],
        "cut": None
        if found.log.cut is None
        else {
            "parts": len(found.log.parts) - len(found.log.set_aside),
            "idle_kw": _kw(found.log.cut.idle_kw),
            "line_kw": _kw(found.log.cut.line_kw),
            "part_s": round(found.log.cut.usual_seconds, 3),
            "stretches": [
                {
                    "seconds": round(one.seconds, 3),
                    "mean_kw": _kw(one.mean_kw),
                    "peak_kw": _kw(one.peak_kw),
                    "not_cut": one.flaw,
                }
                for one in found.log.cut.stretches
            ],
        },
        "true_in": None
        if true_in is None
        else {"dresses": true_in.dresses, "parts": true_in.parts, "or_more": true_in.beyond},
        "causes": [
            {
                "cause": told(language, "cause", cause.cause),
                "recipe": None if cause.recipe is None else sentence("recipe_says", cause.recipe),
            }
            for cause in judged.causes
        ],
        "costs": None if costs is None else _costs(costs),
        "notes": [sentence("note", note) for note in found.notes],
    }


def _costs(costs: IntervalCosts) -> dict[str, Any]:
    return {
        **prices_as_object(costs.prices),
        "per_part": [part_as_object(one) for one in costs.parts],
        "sticks_a_month": None if costs.sticks is None else round(costs.sticks, 2),
        "true_after": None if costs.due is None else due_as_object(costs.due),
    }


def _kw(value: float) -> float:
    return round(value, 5)


def _ends(estimate: Estimate) -> list[float]:
    return [_kw(end) for end in estimate.interval()]
