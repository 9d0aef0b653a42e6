"""What the log of a trial answers: which target to dress at, how often, and what it costs."""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from gen.base.dataclass import dataclass
from gen.power.fit import Fit
from gen.power.limit import REACH
from gen.power.rest import SURE, Loading, growths
from gen.power.said import Said, as_said
from gen.power.shape import Bend, bend_of
from gen.power.trial.choice import Before, Choice, choose
from gen.power.trial.depth import best_depth, characteristic_depth
from gen.power.trial.drops import LevelChange, RunLines, drop_lines, dropped, levelled
from gen.power.trial.economy import Prices, Sample, parts_between
from gen.power.trial.log import TrialLog
from gen.power.trial.schedule import DRESSES_IN_A_ROW, schedule
from gen.power.trial.shares import Shares, central
from gen.power.trial.wear import WheelWear, wear

ABOUT_AS_CHEAP = 0.03
"""Rungs that cost at most so much more than the best one belong to the proposed band."""
LEAST_BAND = 0.1
"""The band reaches at least so far from its target, as a share of it."""

NO_LOSS = "wheel-not-less"
"""Why nothing is chosen where the diameters do not show that dresses take anything off the wheel."""


@dataclass(frozen=True)
class DressCosts:
    """What a dress costs in the shop's money, and what there is of the wheel.

    ``fixed`` is one dress at any depth, ``per_mm`` what each mm of depth adds,
    both by target. ``size_mm`` is the price of 1 mm of the wheel's size as the
    log has it, ``usable_mm`` what of that size may be used, ``radius_share`` the
    loss of radius for each mm of it.
    """

    currency: str
    fixed: Callable[[float], float]
    per_mm: Callable[[float], float]
    size_mm: float
    usable_mm: float
    depth_mm: float
    radius_share: float


@dataclass(frozen=True)
class RungResult:
    """What the trial tells of one target; None is what it cannot tell.

    ``parts`` keeps 19 of 20 runs below the limit. ``wheel_mm`` is the loss of
    the wheel's size in one dress. ``likely`` is how likely the target is the cheapest.
    ``characteristic_mm`` and ``depth_mm`` are t₀ and the best depth, where the depth was varied.
    """

    target: float
    cleared: float
    cleared_interval: tuple[float, float]
    parts: int
    wheel_mm: float | None
    wheel_interval_mm: tuple[float, float] | None
    cost: float | None
    dress_cost: float | None
    likely: float | None
    characteristic_mm: float | None = None
    depth_mm: float | None = None


@dataclass(frozen=True)
class Proposal:
    """What to write into the recipe; ``is_capped``: a longer interval would need a longer run in the log.

    ``dress_mm`` is what one dress takes off the wheel's radius, None if it is not known.
    """

    target: float
    band: tuple[float, float]
    every_parts: int
    is_capped: bool
    dress_mm: float | None = None


@dataclass(frozen=True)
class TrialAnswer:
    """Everything that the log of a trial says about a limit in kW; None is what it cannot tell."""

    log: TrialLog
    limit_kw: float
    targets: tuple[float, ...]
    choice: Choice
    notes: tuple[Said, ...]
    lines: RunLines | None
    shares: Shares | None = None
    change: LevelChange | None = None
    wear: WheelWear | None = None
    rungs: tuple[RungResult, ...] = ()
    proposal: Proposal | None = None
    currency: str = ""
    usual: int = 0

    @property
    def fit(self) -> Fit | None:
        return None if self.lines is None else self.lines.fit


@dataclass(frozen=True)
class _Told:
    """What the fits give before anything is chosen."""

    lines: RunLines
    shares: Shares
    change: LevelChange | None
    wear: WheelWear | None
    bend: Bend
    samples: tuple[Sample, ...]


