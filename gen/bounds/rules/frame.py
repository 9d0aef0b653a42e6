"""Every axis word is in machine coordinates or the dresser's own offset; all that shifts or bends them is cancelled."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.errors import listed
from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Move

_SAID = {"work": "the cycle's work offset", "incremental": "steps from where it stands"}


@rule("frame", needs=("machine",), intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    dresser = case.machine.dresser
    own = {"machine"} if dresser.offset is None else {"machine", dresser.offset.word}
    throughout = "machine coordinates" if dresser.offset is None else f"the offset {dresser.offset.word}"
    for _, move in case.moves:
        stroke = dresser.motion == "incremental" and move.axes == (dresser.plunge_axis,)
        if move.frame not in own and not (stroke and move.frame == "incremental"):
            yield Fault(
                move.line,
                f"axis {listed(move.axes, 'and')} is moved in {_SAID.get(move.frame, move.frame)}; "
                f"a dress is in {throughout} throughout.",
            )
    yield from _cancelled(case)
    yield from _origins(case)


def _cancelled(case: Case) -> Iterator[Fault]:
    moves = list(case.moves)
    if not moves:
        return
    first, last = moves[0], moves[-1]
    missing = []
    for group, meaning in case.cancels:
        stated = case.stated(group)
        if not any(change.value == meaning for change in stated if _before(change.step, change.line, first)):
            missing.append(f"{group.replace('_', ' ')} {meaning.replace('-', ' ')}")
        for change in stated:
            put_back = change.step > last[0] and change.value in ("restored", (case.host_modes or {}).get(group))
            if change.value != meaning and not put_back:
                said = f"{group.replace('_', ' ')} is set to {change.value} inside the block; it must stay {meaning}."
                yield Fault(change.line, said)
    if missing:
        yield Fault(first[1].line, f"the block moves before it has said {listed(missing, 'and')}.")


def _origins(case: Case) -> Iterator[Fault]:
    """What the cycle's own coordinates count from stays as it was, behind the last move as well."""
    own, host = case.machine.dresser.offset, dict(case.host_modes or {})
    for change in case.changes:
        if change.group == "offset":
            said = f"the work offset {change.value} is given other values inside the block; a dress leaves it alone."
            yield Fault(change.line, said)
        elif change.group == "shift" and change.value == "set":
            yield Fault(change.line, "coordinates are shifted inside the block, and stay so for what comes after it.")
        elif own is None and change.group == "work_offset" and change.value != host.get("work_offset"):
            said = f"the work offset {change.value} is put in force inside the block; the cycle would go on in it."
            yield Fault(change.line, said)
    selected = [change for change in case.changes if change.group == "work_offset"]
    if own is not None and selected and selected[-1].value == own.word:
        yield Fault(selected[-1].line, f"the block ends with the dresser's own offset {own.word} still in force.")


def _before(step: int, line: int, move: tuple[int, Move]) -> bool:
    return step < move[0] or (step == move[0] and line <= move[1].line)
