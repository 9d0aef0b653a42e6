"""The block leaves the modes that whatever comes after it expects, and neither spindle nor coolant running."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import chain, takewhile

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Coolant, ModeChange, Move, Spindle, Step


@rule("modes-restored", needs=(), intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    if not case.host_modes or not case.block:
        return
    last = _left(case, case.host_modes)
    for group, meaning in case.host_modes.items():
        left, said = last.get(group), group.replace("_", " ")
        if left is None:
            yield Fault(case.last_line, f"nothing says what {said} the block leaves; {meaning} is expected afterwards.")
        elif left.value != meaning:
            yield Fault(left.line, f"{said} is left at {left.value}; {meaning} is expected after the block.")
    if case.dress is not None:
        yield from _running(case)


def _running(case: Case) -> Iterator[Fault]:
    """Spindle and coolant are off at the end, unless the program around the block switches them by itself."""
    for spindle in [step for _, step in case.steps(Spindle)][-1:]:
        if spindle.direction != "off" and not _hosts(case, Spindle):
            yield Fault(spindle.line, f"the spindle still turns {spindle.direction} when the block is over.")
    for coolant in [step for _, step in case.steps(Coolant)][-1:]:
        if coolant.on and not _hosts(case, Coolant):
            yield Fault(coolant.line, "the coolant is still on when the block is over.")


def _hosts(case: Case, kind: type[Step]) -> bool:
    """Whether a step of ``kind`` comes before the block, or behind it before anything moves."""
    steps = case.reading.steps
    behind = takewhile(lambda step: not isinstance(step, Move), steps[case.block.stop :])
    return any(isinstance(step, kind) for step in chain(steps[: case.block.start], behind))


def _left(case: Case, groups: Collection[str]) -> dict[str, ModeChange]:
    """The last statement of each of ``groups`` before the block is over."""
    found: dict[str, ModeChange] = {}
    for change in case.reading.stated(groups):
        if change.step > case.block.stop:
            break
        if change.step < case.block.stop or case.first <= change.line <= case.last:
            found[change.group] = change
    return found
