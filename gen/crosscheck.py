"""What recipe and machine must agree on before anything can be computed.

Limits (feeds, speeds, travels, stick length, clearance) are not here: a recipe
that exceeds one can be computed, and the bounds say so with both numbers.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from gen.errors import DressblockError, Problem, Where
from gen.machine import Machine
from gen.quantities import plain, show
from gen.recipe import Recipe

Problems: TypeAlias = Iterator[Problem]


def cross_check(recipe: Recipe, machine: Machine, *, file: Where | None = None) -> None:
    """:class:`DressblockError` with every disagreement, if there is one; ``file`` is the recipe's."""
    problems = [problem for check in _CHECKS for problem in check(recipe, machine)]
    if problems:
        raise DressblockError.of(problems, file=file)


def _lateral(recipe: Recipe, machine: Machine) -> Problems:
    axis = machine.dresser.lateral_axis
    if axis is not None and recipe.wheel.lateral is None:
        yield Problem(
            "wheel.lateral",
            f"the machine places the stick with axis {axis}; add the position of that axis at which stick and "
            'wheel are centred on each other, such as lateral = "42.5 mm".',
        )
    if axis is None and recipe.wheel.lateral is not None:
        yield Problem(
            "wheel.lateral",
            "the machine file names no axis for it; add dresser.lateral_axis there, or take the key out here.",
        )


def _registers(recipe: Recipe, machine: Machine) -> Problems:
    if machine.registers is None:
        return
    if recipe.wheel.contact == "face" and machine.registers.wheel_gauge is None:
        yield Problem(
            "wheel.contact", "face contact needs registers.wheel_gauge in the machine file; add its number there."
        )
    if recipe.wheel.contact == "periphery" and machine.registers.wheel_diameter is None:
        yield Problem(
            "wheel.contact",
            "periphery contact needs registers.wheel_diameter in the machine file; add its number there.",
        )


def _target(recipe: Recipe, machine: Machine) -> Problems:
    low, high = recipe.dress.band
    target = recipe.dress.aggressiveness
    if not low <= target <= high:
        lower, upper, wanted = (plain(value, 6, strip=True) for value in (low, high, target))
        yield Problem(
            "dress.aggressiveness", f"{wanted} is outside dress.band, {lower} to {upper}; change one of the two."
        )


def _height(recipe: Recipe, machine: Machine) -> Problems:
    height, worn = recipe.stick.section[1], recipe.wheel.diameter[0]
    if height >= worn:
        yield Problem(
            "stick.section",
            f"the stick's height, {show(height, 'length', machine.units)}, must be less than the worn wheel's "
            f"diameter, {show(worn, 'length', machine.units)}; the first value is the width, the second the height.",
        )


def _inclined(recipe: Recipe, machine: Machine) -> Problems:
    if not machine.dresser.inclination:
        return
    if recipe.wheel.taper:
        yield Problem(
            "wheel.taper",
            "the machine's dresser.inclination already sets the plunge at an angle, and the two together are not "
            "worked out; use a wheel without taper here.",
        )
    stick, wheel = recipe.stick.section[0], recipe.wheel.width
    if stick > wheel:
        yield Problem(
            "stick.section",
            f"on an inclined plunge a stick of {show(stick, 'length', machine.units)} would overhang a wheel of "
            f"{show(wheel, 'length', machine.units)} and meet its edge first; "
            "use a stick no wider than the wheel.",
        )


def _tapered(recipe: Recipe, machine: Machine) -> Problems:
    if not recipe.wheel.taper:
        return
    stick, wheel = recipe.stick.section[0], recipe.wheel.width
    if stick < wheel:
        yield Problem(
            "stick.section",
            "on a tapered wheel each station of a narrower stick meets another diameter, so that contact and speed "
            "differ from one to the next; use a stick at least as wide as the wheel.",
        )
    elif stick > wheel and recipe.dress.lanes == "all":
        yield Problem(
            "dress.lanes",
            "a tapered wheel leaves the stick's end slanted, so that the next lane would not meet it flat; "
            'use a stick as wide as the wheel, or lanes = "one".',
        )


def _overlap(recipe: Recipe, machine: Machine) -> Problems:
    stick, wheel = recipe.stick.section[0], recipe.wheel.width
    narrower = min(stick, wheel)
    if stick != wheel and recipe.dress.lanes == "all" and recipe.dress.overlap >= narrower:
        yield Problem(
            "dress.overlap",
            f"lanes {show(narrower, 'length', machine.units)} wide that overlap by "
            f"{show(recipe.dress.overlap, 'length', machine.units)} never move on; make the overlap smaller.",
        )


def _lanes(recipe: Recipe, machine: Machine) -> Problems:
    stick, wheel = recipe.stick.section[0], recipe.wheel.width
    if stick != wheel and recipe.dress.lanes == "all" and machine.dresser.lateral_axis is None:
        yield Problem(
            "dress.lanes",
            f"stick ({show(stick, 'length', machine.units)}) and wheel ({show(wheel, 'length', machine.units)}) "
            "differ in width, and no axis moves from lane to lane; name dresser.lateral_axis in the machine file, "
            'or write lanes = "one".',
        )


_CHECKS = (_lanes, _lateral, _registers, _target, _height, _inclined, _tapered, _overlap)