def trial_answer(
    log: TrialLog,
    limit_kw: float,
    shop: DressCosts | None = None,
    *,
    band: tuple[float, float] | None = None,
    ahead: float | None = None,
    seed: int = 1,
    notes: Sequence[Said] = (),
) -> TrialAnswer:
    """What ``log`` says about the limit ``limit_kw``, as the machine shows it.

    ``band`` is the recipe's, which a proposal never leaves. ``ahead`` are the parts that the choice will be used
    for, as many as a wheel lasts unless given. ``notes`` come before those of the log.
    """
    targets = tuple(sorted({run.target for run in log.runs if run.target is not None and run.dresses}))
    depths = sorted({run.depth_mm for run in log.runs if run.depth_mm is not None and run.dresses})
    usual_depth = shop.depth_mm if shop is not None else statistics.median(depths) if depths else None
    found = drop_lines(log.runs)
    told_notes = [*notes, *log.notes]
    if found is None or len(targets) < 2:
        why = as_said("few-parts-trial") if found is None else as_said("one-target")
        choice = Choice("cannot-tell", why, helps=(as_said("help-plan"),))
        return TrialAnswer(log, limit_kw, targets, choice, tuple(told_notes), found)
    told_notes += _aside(found, log)
    level = levelled(found, dropped(found, targets, usual_depth), len(targets), seed)
    usual = math.ceil(statistics.median(run.ground for run in found.runs))
    done = sum(1 for run in log.runs if run.opening == "dress")
    if level is None:
        choice = _unfinished(len(targets), done, seed)
        return TrialAnswer(log, limit_kw, targets, choice, tuple(told_notes), found, usual=usual)
    if found.fit.rise.interval()[0] <= 0:
        choice = Choice("cannot-tell", as_said("no-rise-trial"), helps=(as_said("help-longer"),))
        return TrialAnswer(log, limit_kw, targets, choice, tuple(told_notes), found)
    cleared, change = level
    worn = wear(log.runs, targets, usual_depth, len(cleared.draws), seed)
    bend = bend_of(found.fit)
    told = _Told(found, cleared, change, worn, bend, tuple(_samples(found.fit, bend, cleared, worn, seed)))
    # runs that bend upward are never carried on
    most = found.fit.longest if bend.shape == "convex" else math.floor(REACH * found.fit.longest)
    told_notes += _notes(told)
    prices = None
    if shop is not None:
        prices = Prices(tuple(shop.fixed(one) + shop.per_mm(one) * shop.depth_mm for one in targets), shop.size_mm)
    life = ahead if ahead is not None or shop is None else _life(told, shop, targets, limit_kw)
    choice = _chosen(told, prices, limit_kw, life or 0.0, Before(done, usual, seed))
    if choice.why.key == NO_LOSS:
        told = replace(told, wear=None)
    rungs = tuple(_rungs(told, targets, limit_kw, choice, shop, usual_depth if len(depths) > 1 else None))
    return TrialAnswer(
        log=log,
        limit_kw=limit_kw,
        targets=targets,
        lines=found,
        shares=cleared,
        change=change,
        wear=told.wear,
        rungs=rungs,
        choice=choice,
        proposal=_proposal(rungs, choice, most, band, shop),
        notes=tuple(told_notes),
        currency="" if shop is None else shop.currency,
        usual=usual,
    )


def _unfinished(rungs: int, done: int, seed: int) -> Choice:
    order = tuple(schedule(range(rungs), 1, seed, done + 1))
    return Choice(
        "go-on", as_said("few-runs-trial", runs=str(done), block=str(rungs * len(DRESSES_IN_A_ROW))), order=order
    )


def _samples(fit: Fit, bend: Bend, found: Shares, worn: WheelWear | None, seed: int) -> Iterator[Sample]:
    """The states of things that the fits allow, each with a rise of its own."""
    count = len(found.draws)
    error = math.sqrt(fit.rise.variance.value)
    least = 0.05 * max(fit.rise.value, 1e-9)
    level = math.fsum(fit.levels) / len(fit.levels)
    bent = growths(bend, fit.rise.value)
    for at, draw in enumerate(found.draws):
        # a step that shares no factor with the count visits every quantile once, in an order of its own
        part = ((at * 181 + seed) % count + 0.5) / count
        rise = max(least, fit.rise.value + error * statistics.NormalDist().inv_cdf(part))
        seen = max(0.0, level - draw.clean_kw)
        yield Sample(
            loadings=tuple(
                Loading(draw.clean_kw, rise, max(cleared, 1e-6), seen, fit.mean_length, bent[at % len(bent)])
                for cleared in draw.cleared
            ),
            wheel_mm=None if worn is None else worn.draws[at],
            part_kw=fit.noise_kw,
            dress_kw=found.scatter_kw,
        )


def _life(told: _Told, shop: DressCosts, targets: Sequence[float], limit_kw: float) -> float | None:
    """The parts that a whole wheel grinds, at the rung where it lasts longest."""
    if told.wear is None:
        return None
    losses = [
        told.wear.per_part + told.wear.per_dress[rung] / max(1, parts_between(told.samples, rung, limit_kw))
        for rung in range(len(targets))
    ]
    return shop.usable_mm / max(min(losses), 1e-6)


