"""The approach to the wheel is no faster than the dresser can run."""

from __future__ import annotations

from functools import partial

from gen.base.measure import Measure
from gen.bounds.block import DressBlock
from gen.bounds.contacts import Contacts
from gen.bounds.registry import Found, bound
from gen.bounds.rounding import feed_slack
from gen.bounds.rules.cutting.feed import plunging
from gen.bounds.units import Units
from gen.shop.dress import Dress


@bound(
    "plunge-feed",
    why="On its way to the wheel the stick may meet it sooner than the registers say.",
    example="The stick is brought to the wheel at 900 mm/min; this slide allows 400 mm/min.",
    helps="An approach_feed within the dresser's range.",
)
def approach(block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Found:
    dresser = dress.machine.dresser
    high = float(dresser.feed_limits[1])
    for move, wheel in plunging(block, dress, contacts):
        if wheel is None and move.rate is not None:
            yield Measure(
                "approach",
                move.rate,
                high,
                "most",
                "feed",
                slack=feed_slack(block, high),
                line=move.line,
                told=False,
                said=partial(_said, units, dresser.kind, move.rate, high),
            )


def _said(units: Units, kind: str, rate: float, high: float) -> str:
    return f"the stick is brought to the wheel at {units.feed(rate)}; this {kind} allows {units.feed(high)}."
