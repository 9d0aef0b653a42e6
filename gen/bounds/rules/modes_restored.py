"""The block leaves the modes that whatever comes after it expects."""

from __future__ import annotations

from collections.abc import Iterator

from gen.bounds.case import Case
from gen.bounds.finding import Fault
from gen.bounds.registry import rule
from gen.steps import ModeChange


@rule("modes-restored", needs=(), intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    if not case.host_modes or not case.block:
        return
    for group, meaning in case.host_modes.items():
        left, said = _left(case, group), group.replace("_", " ")
        if left is None:
            yield Fault(case.last_line, f"nothing says what {said} the block leaves; {meaning} is expected afterwards.")
        elif left.value != meaning:
            yield Fault(left.line, f"{said} is left at {left.value}; {meaning} is expected after the block.")


def _left(case: Case, group: str) -> ModeChange | None:
    """The last statement of ``group`` before the block is over."""
    found = None
    for change in case.reading.changes:
        if change.step > case.block.stop:
            break
        inside = case.first <= change.line <= case.last
        if change.group == group and (change.step < case.block.stop or (change.step == case.block.stop and inside)):
            found = change
    return found
