"""What coordinates count from: work offsets, shifts, and the reference position."""

from __future__ import annotations

from collections.abc import Mapping

from gen.base.errors import listed
from gen.plan.step import ROTARY, Move
from gen.reader import motion
from gen.reader.failure import Alarm, NotUnderstood
from gen.reader.modal import FRAME, Modal
from gen.reader.variables import Memory, as_number


def end_shift(modal: Modal, line: int, name: str) -> None:
    """A shift is ``cancelled`` for good, ``suspended``, or ``restored``."""
    modal.change(line, "shift", name)
    modal.shift_on = name == "restored"
    if name == "cancelled":
        modal.shift.clear()
        modal.switch_off(FRAME, line)


def set_shift(modal: Modal, line: int, axes: Mapping[str, float | None], how: str) -> None:
    """Shifts coordinates by the words of ``axes``, or, ``how`` being ``set_shift``, so that the axes stand there.

    ``how`` is one of :data:`SHIFTING`: ``replace_shift`` takes the place of all there is, ``add_shift`` is added to
    the shift that is on.
    """
    if not axes:
        raise NotUnderstood("a shift wants axis words")
    mixed = False
    if how in ("set_shift", "local_shift"):
        local = how == "local_shift"
        # a control may add the one kind to the other
        mixed = modal.control.local_shift_adds and modal.shift_on and modal.shift_is_local is not local
        modal.shift_is_local = local
    if how == "replace_shift":
        modal.switch_off(FRAME, line)
    if how == "replace_shift" or not modal.shift_on:
        modal.shift.clear()
    for axis, value in axes.items():
        before = modal.shift.get(axis, 0.0) if how == "add_shift" else 0.0
        if value is None or before is None or mixed or modal.is_unclear(axis, "machine"):
            modal.shift[axis] = None
        elif how == "set_shift":
            modal.shift[axis] = _such_that(modal, axis, value, modal.work_offset_of(axis))
        else:
            modal.shift[axis] = before + value * modal.scale_of(axis) + 0.0
    modal.shift_on = True
    modal.change(line, "shift", "set")


def set_offset(modal: Modal, line: int, axes: Mapping[str, float | None], words: dict[str, float | None]) -> None:
    """Sets the work offset that the L and P of ``words``, taken out of them, name."""
    lost = any(letter in words and words[letter] is None for letter in "LPR")
    kind, number, turned = words.pop("L", None), words.pop("P", None), words.pop("R", None)
    if lost:
        modal.offsets_lost = True
        modal.offsets.clear()
        return
    meaning = "" if kind is None else modal.control.offset_kinds.get(f"{kind:g}", "")
    if meaning == "tool":
        words.clear()
        return
    if not meaning or number is None or turned is not None:
        words.clear()
        kinds = listed(f"L{one}" for one in modal.control.offset_kinds)
        raise NotUnderstood(f"only {kinds} with P, and no rotation, is read")
    index = as_number(number)
    if not index and modal.control.offset_zero == "all":
        modal.unmodelled(line, line, "an offset that is added to all others is set")
        modal.lose_offsets()
        return
    words_of_offsets = modal.control.groups.get("work_offset", {}).values()
    if not index:
        named = [modal.offset_word()]
    elif meaning == "more":
        named = [word for word in words_of_offsets if word.endswith(f" P{index}")]
    else:
        named = [word for word in words_of_offsets if " " not in word][max(index - 1, 0) : max(index, 0)]
    if not named:
        raise Alarm(f"there is no work offset {index}")
    word = named[0]
    offset = modal.offsets.setdefault(word, {})
    for axis, value in axes.items():
        if value is None or modal.is_unclear(axis, "machine"):
            offset[axis] = None
        elif meaning == "here":
            offset[axis] = _such_that(modal, axis, value, modal.shift.get(axis, 0.0) if modal.shift_on else 0.0)
        else:
            offset[axis] = value * modal.scale_of(axis) + 0.0
    if modal.modes["distance"] == "incremental":
        modal.unmodelled(line, line, "an offset set while moves are incremental: some controls add it")
    modal.change(line, "offset", word)


def _such_that(modal: Modal, axis: str, value: float, other: float | None) -> float | None:
    """What coordinates have to count from, beside ``other``, so that ``axis`` stands at ``value``; None: not known."""
    at = modal.position.get(axis)
    straight = axis in ROTARY or not (modal.may_be("tool_length") or modal.is_bent)
    return None if at is None or other is None or not straight else at - other - value * modal.scale_of(axis)


def set_home(modal: Modal, variables: Memory, *, second: bool) -> None:
    """Where all axes stand becomes a reference position."""
    modal.homes[second] = dict(modal.position)
    holding = (_home_of(axis, modal, second=second) for axis in modal.control.axes)
    variables.lose("the position that was set", [register for register in holding if register is not None])


def _home_of(axis: str, modal: Modal, *, second: bool) -> int | None:
    """The variable that holds a reference position of ``axis``; None where there is none."""
    rules = modal.control.variables
    base = None if rules is None else rules.second_home if second else rules.home
    if rules is None or base is None or axis not in rules.axis_order:
        return None
    return base + rules.axis_order.index(axis)


def go_home(modal: Modal, line: int, axes: Mapping[str, float | None], variables: Memory, *, second: bool) -> None:
    """Through the point that ``axes`` give, then home; without axis words, all axes go home at once.

    Home is in machine coordinates, mm, in the variables the control file names;
    an axis whose home is not given is lost.
    """
    if axes:
        motion.straight(modal, line, "rapid", axes, machine=False)
    homing = tuple(axes) or tuple(axis for axis in modal.control.axes if axis in modal.position)
    to = dict(modal.position)
    for axis in homing:
        register = _home_of(axis, modal, second=second)
        known = None if register is None or not variables.exists(register) else variables.peek(register)
        if second in modal.homes:
            known = modal.homes[second].get(axis)
        if isinstance(known, float):
            to[axis] = known
        else:
            to.pop(axis, None)
            modal.unmodelled(line, line, f"{axis} goes to a reference position that is not given here")
    modal.move(Move("rapid", line, to, None, homing, "machine"))