def _chosen(told: _Told, prices: Prices | None, limit_kw: float, ahead: float, before: Before) -> Choice:
    rungs = range(len(told.shares.cleared))
    if not any(parts_between(told.samples, rung, limit_kw) for rung in rungs):
        clean = told.shares.clean_kw
        return Choice("cannot-tell", as_said("limit-too-low", clean=f"{clean:.2f}"), helps=(as_said("help-limit"),))
    if told.wear is None:
        return Choice("cannot-tell", as_said("wheel-missing"), helps=(as_said("help-wheel"),))
    choice = choose(told.samples, prices, limit_kw, ahead, before)
    # without a loss that shows, nothing speaks against the hardest dress; a gain is a fault of measuring
    if told.wear.sure < (SURE if choice.verdict == "chosen" else 0.5):
        return Choice("cannot-tell", as_said(NO_LOSS), helps=(as_said("help-gauge"), as_said("help-blocks")))
    return choice


def _rungs(
    told: _Told,
    targets: Sequence[float],
    limit_kw: float,
    choice: Choice,
    shop: DressCosts | None,
    varied_mm: float | None,
) -> Iterator[RungResult]:
    """What is told of each target; ``varied_mm`` is the usual depth where a trial has varied it."""
    found, worn = told.shares, told.wear
    for rung, target in enumerate(targets):
        cleared = found.cleared[rung]
        deep = None if varied_mm is None or not 0 < cleared < 1 else characteristic_depth(cleared, varied_mm)
        yield RungResult(
            target=target,
            cleared=cleared,
            cleared_interval=found.cleared_interval(rung),
            parts=parts_between(told.samples, rung, limit_kw),
            wheel_mm=None if worn is None else worn.per_dress[rung],
            wheel_interval_mm=None if worn is None else central([draw[rung] for draw in worn.draws]),
            cost=None if choice.money is None else choice.money.mean[rung],
            dress_cost=None if choice.money is None else choice.dress[rung],
            likely=None if choice.money is None else choice.money.likely[rung],
            characteristic_mm=deep,
            depth_mm=None if deep is None or shop is None or worn is None else _depth(shop, worn, rung, target, deep),
        )


def _depth(shop: DressCosts, worn: WheelWear, rung: int, target: float, characteristic_mm: float) -> float:
    """The best depth of one plunge, mm; the wheel's loss counts with the depth, as the fit has it."""
    per_mm = shop.per_mm(target) + shop.size_mm * worn.per_dress[rung] / shop.depth_mm
    return best_depth(shop.fixed(target), per_mm, characteristic_mm)


def _proposal(
    rungs: Sequence[RungResult],
    choice: Choice,
    most: int,
    limits: tuple[float, float] | None,
    shop: DressCosts | None,
) -> Proposal | None:
    if choice.best is None:
        return None
    best = rungs[choice.best]
    low = high = choice.best
    if best.cost is not None:
        near = [one.cost is not None and one.cost <= best.cost * (1 + ABOUT_AS_CHEAP) for one in rungs]
        while low > 0 and near[low - 1]:
            low -= 1
        while high + 1 < len(rungs) and near[high + 1]:
            high += 1
    below = (rungs[low - 1].target + rungs[low].target) / 2 if low else rungs[low].target
    above = (rungs[high].target + rungs[high + 1].target) / 2 if high + 1 < len(rungs) else rungs[high].target
    band = min(below, best.target * (1 - LEAST_BAND)), max(above, best.target * (1 + LEAST_BAND))
    if limits is not None:
        band = max(band[0], limits[0]), min(band[1], limits[1])
    return Proposal(
        best.target,
        (float(round(band[0])), float(round(band[1]))),
        min(best.parts, most),
        best.parts > most,
        None if shop is None or not best.wheel_mm else best.wheel_mm * shop.radius_share,
    )


def _aside(found: RunLines, log: TrialLog) -> Iterator[Said]:
    numbers = {part.line: part.number for run in log.runs for part in run.parts}
    for one in found.aside:
        yield as_said(
            "set-aside", line=str(one.line), part=str(numbers[one.line]), kw=f"{one.power_kw:.3f}", why=one.why
        )


def _notes(told: _Told) -> Iterator[Said]:
    change = told.change
    if change is not None:
        yield as_said(f"level-{change.kind}", line=str(change.line), kw=f"{change.kw:+.2f}")
    if told.bend.shape != "straight":
        yield as_said("upward" if told.bend.shape == "convex" else "downward")
    if told.lines.fit.slope_scatter > 0:
        yield as_said("rise-differs-trial")
    if told.wear is not None:
        for line in told.wear.aside:
            yield as_said("diameter-aside", line=str(line))
