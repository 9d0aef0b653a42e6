"""What the interval of a power log costs: the prices of the recipe's dress, and what the log says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.jobs.dress_costs import missing_prices, prices_of
from gen.jobs.pair import pair_at
from gen.power.answer import Answer
from gen.power.cost import WORKING_DAYS, DressPrices, PartCost, TruingDue, part_cost, sticks_a_month, truing_due
from gen.shop.dress import Dress
from gen.shop.load import load_recipe

_OF_WHEEL = ("wheel_mm", "dress_mm")
"""The prices that tell what a dress takes off the wheel."""
_NEEDED = ("machine_hour", "stick")
"""The prices without which nothing is said of cost."""
NEARBY = 2
"""Parts fewer than the interval for which the cost is shown too."""


@dataclass(frozen=True)
class IntervalCosts:
    """``parts`` are the costs of a part, at the interval first and then with fewer parts.

    ``sticks`` are those of a month, None without the parts a day. ``due`` is when truing pays.
    ``lacking`` are the prices without which the wheel's part is not known.
    """

    prices: DressPrices
    parts: tuple[PartCost, ...]
    sticks: float | None
    due: TruingDue | None
    lacking: tuple[str, ...] = ()


def costs_for(recipe_path: Path, found: Answer, parts_a_day: float | None) -> tuple[IntervalCosts | None, list[str]]:
    """What dressing by ``recipe_path`` costs, and the prices that are wanted and not given.

    No costs and no names where neither file has ``[costs]``, or no interval is told.
    """
    try:
        pair = pair_at(recipe_path)
    except DressblockError:
        if load_recipe(recipe_path).costs is None:
            # a recipe by itself is enough for all but its costs
            return None, []
        raise
    if Dress(pair.recipe, pair.machine).prices is None:
        return None, []
    program = pair.draft()
    prices, missing = prices_of(program), missing_prices(program.dress, _NEEDED)
    if missing:
        return None, missing
    costs = interval_costs(found, prices, parts_a_day)
    lacking = tuple(missing_prices(program.dress, _OF_WHEEL))
    return None if costs is None else replace(costs, lacking=lacking), []


def interval_costs(found: Answer, prices: DressPrices, parts_a_day: float | None) -> IntervalCosts | None:
    """What dressing costs at the interval that ``found`` tells, or as often as now where the power creeps."""
    if found.fit is None:
        return None
    creeps = found.truing is not None
    every = found.fit.usual if creeps else 0 if found.interval is None else found.interval.parts
    if every < 1:
        return None
    fewer = range(every, max(0, every - NEARBY - 1), -1)
    return IntervalCosts(
        prices,
        tuple(part_cost(prices, one) for one in fewer),
        sticks_a_month(prices, every, parts_a_day),
        due_of(found, prices),
    )


def due_of(found: Answer, prices: DressPrices) -> TruingDue | None:
    """When truing pays, from the creep; the room between limit and baseline is for the rise."""
    fit, base = found.fit, found.baseline
    if fit is None or base is None or base.creep is None or found.truing is None or fit.rise.value <= 0:
        return None
    began = base.now.value - base.creep.value * (len(fit.runs) - 1)
    first = (found.limit_kw - began) / fit.rise.value + 1
    return truing_due(prices, first, base.creep.value / fit.rise.value, fit.usual)


def costs_told(costs: IntervalCosts | None, mark: Callable[[str], str]) -> dict[str, Any] | None:
    """``costs`` as numbers ready to be worded; ``mark`` puts the language's decimal mark into a number."""
    if costs is None:
        return None
    prices, due = costs.prices, costs.due

    def money(value: float | None) -> str:
        return "" if value is None else f"{mark(f'{value:.2f}')} {prices.currency}".strip()

    first, *fewer = costs.parts
    return {
        **dict(zip(("stick", "time", "wheel", "truing"), map(money, first.each), strict=True)),
        "lacking": costs.lacking,
        "total": money(first.known),
        "every": first.every,
        "fewer": [
            {"every": one.every, "more": f"{100 * (one.known / first.known - 1):.0f} %"}
            for one in fewer
            if one.known and first.known
        ],
        "sticks": "" if costs.sticks is None else mark(f"{costs.sticks:.1f}"),
        "days": WORKING_DAYS,
        "due": None if due is None else {"dresses": due.dresses, "within": due.within, "per_part": money(due.per_part)},
    }
