"""What a block ends with in a grinding program: everything as it was, in the words of the program itself."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.control.dialect import Dialect
from gen.host.point import HostPoint
from gen.host.refusals import PUT_BACK, STATED, groups_stated
from gen.host.waits import turns_as
from gen.plan.expression import num
from gen.plan.node import Flood, Leave, Node, Remark, Switch, Turn, Wait
from gen.reader.standing import ACTIVE_SHIFT
from gen.shop.dress import Dress

CHECKED = (*STATED, "work_offset", "tool_length", "speed", "spindle", "coolant", "override", "feed")
"""Groups that the block must leave as they were, where they were set before it."""


def ending(point: HostPoint, dialect: Dialect, dress: Dress) -> tuple[Node, ...]:
    """The nodes that end a block: coolant, spindle with its wait, modes, feed, motion code."""
    own_offset = dress.machine.dresser.offset is not None
    return (
        *_coolant(point, dialect, wet=any(one.settings.coolant for one in dress.wheels)),
        *_spindle(point, dress),
        Remark("as it was before the dress"),
        *(Leave(words) for words in mode_lines(point, dialect, own_offset=own_offset)),
        *([Switch("override-lock")] if point.here.get("override") == "lock" else []),
    )


def leaves(point: HostPoint) -> dict[str, str]:
    """The modes, by group, that the bounds must find left."""
    here = point.here
    stated = groups_stated(point.control)
    found = {group: here.get(group) for group in CHECKED if group in here.lines or group in stated}
    if here.get("spindle", "off") == "off":
        # a wheel that stood still is told so, whether or not the program had said it
        found["spindle"] = "off"
    if not feed_words(point):
        found.pop("feed", None)
    if not _speed_words(point) and here.get("spindle", "off") == "off":
        found.pop("speed", None)
    return found


def _coolant(point: HostPoint, dialect: Dialect, *, wet: bool) -> Iterator[Node]:
    """Flood as it was, and mist, which the same word may have switched off."""
    if not wet:
        return
    yield Flood(point.here.get("coolant") == "on")
    if point.here.mist:
        yield Switch(word=dialect.control.codes["mist_on"])


def _spindle(point: HostPoint, dress: Dress) -> Iterator[Node]:
    spindle, direction = dress.machine.spindle, point.here.get("spindle", "off")
    if direction not in ("cw", "ccw"):
        yield Turn(num(0), "off")
        if words := _speed_words(point):
            yield Leave(words)
        return
    if direction != spindle.direction:
        yield Turn(num(0), "off")
        yield Wait(spindle.spin_up, "spindle stands")
    yield Turn(num(int(Decimal(point.here.get("speed")))), "cw" if direction == "cw" else "ccw")
    if not turns_as(point, dress, dress.wheels[-1]):
        yield Wait(spindle.spin_up, "spindle at the speed it had")


def _speed_words(point: HostPoint) -> tuple[str, ...]:
    speed = None if "speed" in point.unsettled else point.words("speed").get("S")
    return () if speed is None else (f"S{speed}",)


def feed_words(point: HostPoint) -> tuple[str, ...]:
    """The word of the feed as the program wrote it; empty if it was worked out, never told, or is not always that."""
    feed = None if "feed" in point.unsettled else point.words("feed").get("F")
    return () if feed is None else (f"F{feed}",)


def mode_lines(point: HostPoint, dialect: Dialect, *, own_offset: bool) -> Iterator[tuple[str, ...]]:
    """The words that put the modes back, line by line: a feed counts in the units of the line before it.

    ``own_offset``: the dress has a work offset of its own, so that the program's is always said again.
    """
    control, here = dialect.control, point.here
    words = [control.word(group, here.get(group)) for group in groups_stated(control) if group != "path"]
    if "work_offset" in control.groups and ("work_offset" in here.lines or own_offset):
        words.append(control.word("work_offset", here.get("work_offset")))
    yield tuple(words)
    if "path" in control.groups:
        # a tolerance belongs to the word before it
        beside = point.words("path") if "path" in here.lines else {}
        tolerance = (f"{letter}{beside[letter]}" for letter in "PQ" if letter in beside)
        yield (control.word("path", here.get("path")), *tolerance)
    if here.get("shift") in ACTIVE_SHIFT and "restored" in control.groups.get("shift", {}):
        yield (control.word("shift", "restored"),)
    for group in PUT_BACK:
        if here.get(group, "off") != "off":
            length = point.words(group).get("H")
            yield (control.word(group, here.get(group)), *([] if length is None else [f"H{length}"]))
    if feed := feed_words(point):
        yield feed
    if here.get("motion") == "feed" and "motion" not in point.unsettled:
        yield (control.word("motion", "feed"),)
