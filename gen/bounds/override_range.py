"""The overrides with which a dress still keeps its band, for whoever has a knob that is not locked."""

from __future__ import annotations

import math

from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.wheel import Wheel

_ROUNDING = 0.05
"""Percent that a feed may be off because its speed is rounded to whole rpm, and the feed to what a program writes."""


def feed_override(dress: Dress) -> tuple[int, int] | None:
    """Least and most feed override in whole percent, for every wheel of the pack; None where not even 100 % keeps it.

    With the spindle override at 100 % the number rises with the feed, so at the
    target T the band [a, b] is kept from a/T to b/T. A cup's inside edge,
    most of all when the cup is worn, and the small end of a taper run slower than the nominal
    diameter and reach b sooner by the ratio of the two; dresser and axis end the feed itself, as does the most
    stick that may be removed in a minute. No override reaches a timed feeder.
    """
    if dress.dresser.valve is not None:
        return None
    windows = [_of_one_wheel(one) for one in dress.wheels]
    least = math.ceil(100 * max(low for low, _ in windows) - _ROUNDING)
    most = math.floor(100 * min(high for _, high in windows) + _ROUNDING)
    return (least, most) if least <= 100 <= most else None


def feed_range(machine: Machine) -> tuple[float, float]:
    """Least and greatest plunge feed that dresser and axis have, mm/min; of a timed feeder its valve's ends."""
    dresser = machine.dresser
    if dresser.valve is not None:
        low, high = dresser.valve.rates
        return float(low), float(high)
    (low, high), axis = dresser.feed_limits, machine.axis_feed
    return float(low), float(high if axis is None else min(high, axis))


def _of_one_wheel(wheel: Wheel) -> tuple[float, float]:
    """Least and most for ``wheel``, 1 being as programmed."""
    settings, (slow, fast) = wheel.settings, feed_range(wheel.machine)
    low, target, high = (float(number) for number in (settings.band[0], settings.aggressiveness, settings.band[1]))
    asked = [wheel.nominal_feed(float(size)) for size in wheel.size_range]
    removed, allowed = wheel.removal(max(asked)), wheel.machine.dresser.max_removal
    load = math.inf if allowed is None else float(allowed) / removed
    return max(low / target, slow / min(asked)), min(high / target * wheel.slowest_share, fast / max(asked), load)
