"""What stands at the head of every block for the person at the control."""

from __future__ import annotations

from gen.base.errors import DressblockError, said
from gen.base.languages import cautions, told
from gen.base.languages import language as known
from gen.base.quantities import plain, show
from gen.control.heading import is_reserved
from gen.shop.dress import Dress
from gen.shop.edition import Edition
from gen.shop.wheel import Wheel


def prologue(dress: Dress, edition: Edition, language: str = "en") -> list[str]:
    """The lines of the heading after the identity: target, speed, feed, cautions.

    Numbers keep their point, as the control writes them. :class:`DressblockError`
    for a language that puts a line there which ``check`` would read as its own.
    """
    recipe, units, by_set_up = dress.recipe, dress.machine.units, dress.dresser.per_set_up is not None
    text = told(
        language,
        "heading",
        {
            "title": recipe.title,
            "incremental": by_set_up,
            "timed": _timed(dress),
            "spins": edition.spins,
            "stand_off": show(dress.dresser.gap if by_set_up else 0, "length", units),
            "wheels": [_wheel(one) for one in dress.wheels],
            "cautions": [caution["short"] for caution in cautions(language)],
        },
        template="heading.j2",
    )
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if taken := next(filter(is_reserved, lines), ""):
        raise DressblockError(
            f"heading.j2 writes {said(taken)}, which check would read as its own.", file=known(language).folder
        )
    return lines


def _wheel(wheel: Wheel) -> dict[str, str | int]:
    """What the head of a block says of one wheel."""
    units, dress = wheel.machine.units, wheel.settings
    low, high = dress.band
    return {
        "name": wheel.keys.name,
        "target": plain(dress.aggressiveness, 6, strip=True),
        "low": plain(low, 6, strip=True),
        "high": plain(high, 6, strip=True),
        "rpm": "" if dress.speed is None else show(dress.speed, "rotation", units),
        "wheel_speed": show(dress.wheel_speed or 0, "peripheral", units),
        "plunges": dress.plunges * (1 if dress.lanes == "next" else len(wheel.lanes.offsets)),
        "plunge": show(dress.plunge, "length", units),
        "feed": show(round(wheel.nominal_feed(float(wheel.size_range[1])), 1), "feed", units),
    }


def _timed(dress: Dress) -> dict[str, str | bool]:
    """What the head of a block for a timed feeder says; empty for any other dresser."""
    valve = dress.dresser.valve
    if valve is None:
        return {}
    return {
        "rate": show(valve.rate, "feed", dress.machine.units),
        "tolerance": plain(valve.tolerance * 100, 2, strip=True),
        "self_adjusting": valve.self_adjusting,
    }
