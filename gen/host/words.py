"""What the words of a line mean, whatever the values that are worked out in it come to."""

from __future__ import annotations

import math

from gen.control.model import Control
from gen.control.tables import in_ranges
from gen.reader.program import Block
from gen.reader.sorting import Sorted, sorter_of
from gen.reader.word import Word


def sorted_words(item: Block, control: Control) -> Sorted | None:
    """The words of ``item`` sorted; a value that is worked out is no number.

    None where a code is worked out, or where a word counts or moves in a way of its own.
    """
    own = any(has_its_own_way(word, control) for word in item.words)
    if own or any(sets_the_control(target, control) for target, _ in item.assignments):
        return None
    if item.sorted is not None:
        return item.sorted
    sorter = sorter_of(control)
    words = [word if isinstance(word.value, float) else word._replace(value=math.nan) for word in item.words]
    if any(word.letter in sorter.codes and math.isnan(word.value) for word in words if isinstance(word.value, float)):
        return None
    return sorter.sort(words)


def has_its_own_way(word: Word, control: Control) -> bool:
    """Whether ``word`` turns coordinates, says itself how it counts, or moves an axis by its name."""
    moves = control.lexis.axis_addresses.get(word.letter.partition("[")[0]) == "moves"
    return moves or ":" in word.letter or (word.letter in control.effects and control.effects[word.letter].bends)


def sets_the_control(target: object, control: Control) -> bool:
    """Whether ``target`` of an assignment is a variable of the control's own, such as that of a frame."""
    return control.variables is not None and control.variables.is_in_own_table(target)


def may_move_the_origin(item: Block, control: Control) -> bool:
    """Whether ``item`` may assign a variable with which coordinates come to count from elsewhere."""
    frames = [] if control.variables is None else control.variables.frames
    return any(
        not isinstance(target, (int, str)) or sets_the_control(target, control) or in_ranges(target, frames)
        for target, _ in item.assignments
    )


def axes_of(found: Sorted, control: Control) -> tuple[str, ...]:
    """The axes that the words of a line send somewhere, in the order written."""
    taken = set(control.dwell.units) if "dwell" in found.once else set()
    for group, mode in found.given.items():
        taken.update(control.beside.get(control.groups[group][mode], ""))
    return tuple(letter for letter in found.words if letter in control.axes and letter not in taken)


def written_number(value: object) -> float | None:
    """``value`` if it is written as a number; None where it is worked out."""
    return value if isinstance(value, float) and not math.isnan(value) else None
