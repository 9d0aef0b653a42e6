"""What stands at the head of every block for the person at the control."""

from __future__ import annotations

from gen.facts import Facts
from gen.quantities import plain, show
from gen.texts import cautions, lines


def prologue(facts: Facts) -> list[str]:
    """The lines of the heading after the identity: target, speed, feed, cautions."""
    recipe, units = facts.recipe, facts.machine.units
    dress, dresser = facts.dress, facts.machine.dresser
    speed = (
        f"SPEED {show(dress.speed, 'rotation', units)}"
        if dress.speed is not None
        else f"WHEEL SPEED {show(dress.wheel_speed or 0, 'peripheral', units)}"
    )
    low, high = dress.band
    return lines(
        "prologue.j2",
        {
            "title": recipe.title,
            "incremental": facts.incremental,
            "stand_off": show(dresser.stand_off or 0, "length", units),
            "target": plain(dress.aggressiveness, 6, strip=True),
            "low": plain(low, 6, strip=True),
            "high": plain(high, 6, strip=True),
            "speed": speed,
            "plunges": dress.plunges * len(facts.lanes.offsets),
            "plunge": show(dress.plunge, "length", units),
            "feed": show(round(facts.nominal_feed(float(facts.size_range[1])), 1), "feed", units),
            "cautions": [caution["short"] for caution in cautions()],
        },
    )
