"""What one dress costs, from its prices and its program, at the recipe's target and depth and at others."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from gen.control.draft import Program
from gen.paper.dressing import dressing
from gen.power.cost import DressPrices, PartCost, TruingDue
from gen.power.telling import rounded
from gen.power.trial.answer import DressCosts
from gen.shop.costs import CostKeys
from gen.shop.dress import Dress

WANTED = ("machine_hour", "stick", "wheel_mm")
"""The prices without which targets cannot be compared."""


def missing_prices(dress: Dress, wanted: Iterable[str] = WANTED) -> list[str]:
    """The keys of ``[costs]`` that are ``wanted`` and not given."""
    keys = dress.prices or CostKeys()
    return [name for name in wanted if getattr(keys, name) is None]


def prices_of(program: Program) -> DressPrices:
    """The prices of one dress of ``program``, new wheel and full stick, as far as its files tell them."""
    dress = program.dress
    keys = dress.prices or CostKeys()
    second = None if keys.machine_hour is None else float(keys.machine_hour) / 3600
    wheel_mm = None if keys.wheel_mm is None else float(keys.wheel_mm)
    truing = None
    if second is not None and wheel_mm is not None and keys.truing_time is not None and keys.truing_mm is not None:
        truing = second * float(keys.truing_time) + float(keys.truing_mm) * wheel_mm
    sticks = max(1, dress.dresses_per_stick)
    return DressPrices(
        currency=keys.currency or "",
        stick=None if keys.stick is None else float(keys.stick) / sticks,
        time=None if second is None else second * dressing(program, dress.state()).seconds,
        truing=truing,
        dresses_per_stick=sticks,
        wheel=None if wheel_mm is None or keys.dress_mm is None else wheel_mm * float(keys.dress_mm),
        dresses_per_truing=keys.dresses_per_truing,
    )


def dress_costs(program: Program) -> DressCosts:
    """The costs of a dress like ``program``'s, which has all prices that are wanted.

    Time is the program's own for new wheel and stick; at another target the way
    at plunge feed takes longer or shorter, at another depth that way differs.
    The plunge goes over clearance and depth at that feed.
    """
    dress = program.dress
    keys, prices = dress.prices, prices_of(program)
    assert keys is not None
    assert prices.stick is not None
    assert prices.time is not None
    assert keys.wheel_mm is not None
    one = dressing(program, dress.state())
    base, depth = float(dress.settings.aggressiveness), float(dress.settings.plunge)
    visits, clearance = max(1, len(one.contacts.plunges)), float(dress.machine.dresser.keeps_clear)
    second, seconds_a_mm = prices.time / one.seconds, visits * 60 / one.feed
    rest = one.seconds - seconds_a_mm * (clearance + depth)
    stick = prices.stick / depth
    worn, new = dress.first.size_range
    # a diameter shrinks by twice what the radius loses, a gauge by as much as the rim
    radius_share = 1.0 if dress.first.face else 0.5
    return DressCosts(
        currency=prices.currency,
        fixed=lambda target: second * (rest + seconds_a_mm * clearance * base / target),
        per_mm=lambda target: second * seconds_a_mm * base / target + stick,
        size_mm=float(keys.wheel_mm) * radius_share,
        radius_share=radius_share,
        usable_mm=float(new - worn),
        depth_mm=depth,
    )


def prices_as_object(prices: DressPrices) -> dict[str, Any]:
    """``prices`` as JSON has them; null is what is not known."""
    return {
        "currency": prices.currency,
        "dress": {name: rounded(getattr(prices, name), 4) for name in ("stick", "time", "wheel")},
        "truing": rounded(prices.truing, 4),
        "dresses_per_stick": prices.dresses_per_stick,
    }


def part_as_object(part: PartCost) -> dict[str, Any]:
    """``part`` as JSON has it: ``total`` is all that is known, and ``whole`` whether that is all."""
    return {
        "parts_between_dresses": part.every,
        **{name: rounded(getattr(part, name), 4) for name in ("stick", "time", "wheel", "truing")},
        "total": rounded(part.known, 4),
        "whole": part.is_whole,
    }


def due_as_object(due: TruingDue) -> dict[str, Any]:
    """``due`` as JSON has it."""
    return {"dresses": due.dresses, "within": list(due.within), "per_part": rounded(due.per_part, 4)}
