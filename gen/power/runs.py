"""From one dress to the next: a log cut at its marks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.power.log import LoggedPart

Opening: TypeAlias = Literal["log", "dress", "truing"]
"""What a run begins with: the log itself, so that nothing tells how long ago the dress was, a dress, or truing."""


@dataclass(frozen=True)
class Run:
    """The parts from one mark to the next. ``parts_lost`` were ground after the last one and are not in the log."""

    opening: Opening
    parts: tuple[LoggedPart, ...]
    parts_lost: int = 0

    @cached_property
    def since(self) -> tuple[int, ...]:
        """Parts ground since the mark, for each part: 0 for the first."""
        first = _opened(self.parts[0])
        return tuple(part.number - first for part in self.parts)

    @property
    def dresses(self) -> float:
        """Dresses in a row before it; infinite for truing with its opening, which leaves no loading."""
        return math.inf if self.opening == "truing" else self.parts[0].dresses

    @cached_property
    def ground(self) -> int:
        """How many parts were ground in it, those that are not in the log with them."""
        return self.length + self.parts_lost

    @property
    def powers(self) -> tuple[float, ...]:
        return tuple(part.power_kw for part in self.parts)

    @property
    def length(self) -> int:
        """How many parts were ground in it, as far as the log tells."""
        return self.since[-1] + 1


def cut(parts: Sequence[LoggedPart]) -> tuple[Run, ...]:
    """The runs of a log in order; the first one opens with the log unless its first part is marked."""
    starts = [0, *(at for at, part in enumerate(parts) if part.dressed and at)]
    ends = [*starts[1:], len(parts)]
    return tuple(_run(parts, start, end) for start, end in zip(starts, ends, strict=True))


def _run(parts: Sequence[LoggedPart], start: int, end: int) -> Run:
    first = parts[start]
    opening: Opening = "truing" if first.trued else "dress" if first.dressed else "log"
    lost = max(0, _opened(parts[end]) - parts[end - 1].number - 1) if end < len(parts) else 0
    return Run(opening, tuple(parts[start:end]), lost)


def _opened(part: LoggedPart) -> int:
    return part.number if part.opened is None else part.opened


def epochs(runs: Sequence[Run]) -> Iterator[tuple[Run, ...]]:
    """The runs that belong together: since the first mark, or since a truing, up to the next truing."""
    group: list[Run] = []
    for run in runs:
        if run.opening == "truing" and group:
            yield tuple(group)
            group = []
        if run.opening != "log":
            group.append(run)
    if group:
        yield tuple(group)
