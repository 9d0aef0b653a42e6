"""Why a dress may be too gentle, the likeliest first, and what a recipe's numbers say to each."""

from __future__ import annotations

from typing import Literal, NamedTuple

from gen.physics.contact import feed_for, peripheral_speed
from gen.physics.gap import finest, sticks_for
from gen.physics.grains import known_diamond, known_stick
from gen.physics.sensitivity import BAND
from gen.power.said import Said, as_said
from gen.shop.recipe import Recipe
from gen.shop.wheel import settings_of_wheel


class Cause(NamedTuple):
    """A likely cause, and what the recipe says to it; None without a recipe."""

    cause: Literal["too-coarse", "too-slow", "too-short"]
    recipe: Said | None


def causes(recipe: Recipe | None) -> tuple[Cause, ...]:
    """The causes in order."""
    coarse, slow, short = (None, None, None) if recipe is None else (_grit(recipe), _speed(recipe), _depth(recipe))
    return Cause("too-coarse", coarse), Cause("too-slow", slow), Cause("too-short", short)


def _grit(recipe: Recipe) -> Said:
    stick = known_stick(recipe.stick.grit)
    known = [(known_diamond(wheel.grit), wheel.concentration) for wheel in recipe.wheels]
    fits = [sticks_for(grain, concentration) for grain, concentration in known if grain is not None]
    if stick is None or len(fits) < len(known):
        return as_said("grit-unknown", stick=recipe.stick.grit, diamonds=", ".join(one.grit for one in recipe.wheels))
    decides = finest(fits)
    usual = " / ".join(grain.name for grain in decides.habit)
    key = "grit-usual" if decides.suits(stick) else "grit-coarse"
    return as_said(key, stick=stick.name, diamonds=decides.diamonds.name, usual=usual)


def _gentlest(recipe: Recipe) -> tuple[float, float]:
    """Target and feed, mm/min, of the wheel with the least target, as it is when new."""
    each = [(wheel, settings_of_wheel(wheel, recipe.dress)) for wheel in recipe.wheels]
    wheel, settings = min(each, key=lambda one: one[1].aggressiveness)
    target, speed = float(settings.aggressiveness), settings.wheel_speed
    if speed is None:
        return target, feed_for(target, peripheral_speed(float(wheel.diameter[1]), float(settings.speed or 0)))
    return target, feed_for(target, float(speed))


def _speed(recipe: Recipe) -> Said:
    target, feed = _gentlest(recipe)
    low, high = BAND
    asks = {"target": f"{target:g}", "feed": f"{feed:.0f}", "low": f"{low:g}", "high": f"{high:g}"}
    likely = "likely" if target < low else "possible" if target < (low + high) / 2 else "unlikely"
    return as_said(f"speed-{likely}", **asks)


def _depth(recipe: Recipe) -> Said:
    dress = recipe.dress
    depth = float(dress.plunge) * dress.plunges
    seconds = depth / _gentlest(recipe)[1] * 60
    return as_said(
        "depth",
        plunges=str(dress.plunges),
        depth=f"{float(dress.plunge):g}",
        seconds=f"{seconds:.1f}",
        more=str(dress.plunges + 1),
        longer=f"{seconds * (dress.plunges + 1) / dress.plunges:.1f}",
    )
