"""From one dress to the next: a log cut at its marks."""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.power.log import LoggedPart

Opening: TypeAlias = Literal["log", "dress", "truing"]
"""What a run begins with: the log itself, so that nothing tells how long ago the dress was, a dress, or truing."""


@dataclass(frozen=True)
class Run:
    """The parts from one mark to the next.

    ``parts`` are those whose power counts, ``first`` the number of the first one ground. ``dresses`` in a row came
    before it; infinite for truing with its opening, which leaves no loading. ``until`` is the number of the first part
    after it, None where the log ends or its count begins anew.
    """

    opening: Opening
    parts: tuple[LoggedPart, ...]
    first: int
    dresses: float
    until: int | None = None

    @cached_property
    def since(self) -> tuple[int, ...]:
        """Parts ground since the mark, for each part: 0 for the first."""
        return tuple(part.number - self.first for part in self.parts)

    @cached_property
    def ground(self) -> int:
        """How many parts were ground in it, as far as the log tells, those that do not count with them."""
        return (self.parts[-1].number + 1 if self.until is None else self.until) - self.first

    @property
    def parts_lost(self) -> int:
        """How many were ground after the last one that counts."""
        return self.ground - self.since[-1] - 1

    @property
    def powers(self) -> tuple[float, ...]:
        return tuple(part.power_kw for part in self.parts)


def cut(parts: Sequence[LoggedPart]) -> tuple[Run, ...]:
    """The runs of a log in order; the first one opens with the log unless its first part is marked."""
    starts = [0, *(at for at, part in enumerate(parts) if part.dressed and at)]
    ends = [*starts[1:], len(parts)]
    return tuple(_run(parts, start, end) for start, end in zip(starts, ends, strict=True))


def _run(parts: Sequence[LoggedPart], start: int, end: int) -> Run:
    first = parts[start]
    opening: Opening = "truing" if first.trued else "dress" if first.dressed else "log"
    goes_on = end < len(parts) and parts[end].number >= parts[end - 1].number
    until = parts[end].number if goes_on else None
    return Run(opening, tuple(parts[start:end]), first.number, math.inf if first.trued else first.dresses, until)


def without(runs: Sequence[Run], lines: Container[int]) -> tuple[Run, ...]:
    """``runs`` less the parts at ``lines``; of a run that loses all of them, the parts are lost to the one before."""
    kept: list[Run] = []
    for run in runs:
        parts = tuple(part for part in run.parts if part.line not in lines)
        if parts:
            kept.append(replace(run, parts=parts))
        elif kept:
            kept[-1] = replace(kept[-1], until=run.until)
    return tuple(kept)


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
