"""What stands at the head of every block for the person at the control."""

from __future__ import annotations

from gen.facts import Facts
from gen.quantities import plain, show
from gen.texts import cautions, lines


def prologue(facts: Facts) -> list[str]:
    """The lines of the heading after the identity: target, speed, feed, cautions."""
    recipe, units, dresser = facts.recipe, facts.machine.units, facts.machine.dresser
    return lines(
        "prologue.j2",
        {
            "title": recipe.title,
            "incremental": facts.incremental,
            "timed": _timed(facts),
            "stand_off": show(dresser.stand_off or 0, "length", units),
            "wheels": [_wheel(one) for one in facts.pack],
            "cautions": [caution["short"] for caution in cautions()],
        },
    )


def _wheel(facts: Facts) -> dict[str, str | int]:
    """What the head of a block says of one wheel."""
    units, dress = facts.machine.units, facts.dress
    low, high = dress.band
    speed = (
        f"SPEED {show(dress.speed, 'rotation', units)}"
        if dress.speed is not None
        else f"WHEEL SPEED {show(dress.wheel_speed or 0, 'peripheral', units)}"
    )
    return {
        "name": facts.wheel.name,
        "target": plain(dress.aggressiveness, 6, strip=True),
        "low": plain(low, 6, strip=True),
        "high": plain(high, 6, strip=True),
        "speed": speed,
        "plunges": dress.plunges * len(facts.lanes.offsets),
        "plunge": show(dress.plunge, "length", units),
        "feed": show(round(facts.nominal_feed(float(facts.size_range[1])), 1), "feed", units),
    }


def _timed(facts: Facts) -> dict[str, str | bool]:
    """What the head of a block for a timed feeder says; empty for any other dresser."""
    if not facts.timed:
        return {}
    valve = facts.valve
    return {
        "rate": show(valve.rate, "feed", facts.machine.units),
        "tolerance": plain(valve.tolerance * 100, 2, strip=True),
        "self_adjusting": valve.self_adjusting,
    }
