"""How evenly a dress meets the rim: how often each part of the wheel's width runs into stick that still stands."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from gen.base.dataclass import dataclass
from gen.physics.end_face import SLIVER, EndFace
from gen.physics.visits import LEVEL, Bite, visited


@dataclass(frozen=True, slots=True)
class Evenness:
    """Over so many ``dresses`` no part of the rim meets the stick less than ``least`` times or more than ``most``."""

    least: int
    most: int
    dresses: int


def evenness(end: EndFace, dresses: Sequence[Sequence[Bite]], wheel: int) -> Evenness:
    """How often each part of the rim of ``wheel`` meets the stick in ``dresses``, which begin with ``end``.

    Each dress is its bites in order, those of other wheels among them. A part of the rim meets the stick in a bite
    if what lies under it stands higher than the bite goes. Parts narrower than a sliver count for nothing.
    """
    met: list[tuple[float, float]] = []
    low = high = 0.0
    for bites in dresses:
        visits, end = visited(end, bites)
        for bite, visit in ((one.bite, one) for one in visits if one.bite.wheel == wheel):
            middle = (bite.low + bite.high) / 2
            low, high = bite.low - middle, bite.high - middle
            if visit.depth is not None:
                met += [
                    (max(a, bite.low) - middle, min(b, bite.high) - middle)
                    for a, b, depth in visit.end.stretches
                    if depth < visit.depth - LEVEL and min(b, bite.high) > max(a, bite.low)
                ]
    edges = sorted({low, high, *(edge for stretch in met for edge in stretch)})
    counts = [
        sum(a <= (left + right) / 2 <= b for a, b in met) for left, right in pairwise(edges) if right - left > SLIVER
    ]
    return Evenness(min(counts, default=0), max(counts, default=0), len(dresses))
