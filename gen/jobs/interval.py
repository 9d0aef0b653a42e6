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
from gen.power.telling import rounded, rounded_ends, sentences, telling
from gen.shop.load import load_recipe

if TYPE_CHECKING:
    from gen.power.log import Log
    from gen.power.trace import CutTrace


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
        "baseline_kw": base and rounded(base.now.value),
        "baseline_interval_kw": base and rounded_ends(base.now.interval()),
        "baseline_trend": base and base.trend.course,
        "creep_kw_per_dress": base and base.creep and rounded(base.creep.value),
        "rise_kw_per_part": fit and rounded(fit.rise.value),
        "rise_interval_kw_per_part": fit and rounded_ends(fit.rise.interval()),
        "noise_kw": fit and rounded(fit.noise_kw),
        "parts_between_dresses": parts and parts.parts,
        "at_least": parts is not None and parts.ground == "flat",
        "parts_until_limit": parts and parts.expected,
        "margin_kw": parts and rounded(parts.margin_kw),
        "most_parts_told": parts and parts.most,
        "every_parts": judged.every_parts,
        "limit_kw": rounded(found.limit_kw),
        "idle_kw": rounded(found.log.idle_kw),
        "recovery": [rounded(dress.share, 4) for dress in found.dresses],
        "dresses": [
            {"part": dress.part, "recovery": rounded(dress.share, 4), "unknown": dress.silence}
            for dress in found.dresses
        ],
        "recovery_together": found.share and rounded(found.share.value, 4),
        "recovery_together_interval": found.share and rounded_ends(found.share.interval()),
        "cleared": cleared and rounded(cleared.share, 4),
        "cleared_interval": cleared and rounded_ends(cleared.interval(), 4),
        "clean_kw": cleared and rounded(cleared.clean_kw),
        "clean_interval_kw": cleared and rounded_ends(cleared.clean_interval()),
        "shape": found.bend and found.bend.shape,
        "set_aside": [
            {
                "line": one.line,
                "why": one.why,
                "power_kw": rounded(one.power_kw),
                "expected_kw": rounded(one.expected_kw),
            }
            for one in found.set_aside
        ],
        "cut": found.log.cut and _cut(found.log.cut, len(found.log.parts) - len(found.log.set_aside)),
        "true_in": true_in and {"dresses": true_in.dresses, "parts": true_in.parts, "or_more": true_in.beyond},
        "causes": [
            {"cause": told(language, "cause", one.cause), "recipe": one.recipe and sentence("recipe_says", one.recipe)}
            for one in judged.causes
        ],
        "costs": costs and _costs(costs),
        "notes": [sentence("note", note) for note in found.notes],
    }


def _cut(cut: CutTrace, parts: int) -> dict[str, Any]:
    return {
        "parts": parts,
        "idle_kw": rounded(cut.idle_kw),
        "line_kw": rounded(cut.line_kw),
        "part_s": rounded(cut.usual_seconds, 3),
        "stretches": [
            {
                "seconds": rounded(one.seconds, 3),
                "mean_kw": rounded(one.mean_kw),
                "peak_kw": rounded(one.peak_kw),
                "not_cut": one.flaw,
            }
            for one in cut.stretches
        ],
    }


def _costs(costs: IntervalCosts) -> dict[str, Any]:
    return {
        **prices_as_object(costs.prices),
        "per_part": [part_as_object(one) for one in costs.parts],
        "sticks_a_month": rounded(costs.sticks, 2),
        "true_after": costs.due and due_as_object(costs.due),
    }
