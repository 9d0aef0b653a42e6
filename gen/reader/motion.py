"""Where a move ends and how fast it goes."""

from __future__ import annotations

import math
from collections.abc import Mapping

from gen.plan.step import ROTARY, UNKNOWN, Move
from gen.reader import arcs
from gen.reader.failure import Alarm, NotUnderstood
from gen.reader.modal import Modal


def _target(
    modal: Modal, words: Mapping[str, float | None], frame: str, how: Mapping[str, str] | None = None
) -> dict[str, float]:
    """The machine coordinates after a move of ``words`` (axis to programmed value), of every axis known then."""
    bent = modal.is_bent and frame != "machine"
    to = dict(modal.position)
    if frame != "machine" and modal.mixes_axes and any(axis not in ROTARY for axis in words):
        to = {axis: at for axis, at in to.items() if axis in ROTARY}
    for axis, value in words.items():
        base: float | None
        count = (how or {}).get(axis, "incremental" if frame == "incremental" else "absolute")
        own = "machine" if how and axis in how else frame
        if value is None or (bent and axis not in ROTARY) or modal.is_unclear(axis, own):
            to.pop(axis, None)
            continue
        distance = value * modal.scale_of(axis)
        if frame == "machine":
            base = 0.0
        elif count == "incremental":
            base = modal.position.get(axis)
        else:
            base = modal.offset_of(axis)
        if base is None:
            to.pop(axis, None)
        else:
            to[axis] = distance + base
    return to


def straight(
    modal: Modal,
    line: int,
    motion: str,
    words: Mapping[str, float | None],
    *,
    machine: bool,
    how: Mapping[str, str] | None = None,
) -> None:
    """A rapid or a feed along a straight line; ``how`` an axis counts where that is not as the others do."""
    frame = "machine" if machine else modal.frame()
    if how and not machine:
        steps = [how.get(axis, "incremental" if frame == "incremental" else "absolute") for axis in words]
        frame = "incremental" if "incremental" in steps else modal.work_frame()
    elif how:
        modal.forget(words)
        raise NotUnderstood("a word that counts in a way of its own cannot be in machine coordinates")
    if machine and modal.modes["distance"] != "absolute":
        modal.forget(words)
        known = modal.modes["distance"] != UNKNOWN
        while_so = "while moves are incremental" if known else "where nobody knows whether moves are incremental"
        raise NotUnderstood(f"a move in machine coordinates has no meaning {while_so}")
    to = _target(modal, words, frame, how)
    if motion == "rapid":
        modal.move(Move("rapid", line, to, None, tuple(words), frame))
        return
    turning = all(axis in ROTARY for axis in words)
    timed = modal.modes["feed_mode"] == "inverse-time"
    rate = rate_of(modal, line, _length(modal.position, to, words, turning) if timed else None, turning)
    modal.move(Move("feed", line, to, rate, tuple(words), frame))


def arc(
    modal: Modal,
    line: int,
    motion: str,
    words: Mapping[str, float | None],
    centre: Mapping[str, float | None],
    turns: float | None = 1.0,
) -> None:
    """A circular or helical move; ``centre`` holds its I, J, K or R words, ``turns`` how often it is begun."""
    frame = modal.frame()
    to = _target(modal, words, frame)
    try:
        unclear = UNKNOWN in (modal.modes["plane"], modal.modes["arc_distance"], modal.modes["units"])
        found = None if unclear else arcs.work_out(modal, to, motion == "arc-cw", words, centre, turns)
    except NotUnderstood:
        modal.forget(words)
        raise
    if found is None:
        modal.unmodelled(line, line, "an arc whose ends, centre or plane are not known")
    length, span, circle = (None, None, None) if found is None else found
    modal.move(Move("arc", line, to, rate_of(modal, line, length, False), tuple(words), frame, span, circle))


def rate_of(modal: Modal, line: int, length: float | None, turning: bool) -> float | None:
    """mm/min (deg/min if only rotary axes turn) of a move ``length`` long; None: not known.

    :class:`Alarm` where the control would not move, as it was told no feed.
    """
    if modal.feed is None:
        modal.feeds_untold(line)
        return None
    if modal.feed == 0:
        raise Alarm("this moves at a feed, and the feed is 0 or was lost with a word of its mode")
    scale = 1.0 if turning else modal.feed_scale
    match modal.modes["feed_mode"]:
        case "inverse-time":
            return None if length is None else modal.feed * length
        case "per-revolution":
            if modal.direction in ("off", "unknown") or not modal.speed:
                modal.unmodelled(line, line, "a feed per revolution of a spindle that may stand still")
                return None
            return modal.feed * scale * modal.speed
        case "unknown":
            return None
        case _:
            return modal.feed * scale


def _length(
    start: Mapping[str, float], to: Mapping[str, float], axes: Mapping[str, float | None], turning: bool
) -> float | None:
    used = [axis for axis in axes if turning or axis not in ROTARY]
    if any(axis not in start or axis not in to for axis in used):
        return None
    return math.hypot(*(to[axis] - start[axis] for axis in used))
