"""Where what a program does parts from its plan, in sentences."""

from __future__ import annotations

from collections.abc import Iterable

from gen.plan.step import Step, is_same
from gen.plan.told import step_told


def differences(planned: Iterable[Step], read: Iterable[Step], *, tolerance: float = 0.0) -> list[str]:
    """Where two step lists part, one sentence each; source lines, frames and spelling do not count.

    ``tolerance`` is absolute, in the unit of each number; 0 asks for equal floats.
    """
    ours, theirs = list(planned), list(read)
    found = [
        f"step {index} is planned as {step_told(a)}, and reads {step_told(b)}"
        for index, (a, b) in enumerate(zip(ours, theirs, strict=False), 1)
        if not is_same(a, b, tolerance)
    ]
    if len(ours) != len(theirs):
        longer = ours if len(ours) > len(theirs) else theirs
        extra = step_told(longer[min(len(ours), len(theirs))])
        found.append(f"{len(ours)} steps are planned and {len(theirs)} read; the first extra one is {extra}")
    return found
