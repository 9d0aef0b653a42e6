"""Which stick grit suits a wheel by the trade's habit, and the nominal gap between the diamonds beside it.

The habit, a stick one or two sizes finer than the diamonds, is the
recommendation. The nominal gap is information: real grains lie at random and
leave many gaps far wider than it, so that it is no threshold.

Grains are counted as equal spheres of diameter d that fill the share V_g of the
layer; N_V and N_A are quantitative stereology. The nominal gap is that of grains
in regular spacing: what lies between two neighbours of a square pattern with N_A
grains per area. Lengths are in the unit of d.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.physics.grains import STICKS, Grain

DENSEST = 100 / 0.25 * math.pi / 6
"""The concentration, 209.4, at which grains in regular spacing would touch."""

TWICE_AS_WIDE = 0.25
"""At concentration 100 more than this share of the bond lies in gaps at least twice as wide as the nominal one. Found
by the tests' own trial with random spheres, not published."""

HABIT = 2
"""How many sizes finer than the diamonds the stick is by habit, at most; common practice, no source."""


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
class StickFit:
    """One diamond size at one concentration, and the sticks for it.

    ``habit`` are the one and two sizes finer than the diamonds, the coarser first.
    ``gap_um`` is the nominal gap, ``fits`` the stick sizes whose grains (the coarser
    sieve opening, or the median) are no wider than it, coarsest first.
    """

    diamonds: Grain
    concentration: float
    gap_um: float
    fits: tuple[Grain, ...]
    habit: tuple[Grain, ...]

    @property
    def recommended(self) -> Grain | None:
        """The coarsest size of the habit that the nominal gap takes too, else the finer one; None without a habit."""
        if not self.habit:
            return None
        return next((grain for grain in self.habit if grain in self.fits), self.habit[-1])

    @property
    def gap_agrees(self) -> bool:
        """Whether the nominal gap takes a size of the habit."""
        return self.recommended in self.fits

    def suits(self, stick: Grain) -> bool:
        """Whether ``stick`` is no coarser than the habit's coarser size."""
        return bool(self.habit) and STICKS.index(stick) >= STICKS.index(self.habit[0])


@lru_cache(maxsize=200)
def sticks_for(diamonds: Grain, concentration: float | Decimal) -> StickFit:
    """The sticks for ``diamonds``. :class:`DressblockError` if the concentration leaves no gap."""
    gap = nominal_gap(diamonds.um, float(concentration))
    finer = tuple(grain for grain in STICKS if grain.um < diamonds.um)
    return StickFit(
        diamonds=diamonds,
        concentration=float(concentration),
        gap_um=gap,
        fits=tuple(grain for grain in STICKS if grain.needs_um <= gap),
        habit=finer[:HABIT],
    )


def finest(fits: Sequence[StickFit]) -> StickFit:
    """The wheel of a pack with the finest diamonds: a stick that suits it is not too coarse for any of the others."""
    return min(fits, key=lambda one: one.diamonds.um)
