"""Aggressiveness is within the recipe's band over the whole wear range, on a cup also at the rim's inside edge."""

from __future__ import annotations

from collections.abc import Iterator

from gen.bounds import changes
from gen.bounds.case import Case
from gen.bounds.finding import Change, Fault
from gen.bounds.registry import rule
from gen.bounds.rounding import FEED_ROUNDING
from gen.contact import aggressiveness, edge_share, peripheral_speed, working_diameters
from gen.quantities import plain


@rule("aggressiveness")
def check(case: Case) -> Iterator[Fault]:
    facts = case.known
    low, high = (float(end) for end in facts.dress.band)
    angle, geometry = float(facts.angle), facts.geometry
    diameter = facts.diameter_at(case.wheel_size)
    for plunge in case.contacts.plunges:
        if not plunge.feed or not plunge.rpm:
            continue
        for place, at in enumerate(working_diameters(geometry, diameter)):
            speed = peripheral_speed(at, plunge.rpm)
            value, slack = aggressiveness(plunge.feed, speed, angle), aggressiveness(FEED_ROUNDING, speed, angle)
            if not low - slack <= value <= high + slack:
                where = "at the inside edge of the rim " if place else ""
                yield Fault(
                    plunge.line,
                    f"aggressiveness is {_plain(value)} {where}({case.feed(plunge.feed)} at {case.speed(speed)}); "
                    f"the band is {_plain(low)} to {_plain(high)}.",
                    tuple(_changes(case, value, low, high)),
                    amount=max(low / value, value / high),
                )
        if not facts.face and geometry.stick_height < diameter:
            edge = aggressiveness(plunge.feed, peripheral_speed(diameter, plunge.rpm), angle)
            edge *= edge_share(geometry.stick_height, diameter)
            if edge < low - slack:
                yield Fault(
                    plunge.line,
                    f"aggressiveness falls to {_plain(edge)} at the edges of a stick {case.mm(geometry.stick_height)} "
                    f"high {case.here}; the band begins at {_plain(low)}.",
                    severity="warning",
                    amount=low / edge,
                )


def _changes(case: Case, value: float, low: float, high: float) -> Iterator[Change]:
    """A target that brings the worst place into the band."""
    asked = float(case.known.dress.aggressiveness)
    if value > high:
        yield from changes.target(case.known, asked * high / value, "down")
    else:
        yield from changes.target(case.known, asked * low / value, "up")


def _plain(value: float) -> str:
    return plain(value, 1, strip=True)
