"""What follows when the advice is followed, in simulated shops that the estimator was not made for.

Each log is one of four: steady, steady with the clean power given, begun clean
after truing, with three dresses in ten made double. Where a number of parts is
told, the shop goes on with it for 40 dresses, and 19 of 20 runs are to end below
the limit.

Measured with 300 logs for each world and share, 75 of each kind:

====================  ==========================  ===========================================================
world                 runs below the limit        95 % intervals that held the share, for k = .3, .5, .8, 1
====================  ==========================  ===========================================================
straight              99.5 to 99.9 %              95, 98, 96, 99 %
root                  99.2 to 100 %               57, 52, 85, 98 %
saturating            99.3 to 99.9 %              61, 77, 94, 99 %
upward 1.35 *         99.1 to 99.8 %              48, 70, 91, 99 %
upward 1.5            99.3 to 99.9 %              62, 73, 93, 98 %
noise alike *         99.3 to 99.8 %              96, 97, 99, 98 %
warming               100 %, of few               64, 91, 100, 97 %
warming slowly        99.2 to 100 %, of few       80, 100, 100, 100 %
warming quickly *     99.4 to 100 %, of few       95, 77, 97, 96 %
step                  no number                   89, 95, 97, 99 %
large step            no number                   72, 84, 89, 87 %
wandering             90.2 to 93.9 %, of few      67, 72, 79, 90 %
====================  ==========================  ===========================================================

Worlds with a star were measured before the doubt whether levels wander was told by von Neumann's ratio, which gives
fewer numbers; warming quickly with 100 logs.

No log of k = .3 or .5 was called good. Of a spindle that warms up, none in 300 with k = .8 was called too gentle, and
2 to 3 % of those that warm up slowly were told to true the wheel; after a step nobody was.

Where the level goes on wandering by 0.1 kW a dress, no number can hold for 40 dresses. Of 300 logs 9 to 31 get one all
the same, and 8 to 11 are told to true the wheel, as a walk in one direction looks like a creep.
"""

from __future__ import annotations

import math
import os
from collections import Counter
from dataclasses import dataclass, field, replace

import numpy as np
import pytest
from worlds import Shop, Truth

from gen.power.answer import answer

LOGS = int(os.environ.get("DRESSBLOCK_LOGS", "8"))
"""Logs for each world and share; 300 in the long run, whose results stand at the tests."""
DRESSES = 40
CLAIMED, WITHIN = 0.95, 0.03

STRAIGHT = Truth()
WORLDS = {
    "straight": STRAIGHT,
    "root": replace(STRAIGHT, curve="root"),
    "saturating": replace(STRAIGHT, curve="saturating"),
    "upward 1.35": replace(STRAIGHT, curve="upward 1.35"),
    "upward 1.5": replace(STRAIGHT, curve="upward 1.5"),
    "noise alike": replace(STRAIGHT, alike=0.6),
    "warming": replace(STRAIGHT, warming=0.3),
    "warming slowly": replace(STRAIGHT, warming=0.4, slow=50.0),
    "warming quickly": replace(STRAIGHT, warming=0.2, slow=10.0),
    "wandering": replace(STRAIGHT, wander=0.1),
    "step": replace(STRAIGHT, step=0.25),
    "large step": replace(STRAIGHT, step=0.5),
}
SHARES = (0.3, 0.5, 0.8, 1.0)
TOLD_BY = ("nothing", "clean", "begins", "doubles")


@dataclass
class Tally:
    """What came of many logs: ``told`` had a number, ``held`` of the runs that followed ended below the limit."""

    told: int = 0
    held: int = 0
    inside: int = 0
    intervals: int = 0
    of_best: float = 0.0
    verdicts: Counter[str] = field(default_factory=Counter)

    @property
    def kept(self) -> float:
        return self.held / (self.told * DRESSES) if self.told else 1.0


def tallied(truth: Truth, told_by: str, logs: int, seed: int) -> Tally:
    chance, tally = np.random.default_rng(seed), Tally()
    doubles, begins = 0.3 * (told_by == "doubles"), "clean" if told_by == "begins" else "steady"
    truth = replace(truth, doubles=doubles, begins=begins)
    for _ in range(logs):
        shop = Shop(truth, chance)
        log = shop.log()
        best = int(chance.integers(3, 13))
        limit = shop.ends_at(best) + 2 * truth.noise
        found = answer(log, limit, truth.clean if told_by == "clean" else None)
        tally.verdicts[found.verdict] += 1
        if found.cleared is not None:
            low, high = found.cleared.interval()
            tally.intervals += 1
            tally.inside += low - 1e-9 <= truth.cleared <= high + 1e-9
        if found.interval is not None and found.interval.parts:
            tally.told += 1
            tally.of_best += found.interval.parts / best
            tally.held += shop.below(found.interval.parts, limit, DRESSES)
    return tally


def added(tallies: list[Tally]) -> Tally:
    whole = Tally()
    for one in tallies:
        whole.told, whole.held, whole.of_best = (
            whole.told + one.told,
            whole.held + one.held,
            whole.of_best + one.of_best,
        )
        whole.inside, whole.intervals = whole.inside + one.inside, whole.intervals + one.intervals
        whole.verdicts.update(one.verdicts)
    return whole


def slack(share: float, many: int) -> float:
    """Three standard errors of a share of ``many``, for runs that are too short to show the share itself."""
    return 3 * math.sqrt(share * (1 - share) / max(1, many)) if LOGS < 100 else 0.0


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("world", WORLDS)
def test_runs_end_below_the_limit_as_often_as_claimed(world: str, share: float) -> None:
    seed = 1000 * list(WORLDS).index(world) + round(100 * share)
    truth = replace(WORLDS[world], cleared=share)
    each = {by: tallied(truth, by, max(1, LOGS // 4), seed + at) for at, by in enumerate(TOLD_BY)}
    whole = added(list(each.values()))
    by_each = ", ".join(f"{by} {one.told}: {one.kept:.3f}" for by, one in each.items())
    print(
        f"\n{world} {share}: told {whole.told}, kept {whole.kept:.3f} ({by_each}), "
        f"of the best {whole.of_best / max(1, whole.told):.2f}, "
        f"intervals {whole.inside}/{whole.intervals}, {dict(whole.verdicts)}"
    )
    if world == "wandering":
        assert whole.told <= (0.15 + slack(0.15, LOGS)) * LOGS
    else:
        assert whole.kept >= CLAIMED - WITHIN - slack(CLAIMED, whole.told)
    if share <= 0.5:
        assert each["nothing"].verdicts["good"] == 0
        assert whole.verdicts["good"] == 0
    # nothing but loading stays after a dress here, and what stays is not creep
    assert whole.verdicts["true-the-wheel"] <= (0.05 + slack(0.05, LOGS)) * LOGS
    if share >= 0.8:
        assert whole.verdicts["too-gentle"] <= (0.05 + slack(0.05, LOGS)) * LOGS
        assert each["begins"].verdicts["too-gentle"] <= (0.05 + slack(0.05, LOGS // 4)) * (LOGS // 4)
    if world == "straight":
        assert whole.inside >= (0.92 - slack(0.92, whole.intervals)) * whole.intervals
        # not by silence, nor by dressing twice as often as need be
        assert whole.told >= (0.7 - slack(0.7, LOGS)) * LOGS
        assert whole.of_best >= 0.6 * whole.told
