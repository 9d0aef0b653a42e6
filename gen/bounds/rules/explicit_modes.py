"""No step of the block depends on a mode left from before: units, distance, feed mode, plane, motion, feed."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.errors import listed
from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import ModeChange

GROUPS = ("units", "distance", "feed_mode", "plane", "motion")


@rule("explicit-modes", needs=("machine",), intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    moves = list(case.moves)
    if not moves:
        return
    index, first = moves[0]
    missing = [group for group in GROUPS if not _stated(case, group, index, first.line)]
    if missing:
        said = listed((group.replace("_", " ") for group in missing), "and")
        yield Fault(first.line, f"the block moves here without having stated its {said}; whatever ran before decides.")
    for index, move in moves:
        if move.op != "rapid" and not _stated(case, "feed", index, move.line):
            yield Fault(move.line, "this move is at a feed that the block has not stated.")
            break
    yield from _wrong(case)


def _stated(case: Case, group: str, index: int, line: int) -> bool:
    return any(change.step < index or (change.step == index and change.line <= line) for change in case.stated(group))


def _wrong(case: Case) -> Iterator[Fault]:
    """Modes that are stated, but not as a dress is meant, with motion under them."""
    wanted = {"units": case.machine.units, "distance": "absolute", "feed_mode": "per-minute"}
    for place, change in enumerate(case.changes):
        if change.value == wanted.get(change.group, change.value):
            continue
        if _moves_under(case, place, change):
            yield Fault(
                change.line,
                f"{change.group.replace('_', ' ')} is set to {change.value} here, and the block moves under it; "
                f"it must be {wanted[change.group]}.",
            )


def _moves_under(case: Case, place: int, change: ModeChange) -> bool:
    """Whether anything moves, or might, before the group is set again; an incremental dresser's strokes may."""
    after = next((later for later in case.changes[place + 1 :] if later.group == change.group), None)
    stop = case.block.stop if after is None else after.step
    last_line = case.last if after is None else after.line
    strokes = change.group == "distance" and case.machine.dresser.motion == "incremental"
    moved = any(
        not (strokes and move.axes == (case.plunge_axis,)) for index, move in case.moves if change.step <= index < stop
    )
    return moved or any(change.line <= entry.line < last_line for entry in case.reading.unread)
