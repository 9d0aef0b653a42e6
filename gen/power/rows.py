"""Several rows of one part: traces of the same thing, whose mean counts, or rows that do not belong together."""

from __future__ import annotations

import math
from collections.abc import Container, Sequence
from statistics import median

from gen.base.errors import DressblockError, listed, said
from gen.power.estimate import Variance
from gen.power.table import LogRow

_LEAST = 4
"""Parts with several rows, below which nothing tells whether they belong together."""


def not_told_apart(groups: Sequence[Sequence[LogRow]], asked: Container[int]) -> None:
    """:class:`DressblockError` where a column of words that is not ``asked`` for tells the rows of every part apart.

    ``groups`` are the rows of each part that has several. Numbers, and words new in each part, only count the rows.
    """
    for at, name in enumerate(groups[0][0].header if groups else ()):
        words = [[row.cells[at] for row in group] for group in groups]
        every = sorted({word for group in words for word in group})
        if at in asked or len(every) > len(groups) or not all(any(map(str.isalpha, word)) for word in every):
            continue
        if all(len(set(group)) == len(group) for group in words):
            raise DressblockError(
                f"line {groups[0][1].line}: the column {said(name)} tells the rows of one part apart "
                f"({listed(every, 'and')}), and power and dresses must be those of one wheel on one machine. Keep the "
                "rows of one of them; if they are traces of the same part, take the column out."
            )


def scatter_of_means(groups: Sequence[Sequence[float]]) -> Variance | None:
    """The variance of a part's mean, kW², that the scatter between its rows explains; None if too few have as many.

    What sets the first, second … row apart in every part is taken out. By medians, so that a slip says nothing.
    """
    count = max((len(group) for group in groups), default=0)
    alike = [group for group in groups if len(group) == count]
    if len(alike) < _LEAST:
        return None
    apart = [[power - math.fsum(group) / count for power in group] for group in alike]
    usual = [median(place) for place in zip(*apart, strict=True)]
    squares = median(math.fsum((one - by) ** 2 for one, by in zip(group, usual, strict=True)) for group in apart)
    return Variance(squares / (count - 1) / count, (len(alike) - 1) * (count - 1))
