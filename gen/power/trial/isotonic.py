"""Values that must not fall from one to the next: pool adjacent violators."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import fmean
from typing import TypeVar

Pooled = TypeVar("Pooled")


def pool_adjacent_violators(items: Sequence[Pooled], fitted: Callable[[Sequence[Pooled]], float]) -> list[float]:
    """The non-decreasing values that fit ``items`` best, one for each item, in order.

    ``fitted`` gives the one value that fits several neighbouring items best.
    Neighbours whose values would fall are pooled until none falls. Exact where
    the misfit of each item has a single minimum. Source: Barlow, Bartholomew,
    Bremner and Brunk, "Statistical inference under order restrictions" (1972),
    cited from memory.
    """
    blocks: list[tuple[list[Pooled], float]] = []
    for item in items:
        block, value = [item], fitted([item])
        while blocks and blocks[-1][1] > value:
            block = blocks.pop()[0] + block
            value = fitted(block)
        blocks.append((block, value))
    return [value for block, value in blocks for _ in block]


def non_decreasing(values: Sequence[float], weights: Sequence[float]) -> list[float]:
    """The non-decreasing values nearest to ``values`` by weighted squares; every weight is positive."""
    items = list(zip(values, weights, strict=True))
    return pool_adjacent_violators(items, lambda pool: fmean(*zip(*pool, strict=True)))
