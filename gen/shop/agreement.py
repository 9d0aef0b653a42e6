"""What recipe and machine must agree on before anything can be computed.

Limits (feeds, speeds, travels, stick length, clearance) are not here: a recipe
that exceeds one can be computed, and the bounds say so with both numbers.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from typing import TypeAlias

from gen.base.errors import DressblockError, Problem, listed
from gen.base.quantities import plain, show
from gen.physics.end_face import SLIVER
from gen.physics.lanes import MOST
from gen.physics.lean import axial_place
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from gen.shop.wheel import Wheel

Problems: TypeAlias = Iterator[Problem]

EARLY = 0.005
"""mm. How much earlier than worked out a stick may touch because it stands aside."""


def cross_check(recipe: Recipe, machine: Machine) -> None:
    """:class:`DressblockError` with every disagreement, if there is one."""
    dress = Dress(recipe, machine)
    problems = [
        problem
        for wheel in dress.wheels
        for problem in (
            *(problem for check in _CHECKS for problem in check(wheel)),
            *_pack(dress, wheel),
            *_side_by_side(dress, wheel),
        )
    ]
    if problems:
        raise DressblockError.of(dict.fromkeys(problems))


def _mm(wheel: Wheel, value: Decimal | float, places: int | None = None) -> str:
    """A length in the shop's units."""
    return show(value, "length", wheel.machine.units, places)


def _lateral(wheel: Wheel) -> Problems:
    axis = wheel.machine.dresser.lateral_axis
    if axis is not None and wheel.keys.lateral is None:
        yield Problem(
            wheel.key("wheel.lateral"),
            f"the machine places the stick with axis {axis}; add the position of that axis at which stick and "
            'wheel are centred on each other, such as lateral = "42.5 mm".',
        )
    if axis is None and wheel.keys.lateral is not None:
        yield Problem(
            wheel.key("wheel.lateral"),
            "the machine file names no axis for it; add dresser.lateral_axis there, or take the key out here.",
        )


def _places(wheel: Wheel) -> Problems:
    """The wheel's own positions and points are of axes that there are, and that it may place."""
    named = [(f"at.{letter}", letter) for letter in wheel.keys.at]
    named += [(f"via[{number}].{letter}", letter) for number, point in enumerate(wheel.keys.via) for letter in point]
    for key, letter in named:
        if why := wheel.machine.no_place(letter, between=key.startswith("via")):
            yield Problem(wheel.key(f"wheel.{key}"), why)


def _registers(wheel: Wheel) -> Problems:
    if wheel.machine.registers is None:
        return
    if wheel.keys.contact == "face" and wheel.machine.registers.wheel_gauge is None:
        yield Problem(
            wheel.key("wheel.contact"),
            "face contact needs registers.wheel_gauge in the machine file; add its number there.",
        )
    if wheel.keys.contact == "periphery" and wheel.machine.registers.wheel_diameter is None:
        yield Problem(
            wheel.key("wheel.contact"),
            "periphery contact needs registers.wheel_diameter in the machine file; add its number there.",
        )


def _target(wheel: Wheel) -> Problems:
    low, high = wheel.settings.band
    target = wheel.settings.aggressiveness
    if not low <= target <= high:
        lower, upper, wanted = (plain(value, 6, strip=True) for value in (low, high, target))
        yield Problem(
            wheel.key("dress.aggressiveness"),
            f"{wanted} is outside dress.band, {lower} to {upper}; change one of the two.",
        )


def _height(wheel: Wheel) -> Problems:
    height, worn = wheel.stick.section[1], wheel.keys.diameter[0]
    if height >= worn:
        yield Problem(
            "stick.section",
            f"the stick's height, {_mm(wheel, height)}, must be less than the worn wheel's "
            f"diameter, {_mm(wheel, worn)}; the first value is the width, the second the height.",
        )


