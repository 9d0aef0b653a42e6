"""The answer of a trial as numbers ready to be worded: what a language's ``trial.j2`` says around them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from gen.power.said import Said
from gen.power.telling import DecimalMark, estimated, rounded, rounded_ends, with_ends, worded
from gen.power.trial.answer import RungResult, TrialAnswer

MOST_NOTES = 12
"""Notes that are told one by one."""


def telling_of(answer: TrialAnswer, mark: DecimalMark) -> Mapping[str, Any]:
    """What there is to tell; ``mark`` puts the language's decimal mark into a number. Empty texts are not told."""
    choice, proposal, shares = answer.choice, answer.proposal, answer.shares
    notes = [worded(note, mark) for note in answer.notes]
    return {
        "verdict": choice.verdict,
        "best": _target(answer, choice.best),
        "so_far": _target(answer, choice.so_far),
        "why": worded(_completed(answer, choice.why), mark),
        "helps": [worded(one, mark) for one in choice.helps],
        "limit": mark(f"{answer.limit_kw:.2f}"),
        "clean": shares and with_ends(shares.clean_kw, shares.clean_interval(), ".2f", mark),
        "rise": answer.fit and estimated(answer.fit.rise, ".3f", mark),
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
        "proposal": proposal
        and {
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
    choice, proposal, shares, fit, change = answer.choice, answer.proposal, answer.shares, answer.fit, answer.change
    best = None if choice.best is None else answer.targets[choice.best]
    return {
        "verdict": choice.verdict,
        "why": sentence("trial_why", _completed(answer, choice.why)),
        "helps": [sentence("trial_help", one) for one in choice.helps],
        "best": best,
        "best_so_far": None if choice.so_far is None else answer.targets[choice.so_far],
        "limit_kw": answer.limit_kw,
        "clean_kw": shares and rounded(shares.clean_kw),
        "clean_interval_kw": shares and rounded_ends(shares.clean_interval()),
        "rise_kw_per_part": fit and rounded(fit.rise.value),
        "rise_interval_kw_per_part": fit and rounded_ends(fit.rise.interval()),
        "noise_kw": fit and rounded(fit.noise_kw),
        "rungs": [
            {
                "target": one.target,
                "cleared": rounded(one.cleared, 4),
                "cleared_interval": rounded_ends(one.cleared_interval, 4),
                "parts_between_dresses": one.parts,
                "wheel_mm_per_dress": rounded(one.wheel_mm, 6),
                "wheel_interval_mm_per_dress": rounded_ends(one.wheel_interval_mm, 6),
                "cost_per_part": rounded(one.cost, 6),
                "cost_per_dress": rounded(one.dress_cost, 6),
                "likely_best": rounded(one.likely, 4),
                "characteristic_depth_mm": rounded(one.characteristic_mm, 3),
                "best_depth_mm": rounded(one.depth_mm, 3),
            }
            for one in answer.rungs
        ],
        "currency": answer.currency or None,
        "regret_per_part": choice.money and rounded(choice.money.regret, 6),
        "recipe": proposal
        and {
            "aggressiveness": proposal.target,
            "band": list(proposal.band),
            "every_parts": proposal.every_parts,
            "longer_than_logged": proposal.is_capped,
            "dress_mm": rounded(proposal.dress_mm, 6),
        },
        "next": [{"run": one.run, "target": answer.targets[one.rung], "dresses": one.dresses} for one in choice.order],
        "set_aside": [
            {"line": one.line, "why": one.why, "power_kw": rounded(one.power_kw)}
            for one in (() if answer.lines is None else answer.lines.aside)
        ],
        "level_change": change and {"kind": change.kind, "kw": rounded(change.kw), "line": change.line},
        "notes": [sentence("trial_note", note) for note in answer.notes],
    }


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
