"""A quantity that a bound limits, with its value at a state: what every verdict and every margin is read from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import field
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.finding import Change, Fault
from gen.base.quantities import Dimension

Side: TypeAlias = Literal["most", "least"]

NOISE = 1e-6
"""What is left when numbers meant to be equal are subtracted; in the unit of the quantity."""


@dataclass(frozen=True, slots=True, eq=False)
class Measure:
    """``value`` of ``quantity`` against ``limit``, the most or the least it may be.

    Lengths in mm, feeds in mm/min, speeds in rpm or m/s, removal in mm³/min.
    ``of`` is the axis or the wheel's number in a pack, ``stage`` the end of wear or
    stick it was taken at, where that is told apart. ``slack`` is what rounding
    may take it past the limit. ``whole`` is what the margin is a share of, the
    limit unless given. ``line`` is the program's, None for recipe and machine.
    ``told``: tables of limits list it. ``said`` words the fault where it does not hold, and ``helps`` gives the
    changes that would help; neither is called where it holds.
    """

    quantity: str
    value: float
    limit: float
    side: Side
    dimension: Dimension | None = None
    of: str = ""
    stage: str = ""
    slack: float = NOISE
    whole: float = 0.0
    line: int | None = None
    told: bool = True
    said: Callable[[], str] = field(default=str, repr=False)
    helps: Callable[[], Iterable[Change]] = field(default=tuple, repr=False)

    @property
    def margin(self) -> float:
        """What is left up to the limit; 0 within the slack, below 0 where the limit is broken."""
        left = self.limit - self.value if self.side == "most" else self.value - self.limit
        return 0.0 if -self.slack <= left < 0 else left

    @property
    def relative(self) -> float:
        """The margin as a share of the limit, or of the whole way of an axis."""
        return self.margin / (abs(self.whole or self.limit) or 1.0)

    @property
    def holds(self) -> bool:
        return self.margin >= 0

    @property
    def key(self) -> tuple[str, str, str, Side]:
        """What measures of the same thing at other states have in common."""
        return self.quantity, self.of, self.stage, self.side

    def fault(self) -> Fault:
        """The fault of a measure that does not hold."""
        return Fault(self.line, self.said(), tuple(self.helps()), amount=-self.relative)