def _inclined(wheel: Wheel) -> Problems:
    if not wheel.machine.dresser.inclination:
        return
    if wheel.keys.taper:
        yield Problem(
            wheel.key("wheel.taper"),
            "the machine's dresser.inclination already sets the plunge at an angle, and the two together are not "
            "worked out; use a wheel without taper here.",
        )
    if wheel.face:
        yield Problem(
            wheel.key("wheel.contact"),
            "the machine's dresser.inclination sets the plunge at an angle, worked out for a periphery and not "
            'for a face; use contact = "periphery", or a dresser that plunges straight onto the face.',
        )
    # square to the plunge the stick is wider on the wheel than it is in itself; its lanes would meet the wheel unevenly
    covered, across = wheel.geometry.footprint, float(wheel.keys.width)
    if covered > across + 1e-6 and wheel.settings.lanes != "one":
        yield Problem(
            "stick.section",
            f"on this inclined plunge the stick covers {_mm(wheel, covered, 3)} of a wheel of "
            f"{_mm(wheel, across)}, so that lanes beside each other would touch at different "
            'depths; use a narrower stick, or lanes = "one".',
        )
    elif covered > across + 1e-6:
        yield from _aside(wheel)


def _aside(wheel: Wheel) -> Problems:
    """A stick wider than the wheel, inclined: it touches earlier by the distance aside · sin α (geometry)."""
    sine = math.sin(math.radians(float(wheel.angle)))
    if wheel.keys.lane:
        yield Problem(
            wheel.key("wheel.lane"),
            "on an inclined plunge a lane beside the middle of the stick touches at another depth than the middle, "
            "which is not worked out; take this key out, or use a stick that covers no more than the wheel's width.",
        )
    aside = wheel.drift(float(wheel.size_range[0]))
    if not wheel.recentre_sign and aside * sine > EARLY:
        yield Problem(
            "stick.section",
            f"as the wheel wears, this inclined stick meets it {_mm(wheel, aside)} aside, and a stick wider "
            f"than the wheel then touches up to {_mm(wheel, aside * sine)} too early; name "
            "dresser.recentre in the machine file, or use a stick that covers no more than the wheel's width.",
        )


def _tapered(wheel: Wheel) -> Problems:
    if not wheel.keys.taper:
        return
    stick, width = wheel.stick.section[0], wheel.keys.width
    if stick < width:
        yield Problem(
            "stick.section",
            "on a tapered wheel each station of a narrower stick meets another diameter, so that contact and speed "
            "differ from one to the next; use a stick at least as wide as the wheel.",
        )
    elif stick > width and wheel.settings.lanes != "one":
        yield Problem(
            wheel.key("dress.lanes"),
            "a tapered wheel leaves the stick's end slanted, so that the next lane would not meet it flat; "
            'use a stick as wide as the wheel, or lanes = "one".',
        )


def _visited(wheel: Wheel) -> Problems:
    """What the kind of dresser cannot do across this stick and wheel."""
    for said in wheel.machine.dresser.refusals(wheel.lanes, one_lane=wheel.settings.lanes == "one"):
        yield Problem(wheel.key("dress.lanes"), said)


def _overlap(wheel: Wheel) -> Problems:
    stick, width = wheel.stick.section[0], wheel.keys.width
    narrower = min(stick, width)
    if stick != width and wheel.settings.lanes != "one" and wheel.settings.overlap >= narrower:
        yield Problem(
            wheel.key("dress.overlap"),
            f"lanes {_mm(wheel, narrower)} wide that overlap by "
            f"{_mm(wheel, wheel.settings.overlap)} never move on; make the overlap smaller.",
        )


def _many(wheel: Wheel) -> Problems:
    lanes, plunges = len(wheel.lanes.offsets), wheel.settings.plunges
    if lanes * plunges > MOST:
        many = f"more than {MOST}" if lanes > MOST else str(lanes)
        yield Problem(
            wheel.key("dress.plunges"),
            f"{plunges} in each of {many} places across the wheel are more than the {MOST} plunges a dress can have; "
            "ask for fewer, for less overlap, or use a stick nearer to the wheel's width.",
        )


def _lanes(wheel: Wheel) -> Problems:
    stick, width = wheel.stick.section[0], wheel.keys.width
    if stick != width and wheel.settings.lanes != "one" and wheel.machine.dresser.lateral_axis is None:
        yield Problem(
            wheel.key("dress.lanes"),
            f"stick ({_mm(wheel, stick)}) and wheel ({_mm(wheel, width)}) "
            "differ in width, and no axis moves from lane to lane; name dresser.lateral_axis in the machine file, "
            'or write lanes = "one".',
        )


