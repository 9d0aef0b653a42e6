"""Circular arcs in the three planes: centre, length, and the least and greatest position of each axis."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from gen.plan.step import Circle
from gen.reader.failure import NotUnderstood
from gen.reader.modal import Modal

PLANES = {"xy": ("X", "Y", "Z", "I", "J"), "zx": ("Z", "X", "Y", "K", "I"), "yz": ("Y", "Z", "X", "J", "K")}
"""First and second axis (right-handed, seen from the third), third axis, words of the centre."""

FIT = 0.01
"""How far (mm) the ends may differ in radius; larger arcs get a thousandth of their radius."""


class Arc(NamedTuple):
    length: float
    span: dict[str, tuple[float, float]]
    circle: Circle


def work_out(
    modal: Modal,
    to: Mapping[str, float],
    clockwise: bool,
    words: Mapping[str, float | None],
    centre: Mapping[str, float | None],
    turns: float | None,
) -> Arc | None:
    """The arc from where ``modal`` stands to ``to``, which it reaches in the last of so many ``turns``.

    None if one of the positions, or another value, is not known.

    :class:`NotUnderstood` if the words do not make an arc.
    """
    first, second, third, i_word, j_word = PLANES[modal.modes["plane"]]
    stray = set(centre) - {i_word, j_word, "R"}
    if stray:
        raise NotUnderstood(f"{' and '.join(sorted(stray))} cannot give the centre of an arc in this plane")
    if not centre:
        raise NotUnderstood("an arc wants its centre or its radius")
    if turns is not None and (turns < 1 or turns != int(turns)):
        raise NotUnderstood("an arc goes round a whole number of times, once at least")
    start = modal.position
    if any(axis not in start or axis not in to for axis in (first, second)) or None in (turns, *centre.values()):
        return None
    a, b = (start[first], start[second]), (to[first], to[second])
    scale = modal.scale
    if "R" in centre:
        if len(centre) > 1:
            raise NotUnderstood("an arc has a centre or a radius, not both")
        middle = _by_radius(a, b, (centre["R"] or 0.0) * scale, clockwise)
    else:
        given = [(first, i_word, a[0]), (second, j_word, a[1])]
        places = [_centre(modal, axis, centre.get(word), at) for axis, word, at in given]
        if places[0] is None or places[1] is None:
            return None
        middle = (places[0], places[1])
    radius, end_radius = math.dist(a, middle), math.dist(b, middle)
    if radius == 0 or abs(radius - end_radius) > max(FIT, radius / 1000):
        raise NotUnderstood(f"the end is not on the arc: radius {radius:.4f} at its start, {end_radius:.4f} at its end")
    begin = math.atan2(a[1] - middle[1], a[0] - middle[0])
    sweep = _sweep(begin, math.atan2(b[1] - middle[1], b[0] - middle[0]), clockwise, a == b)
    sweep += math.copysign(math.tau * ((turns or 1.0) - 1), sweep)
    span = {axis: _between(start[axis], to[axis]) for axis in to if axis in start}
    low = begin if sweep > 0 else begin + sweep
    for axis, quarter, at in ((first, 0, middle[0]), (second, 1, middle[1])):
        least, most = span[axis]
        if _passes(low, abs(sweep), quarter * math.pi / 2):
            most = max(most, at + radius)
        if _passes(low, abs(sweep), quarter * math.pi / 2 + math.pi):
            least = min(least, at - radius)
        span[axis] = (least, most)
    climb = to[third] - start[third] if third in words and third in to and third in start else 0.0
    circle = Circle({first: middle[0], second: middle[1]}, "cw" if clockwise else "ccw", abs(sweep) / math.tau)
    return Arc(math.hypot(radius * sweep, climb), span, circle)


def _centre(modal: Modal, axis: str, value: float | None, start: float) -> float | None:
    """One coordinate of the centre, in machine coordinates."""
    if modal.modes["arc_distance"] == "incremental":
        return start + (value or 0.0) * modal.scale
    if value is None:
        raise NotUnderstood("an arc with an absolute centre wants both of its coordinates")
    offset = modal.offset_of(axis)
    return None if offset is None else value * modal.scale + offset


def _by_radius(a: tuple[float, float], b: tuple[float, float], radius: float, clockwise: bool) -> tuple[float, float]:
    """The centre of the arc of ``radius`` from ``a`` to ``b``; a negative radius takes the longer way round."""
    chord = math.dist(a, b)
    if chord == 0:
        raise NotUnderstood("an arc by its radius cannot end where it starts")
    if chord > 2 * abs(radius) + FIT:
        raise NotUnderstood(f"no arc of radius {abs(radius):.4f} reaches its end, {chord:.4f} away")
    height = math.sqrt(max(0.0, radius * radius - chord * chord / 4))
    # the centre lies to the left of the chord when a short arc runs counter-clockwise
    side = height if clockwise == (radius < 0) else -height
    along = ((b[0] - a[0]) / chord, (b[1] - a[1]) / chord)
    return ((a[0] + b[0]) / 2 - side * along[1], (a[1] + b[1]) / 2 + side * along[0])


def _sweep(begin: float, end: float, clockwise: bool, closed: bool) -> float:
    """The signed angle (counter-clockwise positive) from ``begin`` to ``end``; a closed arc is a full turn."""
    turn = math.tau if closed else (end - begin) % math.tau
    if not clockwise:
        return turn
    return -math.tau if closed else turn - math.tau if turn else 0.0


def _passes(low: float, sweep: float, angle: float) -> bool:
    return (angle - low) % math.tau <= sweep


def _between(a: float, b: float) -> tuple[float, float]:
    return (a, b) if a <= b else (b, a)
