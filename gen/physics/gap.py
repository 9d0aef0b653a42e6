"""The room between the diamonds, and which stick grains get into it.

Grains are counted as equal spheres of diameter d that fill the share V_g of the
layer; N_V and N_A are quantitative stereology. The nominal gap is that of grains
in regular spacing: what lies between two neighbours of a square pattern with N_A
grains per area. Lengths are in the unit of d.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from gen.base.errors import DressblockError
from gen.physics.grains import STICKS, Grain

DENSEST = 100 / 0.25 * math.pi / 6
"""The concentration, 209.4, at which grains in regular spacing would touch."""

SPREAD = (0.15, 1.15)
"""The room beside a grain, from it to its nearest neighbour in the surface, as a share of the nominal gap at
concentration 100: four grains in five have as much. Found by the tests' own trial with random spheres that do not
overlap, not published."""

HABIT = 2
"""How many sizes finer than the diamonds the stick is by habit, at most; common practice, no source."""

Accord = Literal["agree", "gap-finer", "gap-coarser"]
"""Whether what the gap recommends is among the habit's sizes, finer than them, or coarser."""


def share(concentration: float) -> float:
    """Share V_g of the layer that is diamond: 0.25 C / 100 (trade convention; 100 is 4.4 ct/cm³)."""
    return 0.25 * concentration / 100


def grains_per_volume(d: float, concentration: float) -> float:
    """N_V = 6 V_g / (π d³)."""
    return 6 * share(concentration) / (math.pi * d**3)


def grains_per_area(d: float, concentration: float) -> float:
    """N_A = N_V d = 6 V_g / (π d²): the grains that a plane cuts."""
    return grains_per_volume(d, concentration) * d


def nominal_gap(d: float, concentration: float) -> float:
    """1/√N_A − d = d (√(π / (6 V_g)) − 1). :class:`DressblockError` where nothing is left of it."""
    if not math.isfinite(concentration) or concentration <= 0:
        raise DressblockError(f"read a concentration of {concentration:g}; it must be more than 0, such as 100.")
    if concentration >= DENSEST:
        raise DressblockError(
            f"at a concentration of {concentration:g} there is no gap left between the diamonds: from "
            f"{DENSEST:.0f} on, evenly spaced grains would touch. Look at the wheel's marking; 50 to 150 is usual."
        )
    return 1 / math.sqrt(grains_per_area(d, concentration)) - d


@dataclass(frozen=True, slots=True)
class Fit:
    """One diamond size at one concentration: its gap in µm, and the stick sizes that get into it, coarsest first.

    A stick size gets in if what it needs, its coarser sieve opening or its
    median, is not more than the gap. ``habit`` are the one and two sizes finer
    than the diamonds.
    """

    diamonds: Grain
    concentration: float
    gap_um: float
    fits: tuple[Grain, ...]
    habit: tuple[Grain, ...]

    @property
    def recommended(self) -> Grain | None:
        """The coarsest stick size that gets in; None if not even the finest does."""
        return self.fits[0] if self.fits else None

    @property
    def sizes_finer(self) -> int | None:
        """By how many sizes the recommended one is finer than the habit's finer one; below 1, it is not."""
        if self.recommended is None or not self.habit:
            return None
        return STICKS.index(self.recommended) - STICKS.index(self.habit[-1])

    @property
    def accord(self) -> Accord | None:
        """How gap and habit compare; None where one of them has nothing to say."""
        if self.recommended is None or not self.habit:
            return None
        if self.recommended in self.habit:
            return "agree"
        return "gap-finer" if (self.sizes_finer or 0) > 0 else "gap-coarser"

    def admits(self, stick: Grain) -> bool:
        return stick in self.fits


@lru_cache(maxsize=200)
def fit(diamonds: Grain, concentration: float | Decimal) -> Fit:
    """What fits between ``diamonds``. :class:`DressblockError` if the concentration leaves no gap."""
    gap = nominal_gap(diamonds.um, float(concentration))
    finer = tuple(grain for grain in STICKS if grain.um < diamonds.um)
    return Fit(
        diamonds=diamonds,
        concentration=float(concentration),
        gap_um=gap,
        fits=tuple(grain for grain in STICKS if grain.needs_um <= gap),
        habit=finer[:HABIT],
    )


def narrowest(fits: Sequence[Fit]) -> Fit:
    """The wheel of a pack with the least room: what gets between its diamonds serves all the others too."""
    return min(fits, key=lambda one: one.gap_um)
