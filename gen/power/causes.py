"""Why a dress may be too gentle, the likeliest first, and what a recipe's numbers say to each."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from gen.contact import feed_for, peripheral_speed

if TYPE_CHECKING:
    from gen.recipe import Recipe, Wheel

PRACTICE = (200.0, 300.0)
"""Aggressiveness that is reasonable for most resin-bond diamond wheels; common practice, no source."""


class Cause(NamedTuple):
    """A likely cause, and what the recipe says to it; "" without a recipe."""

    cause: str
    recipe: str


def causes(recipe: Recipe | None) -> tuple[Cause, ...]:
    """The causes in order."""
    likely = (
        ("The stick's grains are too coarse to get between the diamonds.", _grit),
        ("The plunge is too slow, so the stick rubs; look at the feed override and a feeder's valve too.", _speed),
        ("The plunge is too short.", _depth),
    )
    return tuple(Cause(cause, "" if recipe is None else says(recipe)) for cause, says in likely)


def _grit(recipe: Recipe) -> str:
    from gen.abrasives import known_diamond, known_stick
    from gen.gap import fit, narrowest

    stick = known_stick(recipe.stick.grit)
    known = [(known_diamond(wheel.grit), wheel.concentration) for wheel in recipe.wheels]
    fits = [fit(grain, concentration) for grain, concentration in known if grain is not None]
    if stick is None or len(fits) < len(known):
        return f"{recipe.stick.grit} on {recipe.wheel.grit}: not in the tables, so this cannot be told."
    least = narrowest(fits)
    room = f"{least.diamonds.name} at concentration {least.concentration:g} leaves about {least.gap_um:.0f} µm"
    if least.admits(stick):
        return f"{stick.name} gets in: {room}. Not likely."
    finer = f"; {least.recommended.name} or finer gets in" if least.recommended else ""
    return f"{stick.name} does not get in: {room}{finer}. Likely; change this first."


def _target(recipe: Recipe, wheel: Wheel) -> float:
    return float(wheel.aggressiveness or recipe.dress.aggressiveness)


def _surface(recipe: Recipe, wheel: Wheel) -> float:
    """The new wheel's speed while dressing, m/s."""
    own = wheel.wheel_speed is not None or wheel.speed is not None
    speed, rotation = (wheel.wheel_speed, wheel.speed) if own else (recipe.dress.wheel_speed, recipe.dress.speed)
    return float(speed) if speed is not None else peripheral_speed(float(wheel.diameter[1]), float(rotation or 0))


def _gentlest(recipe: Recipe) -> tuple[float, float]:
    """Target and feed, mm/min, of the wheel with the least target."""
    wheel = min(recipe.wheels, key=lambda one: _target(recipe, one))
    target = _target(recipe, wheel)
    return target, feed_for(target, _surface(recipe, wheel))


def _speed(recipe: Recipe) -> str:
    target, feed = _gentlest(recipe)
    low, high = PRACTICE
    asks = f"it asks for {target:g}, about {feed:.0f} mm/min; {low:g} to {high:g} is common practice (no source)"
    if target < low:
        return f"{asks}. Likely; raise aggressiveness towards 250."
    if target < (low + high) / 2:
        return f"{asks}. Possible; there is room towards {high:g}, within the wheel maker's limits."
    return f"{asks}. Not likely, if the machine does run that fast."


def _depth(recipe: Recipe) -> str:
    dress = recipe.dress
    depth = float(dress.plunge) * dress.plunges
    plunges = "one plunge" if dress.plunges == 1 else f"{dress.plunges} plunges"
    seconds = depth / _gentlest(recipe)[1] * 60
    longer = seconds * (dress.plunges + 1) / dress.plunges
    return (
        f"{plunges} of {float(dress.plunge):g} mm, about {seconds:.1f} s in the cut; plunges = {dress.plunges + 1} "
        f"gives {longer:.1f} s for {float(dress.plunge):g} mm more stick each time."
    )