def _next_lane(wheel: Wheel) -> Problems:
    """What one lane a dress needs: lanes to go through, a register that counts them, and equal steps of the stick."""
    if wheel.settings.lanes != "next":
        return
    key, dresser, registers = wheel.key("dress.lanes"), wheel.machine.dresser, wheel.machine.registers
    lanes, opening = wheel.lanes, wheel.dress_keys.after_truing
    if wheel.count > 1:
        yield Problem(
            key, 'the wheels of a pack share the stick\'s end; write lanes = "all", or "one" for each of them.'
        )
    elif len(lanes.offsets) == 1:
        yield Problem(key, 'stick and wheel are so alike in width that there is one lane; write lanes = "all".')
    elif not lanes.stick_is_wider:
        yield Problem(
            key,
            "a stick narrower than the wheel would open only a part of the wheel in each dress, and shorten the stick "
            'each time; write lanes = "all".',
        )
    if not dresser.keeps_lanes:
        yield Problem(
            key,
            f"{dresser.NAME} set up like this cannot dress one lane at a time: a lane that still stands would be met "
            'too soon; use a slide with a datum and approach = "envelope", or write lanes = "all".',
        )
    if registers is None or registers.next_lane is None:
        yield Problem(
            key,
            'lanes = "next" needs a register that counts the lanes, on a control with variables; add next_lane to '
            '[registers] in the machine file, or write lanes = "all".',
        )
    if opening is not None and (
        (opening.plunge or wheel.settings.plunge) * (opening.plunges or wheel.settings.plunges)
        != wheel.settings.plunge * wheel.settings.plunges
    ):
        yield Problem(
            "dress.after_truing",
            'with lanes = "next" both would cut the lanes of one stick, to different depths, and its end would never '
            "be level; give both the same depth in all, or make a recipe of its own for the opening, with a stick of "
            "its own.",
        )


def _warned(wheel: Wheel) -> Problems:
    """What a program needs that tells when few dresses are left, or goes on when there are none."""
    keys, dresser = wheel.dress_keys, wheel.machine.dresser
    asked = {"dress.warn_left": keys.warn_left is not None, "dress.when_used_up": keys.when_used_up != "stop"}
    for key in (key for key, wanted in asked.items() if wanted):
        if not dresser.needs_length:
            yield Problem(
                key,
                f"a program for {dresser.NAME} does not know how long the stick is; take this key out, and look at "
                "the stick at each set-up.",
            )
        elif wheel.machine.registers is None:
            yield Problem(
                key,
                "the stick's length must be in a register for that; add [registers] to the machine file, on a control "
                "with variables, or take this key out.",
            )


def _lane(wheel: Wheel) -> Problems:
    lane, stick, width = wheel.keys.lane, wheel.stick.section[0], wheel.keys.width
    if lane is None:
        return
    if wheel.settings.lanes != "one":
        yield Problem(wheel.key("wheel.lane"), 'only lanes = "one" has a place of its own; add it, or take this out.')
    elif wheel.machine.dresser.lateral_axis is None:
        yield Problem(wheel.key("wheel.lane"), "no axis moves to it; name dresser.lateral_axis in the machine file.")
    elif 2 * abs(lane) > abs(stick - width):
        yield Problem(
            wheel.key("wheel.lane"),
            f"a lane at {_mm(wheel, lane)} reaches beyond the edge; a stick of "
            f"{_mm(wheel, stick)} and a wheel of {_mm(wheel, width)} allow "
            f"{_mm(wheel, abs(stick - width) / 2)} to either side.",
        )


