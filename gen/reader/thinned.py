"""A program with most of the plain moves around a block left out, for readings that only look at the block.

Plain moves decide nothing but where the axes stand, the motion code and the
feed; where coordinates are absolute the last of a run of them for each of these
leaves the same behind. Jumps keep their targets: no instruction changes its place.
"""

from __future__ import annotations

from dataclasses import replace

from gen.control.model import Control
from gen.reader.program import Block, Columns, Jump, Lowered, PlainLines, Slots
from gen.reader.word import spelled

MOTION, FEED = "motion", "F"


def thinned(lowered: Lowered, first: int, last: int) -> Lowered:
    """``lowered`` with fewer moves outside the lines ``first`` to ``last``; itself where they may be steps.

    What is kept reads as it did, but for where it comes from.
    """
    if _may_step(lowered, first, last):
        return lowered
    code = list(lowered.code)
    later = _Later()
    for at in range(len(code) - 1, -1, -1):
        item = code[at]
        sets: set[str] = set()
        if isinstance(item, (PlainLines, Columns)) and not _overlaps(item, first, last):
            # of lines of one shape, the last sets all that the others do
            items = reversed(item.items) if isinstance(item, PlainLines) else (item.end,)
            kept = [one for one in items if later.leaves_open(_set_by(one[1]))]
            code[at] = PlainLines(kept[::-1]) if kept else Jump(item.first, at + 1)
        elif isinstance(item, Block) and not first <= item.line <= last and (sets := _plain(item, lowered.control)):
            if not later.leaves_open(sets):
                code[at] = Jump(item.line, at + 1)
        else:
            later = _Later()
    return replace(lowered, code=code)


class _Later:
    """What the moves kept so far, from the end of a run of them, set behind whatever comes before."""

    def __init__(self) -> None:
        self._set: set[str] = set()

    def leaves_open(self, sets: set[str]) -> bool:
        """Whether a move counts that sets ``sets``; it is kept then, and needs a motion code and a feed before it."""
        if sets <= self._set:
            return False
        self._set = (self._set - {MOTION, FEED}) | sets
        return True


def _overlaps(lines: PlainLines | Columns, first: int, last: int) -> bool:
    return lines.first <= last and lines.last >= first


def _set_by(slots: Slots) -> set[str]:
    return {*slots.axes, *((FEED,) if slots.feed else ()), *((MOTION,) if slots.motion else ())}


def _plain(block: Block, control: Control) -> set[str]:
    """What a block that does nothing but move straight sets; empty for any other block."""
    if block.assignments or block.comments or block.messages or not block.words:
        return set()
    straight = {control.word("motion", "rapid"), control.word("motion", "feed")}
    sets = set()
    for word in block.words:
        if not isinstance(word.value, float):
            return set()
        if word.letter == FEED or word.letter in control.axes:
            sets.add(word.letter)
        elif spelled(word.letter, word.value) in straight:
            sets.add(MOTION)
        else:
            return set()
    return sets if sets.intersection(control.axes) else set()


def _may_step(lowered: Lowered, first: int, last: int) -> bool:
    """Whether anything outside the lines may move in steps, or is a code that is worked out."""
    words = lowered.control.groups.get("distance", {})
    for item in lowered.code:
        if isinstance(item, Block) and not first <= item.line <= last:
            for word in item.words:
                if word.letter == "G" and not isinstance(word.value, float):
                    return True
                if isinstance(word.value, float) and spelled(word.letter, word.value) == words.get("incremental"):
                    return True
    return False
