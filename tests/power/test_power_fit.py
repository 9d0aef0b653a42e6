"""Fits and intervals, against numpy and scipy, and their coverage over 500 simulated logs."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from gen.power.baseline import baseline
from gen.power.estimate import Estimate, Variance, variance_of_sum
from gen.power.fit import Fit, fit
from gen.power.limit import Interval, as_seen, next_power, not_rising, truing
from gen.power.line import line_through
from gen.power.log import LoggedPart
from gen.power.recovery import dresses
from gen.power.recovery import overall_share as share_together
from gen.power.runs import Run, cut
from gen.power.shape import bend_of
from gen.power.trend import trend_of

LOGS = 500
COVERED = (0.921, 0.979)
"""Of 500 intervals of 95 %: a share within three standard errors of it, sqrt(0.95 · 0.05 / 500) = 0.97 % each."""


def run(*powers: float, first: int = 1, opening: str = "dress") -> Run:
    parts = tuple(
        LoggedPart(first + at, power, at == 0 and opening != "log", at == 0 and opening == "truing", at + 2)
        for at, power in enumerate(powers)
    )
    return cut(parts)[0]


CLEAN, RISE, NOISE = 1.1, 0.12, 0.04


@dataclass(frozen=True)
class Shape:
    """Runs of straight lines with normal noise; ``unsteady`` is how levels scatter from dress to dress."""

    runs: int = 8
    every: int = 6
    unsteady: float = 0.0
    creep: float = 0.0
    uneven: bool = False

    def level(self, chance: random.Random, number: int) -> float:
        return CLEAN + self.creep * number + chance.gauss(0, self.unsteady)

    def length(self, number: int) -> int:
        return self.every + (number % 3 - 1 if self.uneven else 0)


def simulated(chance: random.Random, shape: Shape) -> list[Run]:
    made = []
    for number in range(shape.runs):
        level = shape.level(chance, number)
        powers = (level + RISE * at + chance.gauss(0, NOISE) for at in range(shape.length(number)))
        made.append(run(*powers, first=1 + 100 * number))
    return made


def fitted(runs: list[Run]) -> Fit:
    found = fit(runs)
    assert found is not None
    return found


def test_one_run_is_ordinary_least_squares() -> None:
    powers = [1.02, 1.17, 1.22, 1.41, 1.47, 1.66]
    found = fitted([run(*powers)])
    judge = stats.linregress(range(6), powers)
    assert found.rise.value == pytest.approx(judge.slope)
    assert math.sqrt(found.rise.variance.value) == pytest.approx(judge.stderr)
    base = baseline(found).now
    assert base.value == pytest.approx(judge.intercept)
    assert math.sqrt(base.variance.value) == pytest.approx(judge.intercept_stderr)
    assert base.variance.dof == 4
    reach = stats.t.ppf(0.975, 4) * judge.stderr
    assert found.rise.interval() == pytest.approx((judge.slope - reach, judge.slope + reach))


def test_several_runs_are_one_slope_and_a_start_each() -> None:
    runs = simulated(random.Random(5), Shape(uneven=True, unsteady=0.1))
    found = fitted(runs)
    rows = [
        (at, number, power) for number, one in enumerate(runs) for at, power in zip(one.since, one.powers, strict=True)
    ]
    design = np.array([[at, *(float(number == k) for k in range(len(runs)))] for at, number, _ in rows])
    powers = np.array([power for _, _, power in rows])
    best, left, _, _ = np.linalg.lstsq(design, powers, rcond=None)
    assert found.rise.value == pytest.approx(best[0])
    assert [line.start_kw for line in found.lines] == pytest.approx(list(best[1:]))
    dof = len(rows) - len(runs) - 1
    assert found.noise.dof == dof
    assert found.noise.value == pytest.approx(left[0] / dof)
    error = left[0] / dof * np.linalg.inv(design.T @ design)[0, 0]
    assert found.rise.variance.value == pytest.approx(error)


def test_runs_with_slopes_of_their_own_keep_them() -> None:
    chance = random.Random(2)
    runs = [run(*(1 + rise * at + chance.gauss(0, 0.01) for at in range(6))) for rise in (0.05, 0.2, 0.1, 0.15)]
    found = fitted(runs)
    judges = [stats.linregress(range(6), one.powers) for one in runs]
    assert [line.rise_kw for line in found.lines] == pytest.approx([judge.slope for judge in judges])
    assert found.noise.value == pytest.approx(np.mean([np.sum(judge_residuals(one) ** 2) for one in runs]) / 4)
    # the scatter of four slopes about their mean, less what noise gives them
    assert found.slope_scatter == pytest.approx(np.var([judge.slope for judge in judges], ddof=1), rel=0.01)
    assert found.rise.variance.dof == 3
    assert found.rise.variance.value == pytest.approx(np.var([judge.slope for judge in judges], ddof=1) / 4)


def judge_residuals(one: Run) -> NDArray[np.float64]:
    line = stats.linregress(range(len(one.powers)), one.powers)
    left: NDArray[np.float64] = np.array(one.powers) - line.intercept - line.slope * np.arange(len(one.powers))
    return left


def test_too_few_parts_are_no_line() -> None:
    assert fit([run(1.0, 1.1)]) is None
    assert fit([run(1.0), run(1.1), run(1.2)]) is None
    assert fit([run(1.0, 1.1), run(1.0, 1.2)]) is not None


def test_the_slope_of_levels_is_that_of_scipy() -> None:
    chance = random.Random(1)
    levels = [1 + 0.02 * at + chance.gauss(0, 0.01) for at in range(9)]
    judge = stats.linregress(range(9), levels)
    line = line_through(range(9), levels)
    assert (line.rise.value, math.sqrt(line.rise.variance.value)) == pytest.approx((judge.slope, judge.stderr))
    start = line.at(0)
    assert (start.value, math.sqrt(start.variance.value)) == pytest.approx((judge.intercept, judge.intercept_stderr))
    assert list(line.left) == pytest.approx(np.array(levels) - judge.intercept - judge.slope * np.arange(9))


def test_the_curvature_is_the_mean_of_parabolas_and_its_test_students() -> None:
    chance = random.Random(4)
    runs = [run(*(1 + 0.1 * at + 0.01 * at**2 + chance.gauss(0, 0.01) for at in range(6))) for _ in range(8)]
    curves = [np.polyfit(range(6), one.powers, 2)[0] for one in runs]
    judge = stats.ttest_1samp(curves, 0)
    found = bend_of(fitted(runs))
    assert found.shape == "convex"
    assert found.curvature is not None
    assert found.curvature.value == pytest.approx(np.mean(curves))
    assert found.curvature.value / math.sqrt(found.curvature.variance.value) == pytest.approx(judge.statistic)
    assert bend_of(fitted([run(*(1 + 0.3 * math.sqrt(at) for at in range(6))) for _ in range(4)])).shape == "concave"
    assert bend_of(exact(1.0, 1.1, 1.0, 1.05)).shape == "straight"


def test_variances_together_have_the_degrees_of_welch() -> None:
    first, second = [1.0, 1.4, 0.9, 1.2], [2.0, 2.9, 1.7, 2.2, 2.6, 3.3]
    found = variance_of_sum([Variance(float(np.var(one, ddof=1)) / len(one), len(one) - 1) for one in (first, second)])
    judge = stats.ttest_ind(first, second, equal_var=False)
    assert found.dof == pytest.approx(judge.df)
    assert math.sqrt(found.value) == pytest.approx(abs(np.mean(first) - np.mean(second)) / abs(judge.statistic))


# -- as often as claimed

SHAPES = {
    "steady": Shape(),
    "unsteady": Shape(unsteady=0.05),
    "uneven": Shape(unsteady=0.03, uneven=True),
    "short": Shape(runs=3, every=4),
    "long": Shape(runs=20, every=3, unsteady=0.06),
}


def covered(inside: Sequence[bool]) -> bool:
    assert len(inside) == LOGS
    return COVERED[0] <= sum(inside) / LOGS <= COVERED[1]


def holds(estimate: Estimate, truth: float) -> bool:
    low, high = estimate.interval()
    return low <= truth <= high


@pytest.mark.parametrize("name", SHAPES)
def test_intervals_of_baseline_and_rise_cover_as_often_as_claimed(name: str) -> None:
    chance = random.Random(name)
    fits = [fitted(simulated(chance, SHAPES[name])) for _ in range(LOGS)]
    assert covered([holds(baseline(one).now, CLEAN) for one in fits])
    assert covered([holds(one.rise, RISE) for one in fits])


@pytest.mark.parametrize("name", SHAPES)
def test_the_next_part_stays_below_its_bound_as_often_as_claimed(name: str) -> None:
    chance, shape = random.Random(name + "next"), SHAPES[name]
    for since in (0, 5):
        below = []
        for _ in range(LOGS):
            one = fitted(simulated(chance, shape))
            power = shape.level(chance, shape.runs) + RISE * since + chance.gauss(0, NOISE)
            below.append(power <= next_power(one, baseline(one), since).above(0.95))
        assert covered(below)


def test_the_latest_baseline_of_a_creeping_log_is_covered_too() -> None:
    chance, shape = random.Random(11), Shape(runs=12, creep=0.05, unsteady=0.02)
    bases = [baseline(fitted(simulated(chance, shape))) for _ in range(LOGS)]
    creeping = [base for base in bases if base.trend.course == "creeps"]
    # what a line leaves may by chance look like something else, never like a steady level
    assert len(creeping) >= 0.9 * LOGS
    assert "steady" not in {base.trend.course for base in bases}
    least = 0.95 - 3 * math.sqrt(0.95 * 0.05 / len(creeping))
    assert sum(holds(base.now, CLEAN + 0.05 * 11) for base in creeping) >= least * len(creeping)
    assert sum(base.creep is not None and holds(base.creep, 0.05) for base in creeping) >= least * len(creeping)


@pytest.mark.parametrize(
    ("course", "levels"),
    [
        ("steady", [1.0] * 8),
        ("creeps", [1 + 0.1 * at for at in range(8)]),
        ("falls", [2 - 0.1 * at for at in range(8)]),
        ("steps", [1.0] * 5 + [1.4] * 5),
        ("settles", [2 - math.exp(-at / 2) for at in range(9)]),
        ("steady", [1.0, 1.3, 1.1]),
    ],
)
def test_courses_of_levels(course: str, levels: list[float]) -> None:
    chance = random.Random(2)
    found = trend_of([level + chance.gauss(0, 0.01) for level in levels], 0.15)
    assert found.course == course
    assert (found.at == 5) == (course == "steps")


def test_a_step_is_not_called_creep() -> None:
    chance, called = random.Random(8), []
    for _ in range(300):
        size, at = chance.uniform(0.08, 0.5), chance.randrange(3, 10)
        levels = [1 + size * (one >= at) + chance.gauss(0, 0.025) for one in range(13)]
        called.append(trend_of(levels, 0.15).course)
    assert called.count("creeps") <= 0.05 * len(called)
    assert called.count("steps") >= 0.6 * len(called)


def test_the_share_of_all_dresses_is_covered() -> None:
    # levels given, so that the truth of these very dresses is known: 1 less what was gained over what rose
    chance, levels = random.Random(13), (1.0, 1.2, 1.3, 1.5, 1.45)
    truth = 1 - 0.45 / (4 * 5 * RISE)
    inside = []
    for _ in range(LOGS):
        runs = [run(*(level + RISE * at + chance.gauss(0, NOISE) for at in range(6))) for level in levels]
        share = share_together(fitted(runs))
        assert share is not None
        inside.append(holds(share, truth))
    assert covered(inside)


# -- parts until the limit


def exact(*levels: float, rise: float = 0.1, every: int = 6) -> Fit:
    """Runs with next to no noise: a millionth of a kW, up and down in turn."""
    return fitted([run(*(level + rise * at + (-1) ** at * 1e-6 for at in range(every))) for level in levels])


def seen(one: Fit, limit_kw: float) -> Interval:
    found = as_seen(one, baseline(one), limit_kw, straight=True)
    assert found is not None
    return found


def test_parts_until_the_limit_by_hand() -> None:
    # 1.0 kW and 0.1 kW a part: part 4 is at 1.3 kW, part 5 at 1.4 kW
    found = seen(exact(1.0, 1.0, 1.0), 1.35)
    assert (found.parts, found.expected, found.most, found.capped) == (4, 4, 6, False)
    assert found.margin_kw == pytest.approx(0.05, abs=1e-4)
    assert [power.value for power in found.band] == pytest.approx([1.0, 1.1, 1.2, 1.3], abs=1e-4)


def test_no_run_longer_than_the_usual_one_is_proposed() -> None:
    found = seen(exact(1.0, 1.0, 1.0, every=7), 50)
    assert (found.parts, found.expected, found.most, found.capped) == (7, None, 7, True)


def test_scatter_shortens_the_interval() -> None:
    found = seen(exact(0.9, 1.1, 1.0, 0.95, 1.05), 1.49)
    assert found.expected == 5
    # worked by hand: levels scatter by 0.0791 kW; t(0.95; 4) = 2.132; 2.132 · 0.0791 · sqrt(1 + 1/5) = 0.185 kW
    assert found.parts == math.floor((1.49 - 1.0 - 0.185) / 0.1) + 1 == 4
    assert found.margin_kw == pytest.approx(0.19, abs=1e-4)


def test_a_limit_below_the_baseline_leaves_no_part() -> None:
    found = seen(exact(1.0, 1.0, 1.0), 0.9)
    assert (found.parts, found.expected, found.margin_kw) == (0, 0, None)


def test_one_run_tells_no_parts() -> None:
    one = exact(1.0)
    assert as_seen(one, baseline(one), 2, straight=True) is None
    assert not_rising(one, baseline(one), 2) is None


def test_runs_that_bend_go_by_the_means_at_each_place() -> None:
    one = fitted([run(*(level + 0.3 * math.sqrt(at) for at in range(6))) for level in (1.0, 1.02, 0.98, 1.01, 0.99)])
    found = as_seen(one, baseline(one), 1.6, straight=False)
    assert found is not None
    # by hand: the means are 1 + 0.3 √x; levels scatter by 0.0158 kW; t(0.95; 4) = 2.132, so 0.0369 kW on top
    assert [power.value for power in found.band] == pytest.approx([1 + 0.3 * math.sqrt(at) for at in range(4)])
    assert found.parts == 4 == sum(1 + 0.3 * math.sqrt(at) + 0.0369 <= 1.6 for at in range(6))


def test_a_power_that_does_not_rise_leaves_room_for_longer_runs() -> None:
    one = fitted([run(*(1.0 + (-1) ** (at + turn) * 0.01 for at in range(6))) for turn in range(8)])
    found = not_rising(one, baseline(one), 2.0)
    assert found is not None
    assert (found.parts, found.ground) == (9, "flat")
    # a limit of 1.25 times the power leaves at most 1.25 times the parts
    near = not_rising(one, baseline(one), 1.26)
    assert near is not None
    assert near.parts == 7


def test_when_to_true_by_hand() -> None:
    # 2 mW of unevenness; creep 0.05 kW a dress from 1.0 kW: 1.45 kW after ten, and a run of six adds 0.5 kW;
    # 2.11 - 1.45 - 0.5 = 0.16 kW of room, three dresses of six parts
    one = exact(*(1 + 0.05 * number + (-1) ** number * 2e-6 for number in range(10)))
    base = baseline(one)
    assert base.trend.course == "creeps"
    due = truing(one, base, 2.11)
    assert due is not None
    assert (due.dresses, due.parts, due.beyond) == (3, 18, False)
    late, now = truing(one, base, 5), truing(one, base, 1.8)
    assert late is not None
    assert now is not None
    assert (late.dresses, late.beyond) == (15, True)
    assert (now.dresses, now.parts) == (0, 0)


# -- what each dress took


def test_shares_by_hand_are_not_clipped() -> None:
    # each run of six rises by 0.5 kW; starts 1.0, 1.3, 1.2, 1.2: the dresses took 0.2, 0.6 and 0.5 kW
    runs = list(exact(1.0, 1.3, 1.2, 1.2).runs)
    found = dresses(runs)
    assert [dress.share for dress in found] == [None, *(pytest.approx(share, abs=1e-4) for share in (0.4, 1.2, 1.0))]
    assert found[0].silence == "nothing-before"


def test_the_run_before_the_first_mark_tells_nothing() -> None:
    log = run(1.9, 2.0, 2.1, opening="log")
    found = dresses([log, *exact(1.0, 1.3, 1.3).runs])
    assert [dress.silence for dress in found] == ["unknown-start", None, None]


def test_a_share_within_the_noise_is_unknown() -> None:
    # noise of ±0.1 kW, rise of 0.2 kW in a run; then the same with a rise of 0.5 kW
    for rise, silence in ((0.02, "in-the-noise"), (0.1, None)):
        powers = [1 + rise * at + (-1) ** (at // 2) * 0.1 for at in range(6)]
        found = dresses([run(*powers), run(*powers), run(*powers)])
        assert [dress.silence for dress in found[1:]] == [silence, silence]


def test_no_share_of_truing_nor_across_it_nor_after_lost_parts() -> None:
    first = exact(1.0, 1.1, 1.2).runs
    trued = run(*(0.9 + 0.1 * at + (-1) ** at * 1e-6 for at in range(6)), opening="truing")
    after = exact(0.9, 0.95, 0.9).runs
    found = dresses([*first, trued, *after])
    assert [dress.silence for dress in found] == ["nothing-before", None, None, "truing", None, None, None]
    parts = [part for one in exact(1.0, 1.0, 1.0).runs for part in one.parts]
    numbered = [replaced(part, at + 1 + (2 if at >= 6 else 0)) for at, part in enumerate(parts)]
    assert [dress.silence for dress in dresses(cut(numbered))] == ["nothing-before", "lost-parts", None]


def replaced(part: LoggedPart, number: int) -> LoggedPart:
    return LoggedPart(number, part.power_kw, part.dressed, part.trued, part.line)