def _pack(dress: Dress, wheel: Wheel) -> Problems:
    """What a pack needs: its wheels differ in diameter and place, and the stick goes from one to the next."""
    count, dresser = len(dress.wheels), dress.machine.dresser
    if count == 1:
        return
    if wheel.keys.contact == "face":
        yield Problem(
            wheel.key("wheel.contact"),
            "the plunge that meets the periphery of the other wheels goes across the spindle, and a face is met along "
            "it: one datum cannot be right for both; dress the face with a recipe and a machine file of its own.",
        )
    yield from _slanted(dress, wheel)
    if dresser.per_set_up is not None:
        yield Problem(
            "wheel",
            "a stand-off is set to one wheel only, and the others lie nearer or further away as each of them wears by "
            "itself, which no program of such a dresser is told; a pack needs a dresser with a datum, or a recipe and "
            "a set-up for each wheel.",
        )
    if dresser.inclination:
        yield from _leaning(dress, wheel)
    if dresser.lateral_axis is None:
        yield Problem("wheel", "no axis moves from wheel to wheel; name dresser.lateral_axis in the machine file.")
    if dresser.holder is None:
        yield Problem(
            "wheel",
            "the machine file does not say how wide the stick's holder is, which must stay off the other wheels; add "
            'the width and how far it reaches from the seat, such as dresser.holder = ["20 mm", "30 mm"].',
        )
    table = dress.machine.registers
    if table is not None and table.wheel_diameter is not None and len(table.wheel_diameter) < count:
        yield Problem(
            "wheel",
            f"this pack has {count} wheels, and the machine file {len(table.wheel_diameter)} for them in "
            "registers.wheel_diameter; give a list with a number for each.",
        )


def _leaning(dress: Dress, wheel: Wheel) -> Problems:
    """On an inclined plunge the wheels of a pack leave one end of the stick if it lies on each of them as a whole."""
    covered = wheel.geometry.footprint
    if covered > float(wheel.keys.width) + 1e-6:
        yield Problem(
            wheel.key("wheel.width"),
            f"inclined, the stick covers {_mm(wheel, covered, 3)} of a wheel of "
            f"{_mm(wheel, wheel.keys.width)}, and what that leaves of the stick's end no other wheel of the "
            "pack meets evenly; use a stick that covers no more than the narrowest wheel.",
        )
    if dress.dresser.recentre is None:
        yield Problem(
            "wheel",
            "the machine file does not say which way the inclined stick leans over the wheels beside; add "
            "dresser.recentre there, the way the lateral axis has to go as a wheel gets smaller.",
        )


def _slanted(dress: Dress, wheel: Wheel) -> Problems:
    """A tapered wheel leaves its lane of the stick's end slanted, so that no other wheel may use any of it."""
    if not wheel.keys.taper:
        return
    ours = [(bite.low, bite.high) for bite in dress.bites() if bite.wheel == wheel.index]
    theirs = {
        bite.wheel
        for bite in dress.bites()
        if bite.wheel != wheel.index and any(min(bite.high, high) - max(bite.low, low) > SLIVER for low, high in ours)
    }
    if theirs:
        others = f"wheel{'s' if len(theirs) > 1 else ''} {listed((str(one + 1) for one in sorted(theirs)), 'and')}"
        yield Problem(
            wheel.key("wheel.taper"),
            f"a tapered wheel leaves its lane of the stick's end slanted, and {others} would meet the slant; write "
            'lanes = "one", and lane with a place of its own for each of them, on a stick that is wide enough.',
        )


def _side_by_side(dress: Dress, wheel: Wheel) -> Problems:
    """No two wheels can stand in the same place."""
    here = wheel.keys
    for other in dress.wheels[: wheel.index]:
        there = other.keys
        if here.lateral is not None and there.lateral is not None and wheel.at == other.at:
            apart = _apart(wheel, other)
            if apart < 0:
                yield Problem(
                    wheel.key("wheel.lateral"),
                    f"this wheel would overlap wheel {other.index + 1} by "
                    f"{_mm(wheel, -apart)}; look at lateral and width of the two.",
                )


def _apart(one: Wheel, other: Wheel) -> Decimal:
    """What lies between two wheels along their axis, mm; below 0 they overlap.

    An inclined stick is centred on each of them at another place of its own, as far out as the wheel's surface is.
    """
    places = [
        axial_place(float(wheel.keys.lateral or 0), float(wheel.keys.diameter[1]), float(wheel.angle), lean)
        if (lean := wheel.recentre_sign) and not wheel.keys.taper
        else float(wheel.keys.lateral or 0)
        for wheel in (one, other)
    ]
    apart = abs(places[0] - places[1]) - float(one.keys.width + other.keys.width) / 2
    return Decimal(repr(round(apart, 9)))


_CHECKS = (
    _many,
    _lanes,
    _lateral,
    _places,
    _registers,
    _target,
    _height,
    _inclined,
    _tapered,
    _overlap,
    _visited,
    _lane,
    _next_lane,
    _warned,
)
