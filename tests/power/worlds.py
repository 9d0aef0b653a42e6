"""Simulated shops of known truth, drawn by numpy; nothing of the estimator is used to make them.

A part loads the wheel along a curve of the parts that a clean wheel would have
needed to get there: ``straight``, ``root`` (their square root), ``saturating``,
and upward as their power of 1.35 or 1.5. A dress takes the share ``cleared`` of
the loading away.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from gen.power.log import Log, LoggedPart

CURVES: dict[str, tuple[Callable[[float], float], Callable[[float], float]]] = {
    "straight": (lambda u: u, lambda load: load),
    "root": (lambda u: math.sqrt(u), lambda load: load**2),
    "saturating": (lambda u: 1 - math.exp(-u / 15), lambda load: -15 * math.log(1 - load)),
    "upward 1.35": (lambda u: u**1.35, lambda load: load ** (1 / 1.35)),
    "upward 1.5": (lambda u: u**1.5, lambda load: load ** (1 / 1.5)),
}
"""Loading after so many parts on a clean wheel, in no unit, and back."""


@dataclass(frozen=True)
class Truth:
    """A shop: powers in kW, ``every`` parts a run while it logs ``runs`` runs.

    ``begins`` is ``steady`` or ``clean``, just after truing. ``doubles`` is the share of dresses made twice in a row.
    ``alike`` correlates the noise from part to part. ``warming`` kW come with a spindle that warms up, over ``slow``
    parts. ``step`` kW come somewhere in the middle of the log and stay. ``wear`` kW come with each dress. ``wander``
    kW is the standard deviation of what each dress adds to the level for good, up or down.
    """

    cleared: float = 0.8
    curve: str = "straight"
    begins: str = "steady"
    doubles: float = 0.0
    clean: float = 1.1
    run_rise: float = 0.6
    every: int = 6
    runs: int = 14
    noise: float = 0.03
    unsteady: float = 0.02
    alike: float = 0.0
    warming: float = 0.0
    slow: float = 25.0
    step: float = 0.0
    wear: float = 0.0
    wander: float = 0.0


@dataclass
class Shop:
    """A shop at work: ``part`` and ``dress`` go on from where it stands."""

    truth: Truth
    chance: np.random.Generator
    loading: float = field(init=False)
    scale: float = field(init=False)
    level: float = field(init=False)
    noise: float = 0.0
    ground: int = 0
    shift: float = 0.0

    def __post_init__(self) -> None:
        grow, back = CURVES[self.truth.curve]
        start = self._rests_at(self.truth.every, grow, back)
        rise = grow(back(start) + self.truth.every) - start
        self.scale = self.truth.run_rise / rise
        self.loading = start if self.truth.begins == "steady" else 0.0
        self.level = self.chance.normal(0, self.truth.unsteady)

    def _rests_at(self, every: int, grow: Callable[[float], float], back: Callable[[float], float]) -> float:
        """The loading just after a dress that comes back to itself, in the curve's own unit."""
        load = 0.0
        for _ in range(2000):
            load = (1 - self.truth.cleared) * grow(back(load) + every)
        return load

    def ends_at(self, every: int) -> float:
        """The mean power of the last part before a dress, with ``every`` parts a run, at rest."""
        grow, back = CURVES[self.truth.curve]
        start = self._rests_at(every, grow, back)
        return self.truth.clean + self.scale * grow(back(start) + every - 1)

    def part(self) -> float:
        """The power of the next part."""
        grow, back = CURVES[self.truth.curve]
        truth = self.truth
        fresh = math.sqrt(1 - truth.alike**2) * truth.noise
        self.noise = truth.alike * self.noise + self.chance.normal(0, fresh)
        warm = truth.warming * (1 - math.exp(-self.ground / truth.slow))
        power = truth.clean + self.level + self.scale * self.loading + warm + self.shift + self.noise
        self.loading = grow(back(self.loading) + 1)
        self.ground += 1
        return power

    def dress(self, times: int = 1) -> None:
        self.loading *= (1 - self.truth.cleared) ** times
        self.level = self.chance.normal(0, self.truth.unsteady)
        self.shift += self.truth.wear
        if self.truth.wander:
            self.shift += self.chance.normal(0, self.truth.wander)

    def log(self) -> Log:
        """What the shop logs; the first part is marked, as trued where it begins clean."""
        truth, parts = self.truth, []
        stepped = self.chance.integers(truth.runs // 3, truth.runs - truth.runs // 3 + 1)
        for run in range(truth.runs):
            times = 2 if self.chance.random() < truth.doubles else 1
            if run:
                self.dress(times)
            if run == stepped:
                self.shift += truth.step
            for at in range(truth.every):
                trued = run == at == 0 and truth.begins == "clean"
                number = run * truth.every + at + 1
                parts.append(LoggedPart(number, self.part(), at == 0, trued, number + 1, dresses=times if run else 1))
        return Log(tuple(parts))

    def below(self, every: int, limit_kw: float, dresses: int = 40) -> int:
        """How many of ``dresses`` more runs of ``every`` parts end at or below the limit."""
        held = 0
        for _ in range(dresses):
            self.dress()
            last = [self.part() for _ in range(every)][-1]
            held += last <= limit_kw
        return held
