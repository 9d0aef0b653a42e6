"""What one dress costs, from its prices and its program, at the recipe's target and depth and at others."""

from __future__ import annotations

from collections.abc import Iterable

from gen.control.draft import Program
from gen.paper.dressing import dressing
from gen.power.cost import DressPrices
from gen.power.trial.answer import DressCosts
from gen.shop.costs import CostKeys, own_prices
from gen.shop.dress import Dress

WANTED = ("machine_hour", "stick", "wheel_mm")
"""The prices without which targets cannot be compared."""


def missing_prices(dress: Dress, wanted: Iterable[str] = WANTED) -> list[str]:
    """The keys of ``[costs]`` that are ``wanted`` and not given."""
    keys = own_prices(dress.machine.costs, dress.recipe.costs) or CostKeys()
    return [name for name in wanted if getattr(keys, name) is None]


def prices_of(program: Program) -> DressPrices | None:
    """The prices of one dress of ``program``, new wheel and full stick; None where ``[costs]`` lacks one."""
    dress = program.dress
    keys = own_prices(dress.machine.costs, dress.recipe.costs) or CostKeys()
    if keys.machine_hour is None or keys.stick is None:
        return None
    second = float(keys.machine_hour) / 3600
    truing = None
    if keys.truing_time is not None and keys.truing_mm is not None and keys.wheel_mm is not None:
        truing = second * float(keys.truing_time) + float(keys.truing_mm) * float(keys.wheel_mm)
    sticks = max(1, dress.dresses_per_stick)
    seconds = dressing(program, dress.state()).seconds
    return DressPrices(keys.currency or "", float(keys.stick) / sticks, second * seconds, truing, sticks)


def dress_costs(program: Program) -> DressCosts:
    """The costs of a dress like ``program``'s, which has all prices that are wanted.

    Time is the program's own for new wheel and stick; at another target the way
    at plunge feed takes longer or shorter, at another depth that way differs.
    The plunge goes over clearance and depth at that feed.
    """
    dress = program.dress
    keys = own_prices(dress.machine.costs, dress.recipe.costs) or CostKeys()
    prices = prices_of(program)
    assert prices is not None
    assert keys.wheel_mm is not None
    one = dressing(program, dress.state())
    base, depth = float(dress.settings.aggressiveness), float(dress.settings.plunge)
    visits, clearance = max(1, len(one.contacts.plunges)), float(dress.machine.dresser.keeps_clear)
    second, seconds_a_mm = prices.time / one.seconds, visits * 60 / one.feed
    rest = one.seconds - seconds_a_mm * (clearance + depth)
    stick = prices.stick / depth
    worn, new = dress.first.size_range
    return DressCosts(
        currency=prices.currency,
        fixed=lambda target: second * (rest + seconds_a_mm * clearance * base / target),
        per_mm=lambda target: second * seconds_a_mm * base / target + stick,
        # a diameter shrinks by twice what the radius loses, a gauge by as much as the rim
        size_mm=float(keys.wheel_mm) * (1.0 if dress.first.face else 0.5),
        usable_mm=float(new - worn),
        depth_mm=depth,
    )
