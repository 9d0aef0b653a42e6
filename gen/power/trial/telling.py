"""The answer of a trial as numbers ready to be worded: what a language's ``trial.j2`` says around them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from gen.power.said import Said
from gen.power.telling import DecimalMark, estimated, with_ends, worded
from gen.power.trial.answer import RungResult, TrialAnswer

MOST_NOTES = 12
"""Notes that are told one by one."""


def telling_of(answer: TrialAnswer, mark: DecimalMark) -> Mapping[str, Any]:
    """What there is to tell; ``mark`` puts the language's decimal mark into a number. Empty texts are not told."""
    choice, proposal = answer.choice, answer.proposal
    notes = [worded(note, mark) for note in answer.notes]
    return {
        "verdict": choice.verdict,
        "best": _target(answer, choice.best),
        "so_far": _target(answer, choice.so_far),
        "why": worded(_completed(answer, choice.why), mark),
        "helps": [worded(one, mark) for one in choice.helps],
        "limit": mark(f"{answer.limit_kw:.2f}"),
        "clean": None
        if answer.shares is None
        else with_ends(answer.shares.clean_kw, answer.shares.clean_interval(), ".2f", mark),
        "rise": None if answer.fit is None else estimated(answer.fit.rise, ".3f", mark),
        "rungs": [rung_told(one, answer, mark) for one in answer.rungs],
        "depths": [
            {
                "target": f"{one.target:g}",
                "characteristic": mark(f"{one.characteristic_mm:.1f}"),
                "best": "" if one.depth_mm is None else mark(f"{one.depth_mm:.1f}"),
            }
            for one in answer.rungs
            if one.characteristic_mm is not None
        ],
        "proposal": None
        if proposal is None
        else {
            "target": f"{proposal.target:g}",
            "low": f"{proposal.band[0]:g}",
            "high": f"{proposal.band[1]:g}",
            "every": str(proposal.every_parts),
            "capped": proposal.is_capped,
            "dress_mm": "" if proposal.dress_mm is None else f"{proposal.dress_mm:.4f}",
        },
        "next": [{"run": one.run, "target": _target(answer, one.rung), "dresses": one.dresses} for one in choice.order],
        "usual": answer.usual,
        "notes": notes[:MOST_NOTES],
        "more_notes": max(0, len(notes) - MOST_NOTES),
    }


def _target(answer: TrialAnswer, rung: int | None) -> str:
    return "" if rung is None else f"{answer.targets[rung]:g}"


def _completed(answer: TrialAnswer, why: Said) -> Said:
    """``why`` with the targets in place of the numbers of rungs, and with what the money is called."""
    if why.key != "prices-missing":
        return Said(why.key, (*why.numbers, ("currency", answer.currency)))
    return Said(why.key, tuple((name, _target(answer, int(str(rung)))) for name, rung in why.numbers))


def rung_told(one: RungResult, answer: TrialAnswer, mark: DecimalMark) -> dict[str, Any]:
    """One target as texts; shares in %, without the sign."""
    low, high = one.cleared_interval
    money = "" if one.cost is None else " ".join(filter(None, (mark(f"{one.cost:.3g}"), answer.currency)))
    return {
        "target": f"{one.target:g}",
        "cleared": f"{100 * one.cleared:.0f}",
        "low": f"{100 * low:.0f}",
        "high": f"{100 * high:.0f}",
        "parts": str(one.parts),
        "wheel": "" if one.wheel_mm is None else mark(f"{1000 * one.wheel_mm:.1f} µm"),
        "cost": money,
        "chosen": answer.choice.best is not None and answer.targets[answer.choice.best] == one.target,
    }


def document_of(answer: TrialAnswer, sentence: Callable[[str, Said], str]) -> dict[str, Any]:
    """The answer as the JSON document; ``sentence`` words what is said by the macro of that name."""
    choice, proposal = answer.choice, answer.proposal
    best = None if choice.best is None else answer.targets[choice.best]
    return {
        "verdict": choice.verdict,
        "why": sentence("trial_why", _completed(answer, choice.why)),
        "helps": [sentence("trial_help", one) for one in choice.helps],
        "best": best,
        "best_so_far": None if choice.so_far is None else answer.targets[choice.so_far],
        "limit_kw": answer.limit_kw,
        "clean_kw": None if answer.shares is None else _kw(answer.shares.clean_kw),
        "clean_interval_kw": None if answer.shares is None else [_kw(end) for end in answer.shares.clean_interval()],
        "rise_kw_per_part": None if answer.fit is None else _kw(answer.fit.rise.value),
        "rise_interval_kw_per_part": None if answer.fit is None else [_kw(end) for end in answer.fit.rise.interval()],
        "noise_kw": None if answer.fit is None else _kw(answer.fit.noise_kw),
        "rungs": [
            {
                "target": one.target,
                "cleared": round(one.cleared, 4),
                "cleared_interval": [round(end, 4) for end in one.cleared_interval],
                "parts_between_dresses": one.parts,
                "wheel_mm_per_dress": _maybe(one.wheel_mm, 6),
                "wheel_interval_mm_per_dress": None
                if one.wheel_interval_mm is None
                else [round(end, 6) for end in one.wheel_interval_mm],
                "cost_per_part": _maybe(one.cost, 6),
                "cost_per_dress": _maybe(one.dress_cost, 6),
                "likely_best": _maybe(one.likely, 4),
                "characteristic_depth_mm": _maybe(one.characteristic_mm, 3),
                "best_depth_mm": _maybe(one.depth_mm, 3),
            }
            for one in answer.rungs
        ],
        "currency": answer.currency or None,
        "regret_per_part": None if choice.money is None else round(choice.money.regret, 6),
        "recipe": None
        if proposal is None
        else {
            "aggressiveness": proposal.target,
            "band": list(proposal.band),
            "every_parts": proposal.every_parts,
            "longer_than_logged": proposal.is_capped,
            "dress_mm": _maybe(proposal.dress_mm, 6),
        },
        "next": [{"run": one.run, "target": answer.targets[one.rung], "dresses": one.dresses} for one in choice.order],
        "set_aside": [
            {"line": one.line, "why": one.why, "power_kw": _kw(one.power_kw)}
            for one in (() if answer.lines is None else answer.lines.aside)
        ],
        "level_change": None
        if answer.change is None
        else {"kind": answer.change.kind, "kw": _kw(answer.change.kw), "line": answer.change.line},
        "notes": [sentence("trial_note", note) for note in answer.notes],
    }


def _kw(value: float) -> float:
    return round(value, 5)


def _maybe(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def rows_of_table(rungs: Sequence[Mapping[str, Any]], unknown: str) -> list[list[str]]:
    """The cells of the table of rungs, in the order of its heads."""
    return [
        [
            one["target"],
            f"{one['cleared']} %",
            f"{one['low']} – {one['high']} %",
            one["parts"],
            one["wheel"] or unknown,
            one["cost"] or unknown,
        ]
        for one in rungs
    ]
