"""A plunge goes no deeper than the dresser's max_plunge.

Why: Clamp and slide bear so much and no more, and the maker of the dresser knows how much.
Example: A plunge of 12 mm is more than this dresser's max_plunge of 10 mm.
Helps: A smaller plunge; of a timed feeder also a valve that keeps closer to its rate.
"""

from collections.abc import Iterator
from decimal import Decimal

from gen.bounds import changes
from gen.bounds.advice_valve import closer_valve
from gen.bounds.kit import Change, Dress, Found, Measure, Units, bound


@bound("plunge-depth")
def check(dress: Dress, units: Units) -> Found:
    limit = dress.dresser.max_plunge
    if limit is None:
        return
    deepest = float(dress.depths[1])
    yield Measure(
        "depth",
        deepest,
        float(limit),
        "most",
        "length",
        said=lambda: _said(dress, units, deepest, float(limit)),
        helps=lambda: _helps(dress, limit),
    )


def _said(dress: Dress, units: Units, deepest: float, limit: float) -> str:
    planned = units.mm(float(dress.settings.plunge))
    if dress.dresser.valve is None:
        return f"a plunge of {planned} is more than this dresser's max_plunge of {units.mm(limit)}."
    return (
        f"with its valve at the fast end the feeder goes {units.mm(deepest)} deep in the time for {planned}; this "
        f"dresser's max_plunge is {units.mm(limit)}."
    )


def _helps(dress: Dress, limit: Decimal) -> Iterator[Change]:
    valve, planned = dress.dresser.valve, dress.settings.plunge
    if valve is None:
        yield from changes.plunge(dress, limit)
        return
    yield from changes.plunge(dress, (limit - valve.in_air) / (1 + valve.tolerance))
    yield from closer_valve(valve, float((limit - planned - valve.in_air) / planned))
