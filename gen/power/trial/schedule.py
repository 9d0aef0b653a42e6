"""The order of a trial's runs: in each block every rung once with one dress and once with two, shuffled."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import NamedTuple

DRESSES_IN_A_ROW = (1, 2)
"""Dresses in a row that each rung is run with in a block: one and two together tell the share that one clears."""


class PlannedRun(NamedTuple):
    """A run of a trial: its number, the rung as a number from 0, and the dresses before it."""

    run: int
    rung: int
    dresses: int


def schedule(rungs: Sequence[int], blocks: int, seed: int, first: int = 1) -> list[PlannedRun]:
    """The runs of ``blocks`` blocks over ``rungs``, each block shuffled from ``seed``, numbered from ``first``.

    The same seed gives the same order.
    """
    chance = random.Random(f"trial {seed} {first}")
    order: list[tuple[int, int]] = []
    for _ in range(blocks):
        block = [(rung, dresses) for rung in rungs for dresses in DRESSES_IN_A_ROW]
        chance.shuffle(block)
        order += block
    return [PlannedRun(run, rung, dresses) for run, (rung, dresses) in enumerate(order, first)]
