"""Whether a program has waited long enough for what it switched on."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.base.quantities import show
from gen.bounds.block import DressBlock
from gen.bounds.contacts import Plunge
from gen.plan.step import Dwell, Step


def too_short(
    block: DressBlock, told: tuple[int, Step], plunge: Plunge, needed: float, what: str, key: str
) -> Iterator[Fault]:
    """A fault where from the step ``told`` to ``plunge`` the dwells are less than ``needed`` s, which ``key`` asks for.

    The time that motion takes is left out.
    """
    begin, step = told
    got = sum(dwell.seconds for _, dwell in block.steps(Dwell, range(begin, plunge.enters)))
    if got < needed - 1e-6:
        said = f"the program waits {show(got, 'time')} for {what} before the stick meets the wheel; "
        yield Fault(step.line, f"{said}{key} is {show(needed, 'time')}.", amount=needed - got)
