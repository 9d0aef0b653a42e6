"""Which target to choose: chosen, go on with another block, or cannot tell.

The best rung is chosen when another block would save less than it costs. What the
choice may cost too much, over the parts it will be used for, is the expected
regret; a block takes its share off that, and costs its dresses, less what its
parts would have cost anyway.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.power.said import Said, as_said
from gen.power.trial.economy import Prices, Ranking, Sample, costs, dress_cost, ranked
from gen.power.trial.schedule import DRESSES_IN_A_ROW, PlannedRun, schedule

TrialVerdict: TypeAlias = Literal["chosen", "go-on", "cannot-tell"]

MOST_BLOCKS = 8
"""Further blocks that are worth proposing; where more would be wanted, the trial cannot tell."""
ENOUGH_TO_SAY = 4
"""Blocks after which the number of further ones is judged; before, the scatter itself is hardly known."""
AT_ANY_PRICES = 0.02
"""Where prices are missing, a rung must cost at most so much more than the best one, whatever the prices are."""
NEVER = 0.01
"""A rung that is the best one less often is left out of the next block."""


@dataclass(frozen=True)
class Choice:
    """The verdict with its grounds; ``best`` is the rung chosen, ``so_far`` the best one until now.

    ``order`` are the runs of the next block; ``money`` is None without prices, ``dress`` the mean cost of one by rung.
    """

    verdict: TrialVerdict
    why: Said
    best: int | None = None
    so_far: int | None = None
    helps: tuple[Said, ...] = ()
    order: tuple[PlannedRun, ...] = ()
    money: Ranking | None = None
    dress: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Before:
    """How far the trial has come: ``runs`` done, the ``usual`` parts of one, and the seed of the next block's order."""

    runs: int
    usual: int
    seed: int


def choose(samples: Sequence[Sample], prices: Prices | None, limit_kw: float, ahead: float, before: Before) -> Choice:
    """The choice from ``samples``, all with their wheel loss; ``ahead`` are the parts it will be used for."""
    if prices is None:
        return _at_any_prices(samples, limit_kw)
    ranking = ranked(costs(samples, prices, limit_kw))
    rungs = range(len(ranking.mean))
    dress = tuple(math.fsum(dress_cost(one, prices, rung) for one in samples) / len(samples) for rung in rungs)
    contenders = _contenders(ranking)
    block = _block_cost(contenders, dress, ranking, before.usual)
    at_stake = ranking.regret * ahead
    done = max(1.0, before.runs / (len(rungs) * len(DRESSES_IN_A_ROW)))
    # what a choice may cost too much falls about as the number of blocks grows, from one to the next by 1/(done + 1)
    saved = at_stake / (done + 1)
    numbers = {
        "regret": f"{100 * ranking.regret / ranking.mean[ranking.best]:.1f}",
        "stake": f"{at_stake:.2f}",
        "saved": f"{saved:.2f}",
        "block": f"{block:.2f}",
    }
    if saved <= block:
        why = as_said("chosen", **numbers)
        return Choice("chosen", why, best=ranking.best, so_far=ranking.best, money=ranking, dress=dress)
    # at n blocks in all the next one saves at_stake · done / (n (n + 1))
    wanted = math.ceil(math.sqrt(at_stake * done / block) - done)
    if done >= ENOUGH_TO_SAY and wanted > MOST_BLOCKS:
        why = as_said("too-many-blocks", blocks=str(wanted), **numbers)
        helps = (as_said("help-spread"), as_said("help-scatter"))
        return Choice("cannot-tell", why, so_far=ranking.best, helps=helps, money=ranking, dress=dress)
    why = as_said("go-on", **numbers)
    order = tuple(schedule(contenders, 1, before.seed, before.runs + 1))
    return Choice("go-on", why, so_far=ranking.best, order=order, money=ranking, dress=dress)


def _contenders(ranking: Ranking) -> list[int]:
    """The rungs that may still be the best one, at least two."""
    by_chance = sorted(range(len(ranking.likely)), key=lambda rung: -ranking.likely[rung])
    return sorted({ranking.best, *by_chance[:2], *(rung for rung in by_chance if ranking.likely[rung] >= NEVER)})


def _block_cost(contenders: Sequence[int], dress: Sequence[float], ranking: Ranking, usual: int) -> float:
    """What another block costs more than the same parts would with the best rung; never less than one dress."""
    made = math.fsum(dress[rung] for rung in contenders) * sum(DRESSES_IN_A_ROW)
    parts = len(contenders) * len(DRESSES_IN_A_ROW) * usual
    return max(made - parts * ranking.mean[ranking.best], min(dress))


def _at_any_prices(samples: Sequence[Sample], limit_kw: float) -> Choice:
    """Without prices: a rung that is about the best one whether the wheel costs nothing or everything."""
    rungs = len(samples[0].loadings)
    by_dress = ranked(costs(samples, Prices((1.0,) * rungs, 0.0), limit_kw))
    by_wheel = ranked(costs(samples, Prices((0.0,) * rungs, 1.0), limit_kw))
    worst = [
        max(_behind(ranking, rung) for ranking in (by_dress, by_wheel)) + max(by_dress.regret / min(by_dress.mean), 0)
        for rung in range(rungs)
    ]
    best = min(range(rungs), key=lambda rung: worst[rung])
    if worst[best] <= AT_ANY_PRICES:
        return Choice(
            "chosen", as_said("chosen-at-any-prices", most=f"{100 * AT_ANY_PRICES:g}"), best=best, so_far=best
        )
    why = as_said("prices-missing", dress=str(by_dress.best), wheel=str(by_wheel.best))
    return Choice("cannot-tell", why, helps=(as_said("help-costs"),))


def _behind(ranking: Ranking, rung: int) -> float:
    """By how much ``rung`` costs more than the best one, as a share."""
    least = ranking.mean[ranking.best]
    return ranking.mean[rung] / least - 1 if least > 0 else float(ranking.mean[rung] > 0)
